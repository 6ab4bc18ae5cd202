// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// What is true of every circuit, on circuits that rapidcheck draws; one that breaks a property is
// cut down to the smallest that still does. The seed is fixed: RC_PARAMS="seed=..." draws others.

#include "base/at.hpp"
#include "support.hpp"

#include <rapidcheck.h>

#include <algorithm>
#include <cstdlib>
#include <numeric>
#include <vector>

using namespace loomwright::solve;
using namespace loomwright::solve::testing;
using loomwright::at;

namespace {

/// A wire to a new place, and a load there.
struct Limb {
    int from;  ///< which place before, modulo their number
    int wire;  ///< siemens, in steps of a quarter of a decade
    int law;   ///< of the load; see add_load
    int amps;  ///< of the load at 12 V, tenths
    int least; ///< knee and the like, tenths of a volt
};

std::ostream& operator<<(std::ostream& out, const Limb& limb) {
    return out << "{from " << limb.from << ", wire " << limb.wire << ", law " << limb.law
               << ", amps " << limb.amps << ", least " << limb.least << "}";
}

} // namespace

namespace rc {
template <> struct Arbitrary<Limb> {
    static Gen<Limb> arbitrary() {
        return gen::build<Limb>(gen::set(&Limb::from, gen::inRange(0, 1000)),
                                gen::set(&Limb::wire, gen::inRange(0, 16)),
                                gen::set(&Limb::law, gen::inRange(0, 4)),
                                gen::set(&Limb::amps, gen::inRange(1, 60)),
                                gen::set(&Limb::least, gen::inRange(5, 60)));
    }
};
} // namespace rc

namespace {

using Limbs = std::vector<Limb>;

double siemens(int quarter_decades) {
    return std::pow(10.0, 0.25 * quarter_decades);
}

/// All laws here rise with the voltage; constant power does not and has properties of its own.
void add_load(Circuit& circuit, Index node, const Limb& limb) {
    const double amps = 0.1 * limb.amps;
    const double least = 0.1 * limb.least;
    switch (limb.law) {
    case 0:
        circuit.add(Law::conductance, node, 0, amps / 12.0);
        break;
    case 1:
        circuit.add(Law::constant_current, node, 0, amps, least);
        break;
    case 2:
        circuit.add(Law::lamp, node, 0, amps, 13.5, 5.0 + least);
        break;
    default:
        circuit.add(Law::diode, node, 0, 1e-9 * amps, 0.1 + 0.1 * least);
        break;
    }
}

/// A tree from a battery: branch 0 is the battery, 2 k + 1 the wire and 2 k + 2 the load of limb k,
/// whose place is node k + 2.
Circuit radial(const Limbs& limbs) {
    Circuit circuit;
    circuit.node_count = static_cast<Index>(limbs.size()) + 2;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.6, 100.0);
    for (std::size_t k = 0; k < limbs.size(); ++k) {
        const auto place = static_cast<Index>(k) + 2;
        circuit.add(Law::conductance, limbs[k].from % static_cast<int>(k + 1) + 1, place,
                    siemens(limbs[k].wire));
        add_load(circuit, place, limbs[k]);
    }
    return circuit;
}

/// The same with a second battery at the last place and each wire doubled by one to the place that
/// its load's numbers point at.
Circuit meshed(const Limbs& limbs) {
    Circuit circuit = radial(limbs);
    for (std::size_t k = 1; k < limbs.size(); ++k) {
        circuit.add(Law::conductance, static_cast<Index>(k) + 2,
                    limbs[k].amps % static_cast<int>(k + 1) + 1, siemens(limbs[k].least % 16));
    }
    circuit.add(Law::source, circuit.node_count - 1, 0, 12.2, 60.0);
    return circuit;
}

/// Wires only, and sources in three branches.
Circuit linear(const Limbs& limbs, double first, double second, double third) {
    Circuit circuit;
    circuit.node_count = static_cast<Index>(limbs.size()) + 2;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, first, 10.0);
    circuit.add(Law::source, circuit.node_count - 1, 0, second, 3.0);
    circuit.add(Law::source, circuit.node_count / 2, circuit.node_count - 1, third, 20.0);
    for (std::size_t k = 0; k < limbs.size(); ++k) {
        const auto place = static_cast<Index>(k) + 2;
        circuit.add(Law::conductance, limbs[k].from % static_cast<int>(k + 1) + 1, place,
                    siemens(limbs[k].wire));
        circuit.add(Law::conductance, place, limbs[k].amps % static_cast<int>(k + 1) + 1,
                    siemens(limbs[k].least % 16));
        circuit.add(Law::conductance, place, 0, 0.01 * limbs[k].amps);
    }
    return circuit;
}

