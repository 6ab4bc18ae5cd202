#include "solve/circuit.hpp"
#include <doctest/doctest.h>
using namespace loomwright::solve;
TEST_CASE("divider") {
    Circuit c;
    c.node_count = 3;
    c.reference = 0;
    c.add(Law::source, 1, 0, 12.0, 1e4);
    c.add(Law::conductance, 1, 2, 1e4);
    c.add(Law::constant_current, 2, 0, 0.01, 6.0);
    c.add(Law::lamp, 2, 0, 4.0, 13.5, 12.0);
    c.add(Law::constant_power, 2, 0, 20.0, 6.0);
    c.add(Law::diode, 2, 0, 1e-12, 0.026);
    c.a[5] = 1e-12;
    c.from[5] = 0;
    c.to[5] = 2;
    Solver s;
    auto p = s.solve(c);
    CHECK(p.status == Status::solved);
    MESSAGE(p.iterations << " " << p.imbalance_a << " " << p.power_error << " "
                         << p.source_current_a << " v " << p.volts[2]);
}
