// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "small_cars.hpp"

#include <doctest/doctest.h>

namespace loomwright {

std::unique_ptr<Checked> checked(const std::string& text) {
    auto out = check_text(text);
    INFO(out->text());
    REQUIRE(out->is_sized);
    return out;
}

} // namespace loomwright
