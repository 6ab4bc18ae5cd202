// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "verbs.hpp"

#include <functional>
#include <string>

namespace CLI {
class App;
} // namespace CLI

namespace loomwright::cli {

/// What answers the verb that was typed.
using ChosenVerb = std::function<int(const Arguments&)>;

/// What the program is for, its options before any verb, and the cautions under its help.
void describe_program(CLI::App& app);
/// What everybody is told who works on a car.
[[nodiscard]] std::string cautions_text();

/// Adds every verb to `app`: parsing fills `arguments` and sets `chosen`. Both must outlive `app`.
void add_verbs(CLI::App& app, Arguments& arguments, ChosenVerb& chosen);

} // namespace loomwright::cli
