// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "must.hpp"

#include "yaml/text_check.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>

namespace loomwright::fuzz {
namespace {

int lines_of(const std::string& text) {
    return static_cast<int>(std::ranges::count(text, '\n')) + 1;
}

bool is_utf8(std::string_view text) {
    while (!text.empty()) {
        const std::size_t length = utf8_length(text);
        if (length == 0) {
            return false;
        }
        text.remove_prefix(length);
    }
    return true;
}

void must_be_in(const SourceRange& where, const SourceFiles& files) {
    if (!where.file.is_valid()) {
        return;
    }
    must(where.file.index() < files.size(), "a place is in a file that was read");
    must(where.line >= 0 && where.column >= 0, "a place has a line and a column");
    // A text without a line end has a line too; one after the last is that of the end.
    must(where.line <= lines_of(files.file(where.file).text) + 1,
         "a place is at a line of its file");
}

} // namespace

void must(bool is_so, const char* expected) {
    if (!is_so) {
        (void)std::fprintf(stderr, "expected: %s\n", expected);
        std::abort();
    }
}

// The sanitizers make a program five to twenty times slower: this is less than a second without.
constexpr double most_seconds = 2.0;

Hurry::Hurry() : begun_(std::clock()) {}

Hurry::~Hurry() {
    const double taken = static_cast<double>(std::clock() - begun_) / CLOCKS_PER_SEC;
    must(taken < most_seconds, "an input takes less than a second without the sanitizers");
}

void must_be_told(const Findings& findings, const SourceFiles& files) {
    for (const Finding& finding : findings.all()) {
        must(!finding.message.empty(), "a finding says what");
        must_be_in(finding.where, files);
        for (const RelatedPlace& related : finding.related) {
            must_be_in(related.where, files);
        }
        for (const Figure& figure : finding.figures) {
            must(std::isfinite(figure.value), "a figure is a number");
        }
        // The line of the file that is shown below a message is as it stands there.
        must(is_utf8(describe(finding, files, false)), "a finding is text");
    }
}

std::string text_of(const std::uint8_t* data, std::size_t size) {
    std::string text(size, '\0');
    std::copy_n(data, size, text.begin());
    return text;
}

} // namespace loomwright::fuzz
