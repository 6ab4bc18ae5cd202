// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Quantities: what is read is a number, and a fault says which part of the text it means.
#include "must.hpp"

#include "yaml/quantity_text.hpp"

#include <cmath>

using namespace loomwright;

namespace {

void must_say_where(const TextFault& fault, std::string_view text) {
    fuzz::must(!fault.message.empty(), "a fault says what");
    fuzz::must(fault.offset <= text.size(), "a fault is in the text");
}

void must_be_number(double value) {
    fuzz::must(std::isfinite(value), "what is read is a number");
}

void try_number(std::string_view text) {
    TextFault fault;
    if (const auto number = read_number(text, fault)) {
        must_be_number(*number);
    } else {
        must_say_where(fault, text);
    }
}

void try_count(std::string_view text) {
    TextFault fault;
    if (!read_count(text, fault)) {
        must_say_where(fault, text);
    }
    (void)read_truth(text);
}

void try_quantity(std::string_view text, Dimension wanted) {
    TextFault fault;
    if (const auto value = read_quantity(text, wanted, fault)) {
        must_be_number(*value);
    } else {
        must_say_where(fault, text);
    }
}

void try_either(std::string_view text, Dimension wanted, Dimension other) {
    TextFault fault;
    if (const auto value = read_either(text, wanted, other, fault)) {
        must_be_number(value->value);
        fuzz::must(value->dimension == wanted || value->dimension == other, "it is one of the two");
    } else {
        must_say_where(fault, text);
    }
}

void try_pair(std::string_view text, std::string_view word, Dimension first, Dimension second) {
    TextFault fault;
    const auto pair = read_pair(text, word, first, Dimension::power, second, fault);
    if (!pair) {
        must_say_where(fault, text);
        return;
    }
    must_be_number(pair->first.value);
    fuzz::must(pair->second_offset <= text.size(), "the second is in the text");
    if (pair->second) {
        must_be_number(pair->second->value);
    }
}

void try_size(std::string_view text) {
    TextFault fault;
    if (const auto size = read_size(text, fault)) {
        fuzz::must(!size->number.empty() && !size->unit.empty(), "a size has a number and a unit");
    } else {
        must_say_where(fault, text);
    }
}

/// The first byte says as what the rest is read: 7 questions of up to 10 dimensions.
void try_one(std::uint8_t choice, std::string_view text) {
    constexpr int questions = 7;
    const auto dimensions = static_cast<int>(Dimension::share) + 1;
    const auto first = static_cast<Dimension>(choice / questions % dimensions);
    const auto second = static_cast<Dimension>((choice / questions + 1) % dimensions);
    switch (choice % questions) {
    case 0:
        return try_number(text);
    case 1:
        return try_count(text);
    case 2:
        return try_quantity(text, first);
    case 3:
        return try_either(text, first, second);
    case 4:
        return try_pair(text, "at", first, second);
    case 5:
        return try_pair(text, "for", first, second);
    default:
        return try_size(text);
    }
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const fuzz::Hurry hurry;
    if (size > 0) {
        try_one(data[0], fuzz::text_of(data + 1, size - 1));
    }
    return 0;
}
