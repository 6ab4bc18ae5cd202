// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "checks/checks.hpp"

namespace loomwright {

/// A car of a few wires and one fuse, made for one question, so that the functions that judge and
/// prove a whole car answer it. It has one state, "the case asked", in which everything carries
/// what the question says.
class CalcBench {
public:
    explicit CalcBench(const Catalogue& catalogue);

    void set_wire_air(double air_c) { vehicle_.zones[0].air = Celsius(air_c); }
    void set_fuse_air(double air_c) { vehicle_.zones[1].air = Celsius(air_c); }
    void set_cover(std::string cover) { vehicle_.runs[0].cover = std::move(cover); }

    /// A wire that carries a current; its conductor and insulation must outlive the bench.
    WireId add_wire(const Conductor& conductor, const Insulation& insulation, double metres,
                    double amps);
    /// A fuse with a load behind it; without a rating one is chosen. `judge_fuse` does it.
    DeviceId add_fuse(const FuseFamily& family, std::optional<double> rating_a, double load_a,
                      const std::optional<Inrush>& inrush);

    /// Ampacity of every wire alone in its air: any conductor, of the catalogue or not.
    void judge_alone();
    /// The first wire's ampacity in its place, worked out elsewhere.
    void give_ampacity(double amps);
    /// Ampacity of every wire in one bundle with the others: conductors of the catalogue.
    void judge_bundle();
    /// Chooses the rating and says that the fuse feeds every wire.
    void judge_fuse();

    [[nodiscard]] const Sizing& sizing() const { return sizing_; }
    [[nodiscard]] StudyInput study() const { return {vehicle_, catalogue_, routing_, network_}; }

private:
    const Catalogue& catalogue_;
    Vehicle vehicle_;
    Routing routing_;
    Network network_;
    Sizing sizing_;
};

/// Ampacity of a conductor alone in still air.
[[nodiscard]] Ampacity ampacity_alone(const Catalogue& catalogue, const Conductor& conductor,
                                      const Insulation& insulation, double air_c);

} // namespace loomwright
