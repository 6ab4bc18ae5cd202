// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sheets/sheet.hpp"

#include <span>
#include <string>

namespace loomwright {

/// Writes the tables as a workbook of Office Open XML (ISO/IEC 29500), a worksheet each: numbers in
/// the unit of the column's title, texts as texts whatever they begin with. The same tables give
/// the same bytes. False, with the reason, when the file cannot be written; what is there then is
/// no workbook.
[[nodiscard]] bool write_workbook(std::span<const Sheet> sheets, const std::string& title,
                                  const std::string& path, std::string& why_not);

} // namespace loomwright