OperatingPoint answer(const Circuit& circuit) {
    Solver solver;
    OperatingPoint point = solver.solve(circuit);
    RC_ASSERT(point.status == Status::solved);
    return point;
}

double volts(const OperatingPoint& point, Index node) {
    return point.volts[at(node)];
}

/// On a machine or in a run that asks for others the seed is another.
template <typename Property> void check(const char* what, Property property) {
    ::setenv("RC_PARAMS", "seed=20260101 max_success=200", 0); // NOLINT(concurrency-mt-unsafe)
    CHECK(rc::check(what, property));
}

constexpr double rounding_v = 1e-10;

} // namespace

TEST_CASE("drawn: energy is kept, and nothing but a source gives any") {
    check("sources give what the rest takes", [](const Limbs& limbs) {
        const Circuit circuit = meshed(limbs);
        const OperatingPoint point = answer(circuit);
        RC_ASSERT(point.imbalance_a <= 1e-9 * point.source_current_a);
        long double sum = 0.0L;
        long double given = 0.0L;
        for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
            const long double watts =
                static_cast<long double>(between(point, circuit.from[k], circuit.to[k])) *
                point.amps[k];
            sum += watts;
            given += watts < 0 ? -watts : 0;
            RC_ASSERT(circuit.law[k] == Law::source || watts >= 0);
        }
        RC_ASSERT(std::abs(sum) <= 1e-9L * given);
    });
}

TEST_CASE("drawn: reciprocity (Lorentz) and superposition of linear circuits") {
    check("an emf here drives there what the same emf there drives here", [](const Limbs& limbs) {
        const double there = answer(linear(limbs, 1.0, 0.0, 0.0)).amps[1];
        const double here = answer(linear(limbs, 0.0, 1.0, 0.0)).amps[0];
        RC_ASSERT(std::abs(there - here) <= 1e-9 * std::max(1e-3, std::abs(here)));
    });
    check("each source alone, added up", [](const Limbs& limbs) {
        const OperatingPoint all = answer(linear(limbs, 12.0, 6.0, -3.0));
        const OperatingPoint first = answer(linear(limbs, 12.0, 0.0, 0.0));
        const OperatingPoint second = answer(linear(limbs, 0.0, 6.0, 0.0));
        const OperatingPoint third = answer(linear(limbs, 0.0, 0.0, -3.0));
        for (std::size_t node = 0; node < all.volts.size(); ++node) {
            RC_ASSERT(std::abs(all.volts[node] - (first.volts[node] + second.volts[node] +
                                                  third.volts[node])) <= rounding_v);
        }
    });
}

TEST_CASE("drawn: a thicker wire never feeds what hangs on it worse") {
    check("thicker wire of a tree", [](const Limbs& limbs, unsigned which) {
        RC_PRE(!limbs.empty());
        const std::size_t limb = which % limbs.size();
        Circuit circuit = radial(limbs);
        const OperatingPoint before = answer(circuit);
        circuit.a[2 * limb + 1] *= 2.0;
        const OperatingPoint after = answer(circuit);
        std::vector<bool> hangs(circuit.branch_count(), false); // on the wire, by node
        hangs[limb + 2] = true;
        for (std::size_t k = limb; k < limbs.size(); ++k) {
            const auto node = k + 2;
            hangs[node] = hangs[node] || hangs[at(circuit.from[2 * k + 1])];
            if (hangs[node]) {
                RC_ASSERT(after.volts[node] >= before.volts[node] - rounding_v);
            }
        }
    });
}

TEST_CASE("drawn: a larger load never stands better, and its feed never carries less") {
    check("its own voltage, in a mesh", [](const Limbs& limbs, unsigned which) {
        RC_PRE(!limbs.empty());
        const std::size_t limb = which % limbs.size();
        Circuit circuit = meshed(limbs);
        const OperatingPoint before = answer(circuit);
        circuit.a[2 * limb + 2] *= 1.7;
        const OperatingPoint after = answer(circuit);
        const auto node = static_cast<Index>(limb) + 2;
        RC_ASSERT(volts(after, node) <= volts(before, node) + rounding_v);
        for (std::size_t k = 0; k < after.volts.size(); ++k) { // nor does any other place
            RC_ASSERT(after.volts[k] <= before.volts[k] + rounding_v);
        }
    });
    check("the wires up to the battery, in a tree", [](const Limbs& limbs, unsigned which) {
        RC_PRE(!limbs.empty());
        std::size_t limb = which % limbs.size();
        Circuit circuit = radial(limbs);
        const OperatingPoint before = answer(circuit);
        circuit.a[2 * limb + 2] *= 1.7;
        const OperatingPoint after = answer(circuit);
        for (Index node = static_cast<Index>(limb) + 2; node > 1;) {
            const std::size_t wire = 2 * (at(node) - 2) + 1;
            RC_ASSERT(after.amps[wire] >= before.amps[wire] - 1e-9);
            node = circuit.from[wire];
        }
    });
}

