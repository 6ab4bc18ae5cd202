// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// The targets that only compile headers for others need a file of their own.
