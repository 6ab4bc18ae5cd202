// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "model/parts.hpp"

#include <optional>
#include <string>
#include <vector>

namespace loomwright {

/// How far a meter may be off: a share of what it shows and a fixed part, either way.
struct MeterAccuracy {
    double share = 0.005;   ///< common practice, no source: a hand-held digital meter
    Volts fixed{0.010};     ///< the same
    bool is_stated = false; ///< written by the user; else the figures above

    /// Greatest error of a reading.
    [[nodiscard]] Volts at(Volts shown) const {
        return Volts(share * (shown.value() < 0.0 ? -shown.value() : shown.value())) + fixed;
    }
};

/// Where a probe was held: a terminal, or the metal of a body.
struct ProbePlace {
    TerminalRef terminal; ///< invalid device: a body
    /// Of a connector's cavity: where wires leave; of a terminal with a supplied lead: the lead's
    /// end, where the car's wires arrive.
    bool is_far_side = false;
    int body = -1;    ///< into Vehicle::bodies
    std::string name; ///< as the vehicle file has it

    friend bool operator==(const ProbePlace& a, const ProbePlace& b) { return a.name == b.name; }
};

/// One line of a list of workshop readings.
struct MeterReading {
    ProbePlace at;
    std::optional<ProbePlace> to; ///< the black lead; nothing: the battery's minus post
    StateId state;                ///< invalid: the one state of a vehicle that names none
    Volts shown;
    MeterAccuracy accuracy;
    std::string note;
    SourceRange where;
};

} // namespace loomwright
