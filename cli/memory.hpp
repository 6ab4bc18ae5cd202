// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

namespace loomwright::cli {

/// Tells the heap that this process takes its memory, works and ends: to be called once, at the
/// start. Changes how long a run takes (by about a tenth), never what it gives.
void take_memory_once();

} // namespace loomwright::cli
