// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "checks/checks.hpp"

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace loomwright {

enum class SwitchedKind : std::uint8_t { lamp, inductive, resistive, motor };

/// FAA AC 43.13-1B table 11-4: rating a switch needs over the load's continuous current.
[[nodiscard]] double switch_factor(SwitchedKind kind, double nominal_v);

/// The current through one contact in one state, by kind of load behind it.
struct ContactLoad {
    double amps = 0.0;
    std::array<double, 4> by_kind{};
    StateId state;

    [[nodiscard]] double lamps() const { return by_kind[0]; }
    [[nodiscard]] double needed_rating(double nominal_v) const {
        double sum = 0.0;
        for (std::size_t k = 0; k < by_kind.size(); ++k) {
            sum += switch_factor(static_cast<SwitchedKind>(k), nominal_v) * by_kind[k];
        }
        return sum;
    }
};

/// The loads that each contact of a car carries, found once for all of them.
class ContactLoads {
public:
    /// `input` outlives this.
    explicit ContactLoads(const CheckInput& input);

    /// Of a contact in a state of `Sizing::states`, at full demand: loads through it as the paths
    /// of drops tell, then what has no drop by its own way (resistors, motors that are turned,
    /// loads that do not work); what no way tells of (relay coils) counts as inductive.
    [[nodiscard]] ContactLoad of(std::size_t state, int branch) const;

    /// The heaviest load of a contact over all states, judged by `weight`.
    template <typename Weight>
    [[nodiscard]] ContactLoad worst(int branch, const Weight& weight) const {
        ContactLoad out;
        for (std::size_t i = 0; i < input_.sizing.states.size(); ++i) {
            if (!input_.sizing.judged(i).converged) {
                continue;
            }
            const ContactLoad here = of(i, branch);
            if (weight(here) > weight(out)) {
                out = here;
            }
        }
        return out;
    }

private:
    /// What takes current in one state and has no drop there.
    struct Dropless {
        StateId state;
        SwitchedKind kind = SwitchedKind::resistive;
        double amps = 0.0;
    };
    void add_dropless(const StateSolution& solution);

    const CheckInput& input_;
    std::vector<std::vector<std::size_t>> drops_; ///< by branch: of Sizing::drops, through it
    std::vector<Dropless> dropless_;
    std::vector<std::vector<std::size_t>> dropless_through_; ///< by branch: of dropless_
};

/// "lamps 4.2 A x 5 and coils 0.1 A x 2": what a needed rating is the sum of.
[[nodiscard]] std::string say_kinds(const ContactLoad& load, double nominal_v);

/// "30-87", or "its contact" where an end is inside.
[[nodiscard]] std::string terminals_of(const CheckInput& input, const Branch& branch);

/// What a contact may carry, and who says so.
struct ContactRating {
    std::optional<Amps> rating;
    std::string source;
};
/// Of a contact of a relay or flasher.
[[nodiscard]] ContactRating relay_rating(const CheckInput& input, const Branch& branch);

/// Of a cavity of a connector, A: the lower of its two halves' ratings; nothing where neither has
/// one.
[[nodiscard]] std::optional<double> cavity_rating(const Vehicle& vehicle, DeviceId connector);

} // namespace loomwright
