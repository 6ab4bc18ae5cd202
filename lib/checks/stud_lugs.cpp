// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "checks/stud_lugs.hpp"

#include "checks/wording.hpp"

#include <algorithm>

namespace loomwright {

StudLugs stud_lugs(const StudyInput& study, const EndFittings& fittings, DeviceId id) {
    StudLugs out;
    out.lugs = fittings.of_device(id).size();
    for (const Shield& shield : study.vehicle.shields) {
        out.lugs += static_cast<std::size_t>(
            std::ranges::count_if(shield.drains, [id](const Given<TerminalRef>& drain) {
                return drain.value.device == id;
            }));
    }
    const Device& device = study.vehicle.device(id);
    const auto* stud = device.as<Stud>();
    const std::optional<int>& own = stud != nullptr ? stud->lugs : device.as<Ground>()->lugs;
    const DefaultValue& usual = study.catalogue.default_value("stud-lugs");
    out.is_own = own.has_value();
    out.most = out.is_own ? static_cast<double>(own.value_or(0)) : usual.value;
    out.source = out.is_own ? "its own number, the vehicle file" : source_of(usual);
    return out;
}

} // namespace loomwright
