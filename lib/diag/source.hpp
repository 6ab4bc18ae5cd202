// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "base/ids.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace loomwright {

/// Where a word stands in the user's files; line and column count from 1, columns in characters
/// (not bytes). "No place" has line 0.
struct SourceRange {
    FileId file;
    int line = 0;
    int column = 0;
    int end_column = 0; ///< one past the last character, on the same line; 0 if not known

    [[nodiscard]] bool is_known() const { return line > 0; }
};

/// The texts of a run: the vehicle file, its includes, and the built-in tables.
struct SourceFile {
    std::string name; ///< as the user gave it (or relative to the vehicle file for an include)
    std::string text;
    std::vector<std::size_t> line_marks{}; ///< where every 256th line begins, from the first
};

/// The files a run has read, indexed by FileId.
class SourceFiles {
public:
    FileId add(std::string name, std::string text);
    [[nodiscard]] const SourceFile& file(FileId id) const { return files_[id.index()]; }
    [[nodiscard]] std::size_t size() const { return files_.size(); }
    /// The text of one line (from 1) without its line end; empty when there is no such line.
    [[nodiscard]] std::string line(FileId id, int number) const;
    /// "name:line:column", or the bare name where there is no line, or "" without a file.
    [[nodiscard]] std::string place(const SourceRange& range) const;

private:
    std::vector<SourceFile> files_;
};

} // namespace loomwright
