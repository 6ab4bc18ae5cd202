// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sizing/sizing.hpp"
#include "sizing/time_current.hpp"

#include <optional>
#include <vector>

namespace loomwright {

/// What one load takes over its running current while it starts.
struct LoadStart {
    double extra_a = 0.0;
    double seconds = 0.0;
    bool is_filament = false;
    bool is_written = false; ///< in the vehicle file; else a filament by the tables
};

/// The start pulses through every protective device, from the solved states and the paths of their
/// loads.
class JointStarts {
public:
    JointStarts(const StudyInput& input, const Sizing& sizing);

    /// What can start at once behind a device: in each state, for each contact that is closed in
    /// it, the loads whose current passes both; a load behind no contact starts alone. Loads
    /// without a start pulse of their own only run.
    [[nodiscard]] std::vector<StartPulse> through(DeviceId device) const;

    /// Of a load in the state of its drop; nothing: it only runs.
    [[nodiscard]] std::optional<LoadStart> start_of(const LoadDrop& drop) const;

private:
    /// A load that starts, on its way through a device.
    struct Start {
        std::size_t drop = 0; ///< index into Sizing::drops
        LoadStart load;
        std::vector<int> contacts; ///< branches on its way
    };

    [[nodiscard]] std::vector<StartPulse> pulses_of_state(DeviceId device, StateId state,
                                                          std::span<const Start> starts) const;
    [[nodiscard]] StartPulse pulse_of(DeviceId device, StateId state,
                                      const std::vector<const Start*>& together) const;
    void add(std::size_t index);

    const StudyInput& input_;
    const Sizing& sizing_;
    std::vector<std::vector<Start>> by_device_; ///< by DeviceId, drops in order
    double lamp_ratio_;
    double lamp_seconds_;
};

/// Share of the shortest time in which a device may open that a pulse takes: the sum over its
/// stages of time over shortest opening time, 1 and more where the device may open. Exact where I^2
/// t alone counts, a sum on the safe side for slower pulses. The band is that of the air of the
/// pulse's state.
[[nodiscard]] double opening_share(const TimeCurrentBand& band,
                                   const std::vector<PulseStage>& stages);
/// The same for so many starts in a row, with no time to cool between.
[[nodiscard]] double opening_share(const TimeCurrentBand& band, const StartPulse& pulse,
                                   int starts);
/// The shortest opening times are known up to where I^2 t counts; else nothing can be said of a
/// pulse beyond the current that the device carries for hours.
[[nodiscard]] bool knows_short_side(const TimeCurrentBand& band);

/// "M1, M2 and E4", the loads that start.
[[nodiscard]] std::string loads_of(const Vehicle& vehicle, const StartPulse& pulse);

/// "a slower family (strip, breaker)", for a start that may open one of this family; "" for the
/// slowest.
[[nodiscard]] std::string slower_families(const FuseFamily& family);

/// Starts in a row that a device must ride.
[[nodiscard]] int starts_in_a_row(const StudyInput& input);

} // namespace loomwright
