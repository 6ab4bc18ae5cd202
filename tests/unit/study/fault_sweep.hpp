// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/branch_names.hpp"
#include "study/faults.hpp"
#include "study/study_bench.hpp"

#include <algorithm>
#include <string>
#include <utility>
#include <vector>

namespace loomwright::testing {

/// A sweep of a car, with the curves of its fuses by name.
class Sweep {
public:
    explicit Sweep(const Vehicle& vehicle, unsigned threads = 1) : study_(vehicle) {
        order_.threads = threads;
        order_.curves.resize(vehicle.devices.size());
        for (std::size_t i = 0; i < vehicle.states.size(); ++i) {
            states_.emplace_back(i);
        }
        if (states_.empty()) {
            states_.emplace_back();
        }
    }
    /// Opens at `amps` in `shortest` to `longest` seconds, and on from there by I^2 t; never below.
    void set_curve(std::string_view device, double amps, double shortest, double longest,
                   bool closes_again = false) {
        const DeviceId id = study_.vehicle.find_device(device);
        REQUIRE(id.is_valid());
        order_.curves[id.index()] =
            OpeningCurve({{amps, shortest}}, {{amps, longest}}, closes_again);
    }
    void set_curve(std::string_view device, OpeningCurve curve) {
        order_.curves[study_.vehicle.find_device(device).index()] = std::move(curve);
    }
    void run() {
        base = solve_states(study_.input(), study_.design);
        sweep = FaultStudy(study_.input(), study_.design, states_).sweep(order_);
    }
    [[nodiscard]] const ShortEvent& short_of(std::string_view wire, bool is_from_end,
                                             std::size_t state = 0) const {
        const WireId id = study_.vehicle.find_wire(wire);
        const auto found = std::ranges::find_if(sweep.shorts, [&](const ShortCase& which) {
            return which.wire == id && which.is_from_end == is_from_end &&
                   sweep.event(which).state == state;
        });
        REQUIRE(found != sweep.shorts.end());
        REQUIRE(sweep.event(*found).is_solved);
        return sweep.event(*found);
    }
    [[nodiscard]] const OpenCase& open_of(const std::string& name, std::size_t state = 0) const {
        const auto found = std::ranges::find_if(sweep.opens, [&](const OpenCase& open) {
            return branch_name(study_.input(), open.branch) == name && open.state == state;
        });
        REQUIRE_MESSAGE(found != sweep.opens.end(), name);
        REQUIRE(found->is_solved);
        return *found;
    }
    [[nodiscard]] std::string names(const std::vector<DeviceId>& devices) const {
        std::string out;
        for (const DeviceId device : devices) {
            out += (out.empty() ? "" : " ") + study_.vehicle.device(device).name;
        }
        return out;
    }
    [[nodiscard]] std::string way(const std::vector<int>& branches) const {
        std::string out;
        for (const std::string& step : way_names(study_.input(), branches)) {
            out += (out.empty() ? "" : " ") + step;
        }
        return out;
    }
    [[nodiscard]] double wire_ohm(WireId wire, std::size_t state = 0) const {
        return base[state].wires[wire.index()].ohm;
    }
    [[nodiscard]] const WireDesign& design(WireId wire) const {
        return study_.design.wires[wire.index()];
    }
    [[nodiscard]] double value(std::string_view name) const { return study_.value(name); }
    [[nodiscard]] const Study& study() const { return study_; }

    std::vector<StateSolution> base;
    FaultSweep sweep;

private:
    Study study_;
    FaultOrder order_;
    std::vector<StateId> states_;
};

} // namespace loomwright::testing
