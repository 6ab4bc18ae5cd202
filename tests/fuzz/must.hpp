// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/finding.hpp"

#include <cstddef>
#include <cstdint>
#include <ctime>
#include <string>

namespace loomwright::fuzz {

/// Ends the program, with a word of what was expected, so that libFuzzer keeps the input.
void must(bool is_so, const char* expected);

/// Each finding says what and where: in a file that was read, at a line that it has, in words that
/// are UTF-8, with figures that are numbers.
void must_be_told(const Findings& findings, const SourceFiles& files);

/// Ends the program when its scope has taken too much processor time. The wall clock, by which
/// libFuzzer counts, says more about what else the machine does.
class Hurry {
public:
    Hurry();
    ~Hurry();
    Hurry(const Hurry&) = delete;
    Hurry& operator=(const Hurry&) = delete;
    Hurry(Hurry&&) = delete;
    Hurry& operator=(Hurry&&) = delete;

private:
    std::clock_t begun_;
};

/// The input as a text.
[[nodiscard]] std::string text_of(const std::uint8_t* data, std::size_t size);

} // namespace loomwright::fuzz

/// What libFuzzer calls.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);
