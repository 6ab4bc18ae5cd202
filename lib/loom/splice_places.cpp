// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Splices of one run are set apart, so that the bundle has no lump.
//
//   along       the run that most wires of a splice take from its point; the first of the file
//               where two take as many
//   offset      0, s, 2 s, ... : the first that is at least s from every splice in the run, from
//               either end; s = tables defaults, splice-stagger (common practice, no source; that
//               splices are staggered: FAA AC 43.13-1B, airframe handbook)
//   detour      of a wire that comes by that run: -offset; by another way: +offset; between two
//               splices at one point: the distance between them
//
// Range: offsets from nothing to the length of the run.
#include "loom/splice_places.hpp"

#include "loom/routing.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>

namespace loomwright {
namespace {

// Two places are as far apart as they were set, whatever the last bits of the sum.
constexpr double stagger_rounding_m = 1e-9;

/// How often the wires of each splice take each run, by DeviceId.
using RunCounts = std::map<std::size_t, std::map<RunId, int>>;

RunCounts count_runs(const Vehicle& vehicle, const std::vector<WireRoute>& ways) {
    RunCounts out;
    const auto add = [&](TerminalRef end, RunId run) {
        if (vehicle.device(end.device).as<Splice>() != nullptr) {
            ++out[end.device.index()][run];
        }
    };
    for (std::size_t i = 0; i < vehicle.wires.size(); ++i) {
        if (!ways[i].runs.empty()) {
            add(vehicle.wires[i].from, ways[i].runs.front());
            add(vehicle.wires[i].to, ways[i].runs.back());
        }
    }
    return out;
}

RunId busiest(const std::map<RunId, int>& counts) {
    RunId out;
    int most = 0;
    for (const auto& [run, count] : counts) {
        if (count > most) {
            most = count;
            out = run;
        }
    }
    return out;
}

/// The splices of one run, by where they stand in it.
class RunPlaces {
public:
    explicit RunPlaces(double step_m) : step_m_(step_m) {}

    void take(double position_m) { taken_.insert(position_m); }
    [[nodiscard]] bool is_free(double position_m) const {
        const auto after = taken_.lower_bound(position_m - step_m_ + stagger_rounding_m);
        return after == taken_.end() || *after > position_m + step_m_ - stagger_rounding_m;
    }
    /// The first free step from one end of the run; -1: none in its length.
    [[nodiscard]] double first_free(bool from_start, double length_m) {
        int& step = next_.at(from_start ? 0 : 1);
        for (double offset = step * step_m_; offset <= length_m; offset = ++step * step_m_) {
            if (is_free(from_start ? offset : length_m - offset)) {
                return offset;
            }
        }
        return -1.0;
    }

private:
    double step_m_;
    std::set<double> taken_;
    std::array<int, 2> next_{}; ///< first step that may be free, from the start and from the end
};

} // namespace

Metres position_in_run(const Vehicle& vehicle, const SplicePlace& place, Metres run_length) {
    return vehicle.run(place.along).from == place.point ? place.offset : run_length - place.offset;
}

std::vector<SplicePlace> place_splices(const Vehicle& vehicle, const std::vector<WireRoute>& ways,
                                       const std::vector<Metres>& run_lengths, Metres stagger) {
    const RunCounts counts = count_runs(vehicle, ways);
    std::vector<SplicePlace> out;
    std::map<RunId, RunPlaces> taken;
    for (const DeviceId id : devices_of<Splice>(vehicle)) {
        const Device& device = vehicle.device(id);
        SplicePlace place{.splice = id, .point = device.at, .along = {}, .offset = {}};
        if (const auto found = counts.find(id.index()); found != counts.end()) {
            place.along = busiest(found->second);
        }
        if (const auto& offset = device.as<Splice>()->offset) {
            place.offset = offset->value;
            place.is_given = true;
        }
        if (place.along.is_valid()) {
            RunPlaces& run = taken.try_emplace(place.along, stagger.value()).first->second;
            if (place.is_given) {
                run.take(position_in_run(vehicle, place, run_lengths[place.along.index()]).value());
            }
        }
        out.push_back(place);
    }
    for (SplicePlace& place : out) {
        if (place.is_given || !place.along.is_valid()) {
            continue;
        }
        RunPlaces& run = taken.at(place.along);
        const Metres length = run_lengths[place.along.index()];
        const bool from_start = vehicle.run(place.along).from == place.point;
        const double offset = run.first_free(from_start, length.value());
        place.has_room = offset >= 0.0;
        if (place.has_room) {
            place.offset = Metres(offset);
            run.take(position_in_run(vehicle, place, length).value());
        }
    }
    return out;
}

std::vector<int> places_by_device(const Vehicle& vehicle, const std::vector<SplicePlace>& places) {
    std::vector<int> out(vehicle.devices.size(), -1);
    for (std::size_t i = 0; i < places.size(); ++i) {
        out[places[i].splice.index()] = static_cast<int>(i);
    }
    return out;
}

Metres splice_detour(const Wire& wire, const WireRoute& way, const std::vector<SplicePlace>& places,
                     const std::vector<int>& place_of_device) {
    const auto place_at = [&](TerminalRef end) -> const SplicePlace* {
        const int found = place_of_device[end.device.index()];
        return found < 0 ? nullptr : &places[static_cast<std::size_t>(found)];
    };
    const SplicePlace* from = place_at(wire.from);
    const SplicePlace* to = place_at(wire.to);
    if (way.runs.empty() && from != nullptr && to != nullptr && from->along == to->along) {
        return Metres(std::abs(from->offset.value() - to->offset.value()));
    }
    const auto part = [&](const SplicePlace* place, bool is_first) {
        if (place == nullptr) {
            return 0.0;
        }
        const bool is_along = !way.runs.empty() && place->along.is_valid() &&
                              (is_first ? way.runs.front() : way.runs.back()) == place->along;
        return is_along ? -place->offset.value() : place->offset.value();
    };
    const double sum = part(from, true) + part(to, false);
    // Two splices that pass one another in their run are apart all the same.
    const double way_m = way.runs_length.value();
    return Metres(std::abs(way_m + sum) - way_m);
}

} // namespace loomwright
