// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#define DOCTEST_CONFIG_IMPLEMENT_WITH_MAIN
#include <doctest/doctest.h>
