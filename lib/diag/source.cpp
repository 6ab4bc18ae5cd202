// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "diag/source.hpp"

#include <fmt/format.h>

namespace loomwright {
namespace {

constexpr int lines_between_marks = 256;

/// Without them each of many findings would cost a walk through the file from its top.
std::vector<std::size_t> line_marks_of(const std::string& text) {
    std::vector<std::size_t> marks{0};
    int line = 0;
    for (std::size_t end = text.find('\n'); end != std::string::npos;
         end = text.find('\n', end + 1)) {
        if (++line % lines_between_marks == 0) {
            marks.push_back(end + 1);
        }
    }
    return marks;
}

} // namespace

FileId SourceFiles::add(std::string name, std::string text) {
    std::vector<std::size_t> marks = line_marks_of(text);
    files_.push_back({std::move(name), std::move(text), std::move(marks)});
    return FileId(files_.size() - 1);
}

std::string SourceFiles::line(FileId id, int number) const {
    if (!id.is_valid() || number < 1) {
        return {};
    }
    const std::string& text = file(id).text;
    const std::vector<std::size_t>& marks = file(id).line_marks;
    const auto mark = static_cast<std::size_t>((number - 1) / lines_between_marks);
    if (mark >= marks.size()) {
        return {};
    }
    std::size_t start = marks[mark];
    for (int line = 0; line < (number - 1) % lines_between_marks; ++line) {
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
