// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sheets/sheet.hpp"
#include "sizing/sizing.hpp"

#include <optional>
#include <string>
#include <vector>

namespace loomwright {

/// A place where the probe of a voltmeter goes, with what it shows in each state.
struct TestPlace {
    TerminalRef at;
    std::vector<WireId> wires; ///< that end there
    /// By state of the sizing, against the battery's minus post; nothing: no answer, or a terminal
    /// that nothing holds at a voltage.
    std::vector<std::optional<double>> volts;
};

/// The terminals that a probe reaches: of every device with wires but splices, in the order of the
/// file. A car without a battery is measured against its metal.
[[nodiscard]] std::vector<TestPlace> test_places(const StudyInput& study, const Sizing& sizing);

/// All states side by side: for CSV and the workbook.
[[nodiscard]] Sheet first_power_sheet(const StudyInput& study, const Sizing& sizing,
                                      const std::vector<TestPlace>& places);

/// The same in tables of at most so many states each, for paper.
[[nodiscard]] std::vector<Sheet> first_power_tables(const StudyInput& study, const Sizing& sizing,
                                                    const std::vector<TestPlace>& places,
                                                    std::size_t states_a_table);

/// What is done before and while power comes on for the first time, step by step: common practice.
[[nodiscard]] std::vector<std::string> first_power_steps();

} // namespace loomwright
