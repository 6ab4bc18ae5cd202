// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "../checks/checked.hpp"

#include <doctest/doctest.h>

#include <memory>
#include <string>

namespace loomwright {

/// A vehicle read and sized, and not checked; one that cannot be sized fails the test.
inline std::unique_ptr<Checked> sized(const std::string& text) {
    auto out = check_text(text, {}, false);
    INFO(out->text());
    REQUIRE(out->is_sized);
    return out;
}

} // namespace loomwright
