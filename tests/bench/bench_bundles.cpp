// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Routing and bundling of 10,000 wires over 2,000 runs, of a loom with short ways and of one whose
// wires go right across the car. Prints the medians of five, in ms by the clock on the wall:
//
//   bench_bundles
//   near 5.2 runs a wire: routing 12.3 ms, bundling 210.0 ms
#include "loom/bundle.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <random>
#include <vector>

namespace {

using namespace loomwright;

constexpr std::size_t across = 32; // points each way
constexpr std::size_t run_count = 2000;
constexpr std::size_t wire_count = 10'000;

PointId point_at(std::size_t x, std::size_t y) {
    return PointId(y * across + x);
}

/// A net of points, the splices on them, and runs between neighbours, a few of them twice.
Vehicle net() {
    Vehicle vehicle;
    for (std::size_t i = 0; i < across * across; ++i) {
        vehicle.points.push_back({.name = fmt::format("p{}", i)});
        Device device;
        device.name = fmt::format("SP{}", i);
        device.terminals = {""};
        device.spec = Splice{};
        device.at = PointId(i);
        vehicle.devices.push_back(std::move(device));
    }
    std::minstd_rand engine(1);
    const auto add = [&](PointId from, PointId to) {
        vehicle.runs.push_back({.name = fmt::format("r{}", vehicle.runs.size()),
                                .from = from,
                                .to = to,
                                .length = Metres(0.2 + 1e-4 * static_cast<double>(engine() % 1000)),
                                .cover = vehicle.runs.size() % 2 == 0 ? "tape" : "conduit"});
    };
    while (vehicle.runs.size() < run_count) {
        for (std::size_t y = 0; y < across && vehicle.runs.size() < run_count; ++y) {
            for (std::size_t x = 0; x < across; ++x) {
                if (x + 1 < across) {
                    add(point_at(x, y), point_at(x + 1, y));
                }
                if (y + 1 < across) {
                    add(point_at(x, y), point_at(x, y + 1));
                }
            }
        }
    }
    vehicle.runs.resize(run_count);
    return vehicle;
}

/// Wires whose ends are up to `reach` points apart each way.
void add_wires(Vehicle& vehicle, std::size_t reach) {
    std::minstd_rand engine(2);
    const auto near = [&](std::size_t from) {
        const std::size_t low = from > reach ? from - reach : 0;
        return low + engine() % (std::min(from + reach, across - 1) - low + 1);
    };
    for (std::size_t i = 0; i < wire_count; ++i) {
        const std::size_t x = engine() % across;
        const std::size_t y = engine() % across;
        Wire wire;
        wire.number = fmt::format("1.{}", i + 1);
        wire.from = {.device = DeviceId(y * across + x), .terminal = 0};
        wire.to = {.device = DeviceId(near(y) * across + near(x)), .terminal = 0};
        vehicle.wires.push_back(std::move(wire));
    }
}

WireBodies bodies() {
    constexpr std::array outside_mm = {1.4, 1.6, 1.9, 2.1, 2.4, 2.8, 3.4, 4.2, 6.0};
    std::minstd_rand engine(3);
    WireBodies out;
    for (std::size_t i = 0; i < wire_count; ++i) {
        const std::size_t low =
            std::min(engine() % outside_mm.size(), engine() % outside_mm.size());
        out.outside_m.push_back(1e-3 * outside_mm.at(low));
        out.kg_per_m.push_back(0.01);
    }
    return out;
}

using Clock = std::chrono::steady_clock;

double milliseconds_since(Clock::time_point start) {
    return std::chrono::duration<double, std::milli>(Clock::now() - start).count();
}

void time_loom(std::string_view name, std::size_t reach, const Catalogue& catalogue) {
    Vehicle vehicle = net();
    add_wires(vehicle, reach);
    const WireBodies wires = bodies();
    std::vector<double> routing_ms;
    std::vector<double> bundling_ms;
    double places = 0.0;
    for (int i = 0; i < 5; ++i) {
        Findings findings;
        const auto start = Clock::now();
        const Routing routing = route_wires(vehicle, catalogue, findings);
        routing_ms.push_back(milliseconds_since(start));
        const auto routed = Clock::now();
        const auto bundles = BundleMaker(vehicle, catalogue, routing, wires).make_all();
        bundling_ms.push_back(milliseconds_since(routed));
        places = 0.0;
        for (const RunBundle& bundle : bundles) {
            places += static_cast<double>(bundle.section.wires.size());
        }
    }
    std::ranges::sort(routing_ms);
    std::ranges::sort(bundling_ms);
    fmt::print("{} {:.1f} runs a wire: routing {:.1f} ms, bundling {:.1f} ms\n", name,
               places / static_cast<double>(wire_count), routing_ms[2], bundling_ms[2]);
}

} // namespace

int main() {
    SourceFiles files;
    Findings findings;
    const Catalogue catalogue = load_catalogue(files, findings);
    time_loom("near", 5, catalogue);
    time_loom("across", across, catalogue);
    return 0;
}
