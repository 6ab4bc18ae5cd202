// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "verbs.hpp"

#include <functional>

namespace CLI {
class App;
} // namespace CLI

namespace loomwright::cli {

/// What answers the verb that was typed.
using ChosenVerb = std::function<int(const Arguments&)>;

/// Adds every verb to `app`: parsing fills `arguments` and sets `chosen`. Both must outlive `app`.
void add_verbs(CLI::App& app, Arguments& arguments, ChosenVerb& chosen);

} // namespace loomwright::cli
