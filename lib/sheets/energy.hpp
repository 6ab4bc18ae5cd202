// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sheets/sheet.hpp"
#include "study/energy.hpp"

#include <string>
#include <vector>

namespace loomwright {

/// Everything that is known of a car's batteries.
struct EnergyAnswer {
    std::vector<CrankPoint> cranking;
    std::vector<StateBalance> balances;
    std::vector<ParkedDrain> parked;
    std::vector<DriveCourse> drives;
};

/// Cranking: starter and controllers at each temperature, running and in the first moment.
[[nodiscard]] Sheet cranking_sheet(const StudyInput& study, const EnergyAnswer& answer);
/// What each source gives and could give in each state.
[[nodiscard]] Sheet balance_sheet(const StudyInput& study, const EnergyAnswer& answer);
/// Parked drain, and how long the car still starts.
[[nodiscard]] Sheet parked_sheet(const StudyInput& study, const EnergyAnswer& answer);
/// The charge of each battery at the ends of a drive's legs.
[[nodiscard]] Sheet drive_legs_sheet(const StudyInput& study, const DriveCourse& course);
/// Every moment of a drive, for a spreadsheet.
[[nodiscard]] Sheet drive_points_sheet(const StudyInput& study, const DriveCourse& course);

/// `energy`: the tables that have something to say, with what they rest on.
[[nodiscard]] std::string energy_text(const StudyInput& study, const EnergyAnswer& answer,
                                      TextWidth width = {});
/// `energy --json`: {"cranking":[...],"balance":[...],"parked":[...],"drives":[...]}.
[[nodiscard]] std::string energy_json(const StudyInput& study, const EnergyAnswer& answer);

} // namespace loomwright