TEST_CASE("drawn: the order of writing is not in the answer") {
    check("branches the other way round and turned", [](const Limbs& limbs, unsigned turn) {
        const Circuit circuit = meshed(limbs);
        const std::size_t count = circuit.branch_count();
        std::vector<std::size_t> order(count);
        std::iota(order.begin(), order.end(), 0);
        std::reverse(order.begin(), order.end());
        std::rotate(order.begin(), order.begin() + static_cast<long>(turn % count), order.end());
        Circuit other;
        other.node_count = circuit.node_count;
        other.reference = circuit.reference;
        for (const std::size_t k : order) {
            other.add(circuit.law[k], circuit.from[k], circuit.to[k], circuit.a[k], circuit.b[k],
                      circuit.c[k]);
        }
        const OperatingPoint point = answer(circuit);
        const OperatingPoint again = answer(other);
        for (std::size_t node = 0; node < point.volts.size(); ++node) {
            RC_ASSERT(std::abs(point.volts[node] - again.volts[node]) <= rounding_v);
        }
        for (std::size_t k = 0; k < count; ++k) {
            RC_ASSERT(std::abs(again.amps[k] - point.amps[order[k]]) <=
                      1e-9 * point.source_current_a);
        }
    });
}

TEST_CASE("drawn: volts scale") {
    check("all voltages of a circuit times a factor, its currents left", [](const Limbs& limbs) {
        const Circuit circuit = meshed(limbs);
        const OperatingPoint point = answer(circuit);
        for (const double factor : {0.5, 2.0, 4.0}) { // 24 V, 48 V; 6 V
            Circuit scaled = circuit;
            for (std::size_t k = 0; k < scaled.branch_count(); ++k) {
                switch (scaled.law[k]) {
                case Law::conductance:
                    scaled.a[k] /= factor;
                    break;
                case Law::source:
                    scaled.a[k] *= factor;
                    scaled.b[k] /= factor;
                    break;
                default: // knees, rated voltages and slopes
                    scaled.b[k] *= factor;
                }
            }
            const OperatingPoint other = answer(scaled);
            for (std::size_t node = 0; node < point.volts.size(); ++node) {
                RC_ASSERT(std::abs(other.volts[node] - factor * point.volts[node]) <=
                          4.0 * rounding_v);
            }
        }
    });
}

TEST_CASE("drawn: whatever stands there, the answer is a number or a refusal") {
    check("laws and numbers of any kind", [](const Limbs& limbs, const std::vector<int>& spoilt) {
        Circuit circuit = meshed(limbs);
        constexpr double nothing = 0.0;
        const std::vector<double> odd = {
            -1.0, nothing, 1e-300, 1e300, 1.0 / nothing, nothing / nothing, 1e-29, 1e29, 1e9, 1e-9};
        for (const int what : spoilt) {
            const auto any = static_cast<unsigned>(what);
            const std::size_t k = any % circuit.branch_count();
            (any % 3 == 0   ? circuit.a
             : any % 3 == 1 ? circuit.b
                            : circuit.c)[k] = odd[any / 7 % odd.size()];
            if (any % 5 == 0) {
                circuit.law[k] = static_cast<Law>(any / 11 % 8);
            }
        }
        Solver solver;
        const OperatingPoint point = solver.solve(circuit);
        RC_ASSERT(point.iterations <= 5000);
        for (const auto* numbers : {&point.volts, &point.volts_low, &point.amps}) {
            RC_ASSERT(std::ranges::all_of(*numbers, [](double x) { return std::isfinite(x); }));
        }
        RC_ASSERT(std::isfinite(point.power_error) && std::isfinite(point.imbalance_a));
        RC_ASSERT(point.status != Status::bad_input || point.worst_branch >= 0);
        if (point.status == Status::solved) {
            RC_ASSERT(point.imbalance_a <= 1e-9 * point.source_current_a + 1e-12);
        }
    });
}
