// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "diag/source.hpp"

#include <fmt/format.h>

namespace loomwright {

FileId SourceFiles::add(std::string name, std::string text) {
    files_.push_back({std::move(name), std::move(text)});
    std::vector<std::size_t>& starts = line_starts_.emplace_back(1, 0);
    const std::string& whole = files_.back().text;
    for (std::size_t end = whole.find('\n'); end != std::string::npos;
         end = whole.find('\n', end + 1)) {
        starts.push_back(end + 1);
    }
    return FileId(files_.size() - 1);
}

std::string SourceFiles::line(FileId id, int number) const {
    if (!id.is_valid() || number < 1 ||
        static_cast<std::size_t>(number) > line_starts_[id.index()].size()) {
        return {};
    }
    const std::string& text = file(id).text;
    const std::size_t start = line_starts_[id.index()][static_cast<std::size_t>(number) - 1];
    std::string out = text.substr(start, text.find('\n', start) - start);
    while (!out.empty() && out.back() == '\r') {
        out.pop_back();
    }
    return out;
}

std::string SourceFiles::place(const SourceRange& range) const {
    if (!range.file.is_valid()) {
        return {};
    }
    if (!range.is_known()) {
        return file(range.file).name;
    }
    return fmt::format("{}:{}:{}", file(range.file).name, range.line, range.column);
}

} // namespace loomwright
