// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "diag/source.hpp"

#include <fmt/format.h>

namespace loomwright {

FileId SourceFiles::add(std::string name, std::string text) {
    files_.push_back({std::move(name), std::move(text)});
    return FileId(files_.size() - 1);
}

std::string SourceFiles::line(FileId id, int number) const {
    if (!id.is_valid() || number < 1) {
        return {};
    }
    const std::string& text = file(id).text;
    std::size_t start = 0;
    for (int line = 1; line < number; ++line) {
        start = text.find('\n', start);
        if (start == std::string::npos) {
            return {};
        }
        ++start;
    }
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
