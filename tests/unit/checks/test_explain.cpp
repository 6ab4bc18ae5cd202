// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What `explain` writes must come out again when its numbers are put back into its formulas.
#include "checked.hpp"

#include "checks/explain.hpp"
#include "checks/proofs.hpp"
#include "loom/run_costs.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <regex>
#include <sstream>

using namespace loomwright;

namespace {

const std::string car_text =
    "loomwright: 1\n"
    "zones: {bay: {air: 80 C}}\n"
    "points: {tray: {zone: bay}, front: {zone: bay}}\n"
    "runs: {wing: {from: tray, to: front, length: 1.4 m}}\n"
    "devices:\n"
    "  G1: {is: battery, at: tray, capacity: 60 Ah, cranking-amps: 600 A}\n"
    "  F1: {is: fuse, at: tray, rating: auto}\n"
    "  F2: {is: fuse, at: tray, rating: 5 A}\n"
    "  K1: {is: relay, at: front, contact: 40 A, coil: 85 ohm}\n"
    "  M1: {is: motor, at: front, draws: 12 A at 13 V, inrush: 36 A for 0.4 s, case: chassis}\n"
    "  GND1: {is: ground, at: tray, body: chassis}\n"
    "circuits:\n"
    "  fan:\n"
    "    number: 1\n"
    "    class: motor\n"
    "    insulation: thin-wall xlpe\n"
    "    paths: [G1 > F1 > K1 > M1, G1 > F2 > K1.86, K1.85 > GND1, G1.- > GND1]\n";

struct Explained {
    std::unique_ptr<Checked> car;
    std::vector<ProofSection> proof;
};

Explained explained(const char* id) {
    Explained out{check_text(car_text), {}};
    REQUIRE(out.car->is_sized);
    const StudyInput study = out.car->study();
    const auto proof = explain({study, out.car->sizing}, id);
    REQUIRE(proof.has_value());
    out.proof = *proof;
    return out;
}

const ProofStep* step(const std::vector<ProofSection>& proof, std::string_view formula) {
    for (const ProofSection& section : proof) {
        for (const ProofStep& row : section.steps) {
            if (row.formula.find(formula) != std::string::npos) {
                return &row;
            }
        }
    }
    return nullptr;
}

std::vector<double> numbers_in(const std::string& text) {
    std::vector<double> out;
    const std::regex number("-?[0-9]+(\\.[0-9]+)?(e-?[0-9]+)?");
    for (std::sregex_iterator it(text.begin(), text.end(), number); it != std::sregex_iterator();
         ++it) {
        out.push_back(std::stod(it->str()));
    }
    return out;
}

} // namespace

TEST_CASE("every step has a formula, an answer and a source") {
    for (const char* id :
         {"1.2", "1.3", "F1", "F2", "K1", "M1", "G1", "GND1", "wing", "tray", "as built"}) {
        CAPTURE(std::string(id));
        for (const ProofSection& section : explained(id).proof) {
            CAPTURE(section.title);
            CHECK_FALSE(section.title.empty());
            for (const ProofStep& row : section.steps) {
                CAPTURE(row.formula);
                CHECK_FALSE(row.formula.empty());
                CHECK_FALSE(row.gives.empty());
                CHECK_FALSE(row.source.empty());
            }
        }
    }
}

TEST_CASE("nothing is explained that is not there") {
    const auto car = check_text(car_text);
    const StudyInput study = car->study();
    CHECK_FALSE(explain({study, car->sizing}, "9.9").has_value());
    CHECK_FALSE(explain({study, car->sizing}, "").has_value());
    CHECK_FALSE(explain({study, car->sizing}, "drop-limit").has_value());
}

TEST_CASE("what is gathered once gives what each alone gives") {
    const auto car = check_text(car_text);
    const StudyInput study = car->study();
    Explainer explainer({study, car->sizing});
    for (const char* id : {"1.1", "1.2", "G1", "F1", "F2", "K1", "M1", "GND1", "wing", "tray",
                           "front", "as built", "1.3", "F1"}) {
        CAPTURE(std::string(id));
        const auto together = explainer.explain(id);
        const auto alone = explain({study, car->sizing}, id);
        REQUIRE(together.has_value());
        REQUIRE(alone.has_value());
        REQUIRE(together->size() == alone->size());
        for (std::size_t s = 0; s < alone->size(); ++s) {
            CHECK(together->at(s).title == alone->at(s).title);
            REQUIRE(together->at(s).steps.size() == alone->at(s).steps.size());
            for (std::size_t k = 0; k < alone->at(s).steps.size(); ++k) {
                CHECK(together->at(s).steps[k].formula == alone->at(s).steps[k].formula);
                CHECK(together->at(s).steps[k].gives == alone->at(s).steps[k].gives);
            }
        }
    }
}

TEST_CASE("every name that is offered can be explained, or is a rule") {
    const auto car = check_text(car_text);
    const StudyInput study = car->study();
    Explainer explainer({study, car->sizing}, &car->files);
    for (const std::string& name : explained_names(car->vehicle)) {
        CAPTURE(name);
        const bool is_rule = rule_asked(name) != nullptr;
        CHECK(explainer.explain(name).has_value() != is_rule);
        CHECK(explainer.explain_rule(name, car->findings.all()).has_value() == is_rule);
    }
}

TEST_CASE("a finding is explained with its margin by its own formula") {
    const auto car = check_text(car_text);
    const StudyInput study = car->study();
    Finding finding;
    finding.rule = Rule::fuse_over_wire;
    finding.subject = "1.2";
    finding.message = "too large";
    finding.figures = {{"fuse", 20.0, "A", FigureRole::observed},
                       {"wire", 16.0, "A", FigureRole::limit}};
    const auto proof = explain_finding({study, car->sizing}, finding);
    REQUIRE(step(proof, "margin = (limit - observed)") != nullptr);
    CHECK(step(proof, "margin = ")->with == "(16 - 20) / 16");
    CHECK(step(proof, "margin = ")->gives == "-25 %"); // (16 - 20) / 16
    CHECK(step(proof, "fuse, observed")->gives == "20 A");
    // The proof of its subject, as far as it belongs.
    CHECK(step(proof, "Iz, the lowest") != nullptr);
    CHECK(step(proof, "R20 = r20 x L") == nullptr);

    finding.figures[1].is_least = true;
    const auto least = explain_finding({study, car->sizing}, finding);
    REQUIRE(step(least, "margin = (observed - limit)") != nullptr);
    CHECK(step(least, "margin = ")->gives == "25 %"); // (20 - 16) / 16

    finding.subject = "nothing of the car";
    CHECK(explain_finding({study, car->sizing}, finding).size() == 1);
}

TEST_CASE("only a rule, or a rule with a subject, asks for findings") {
    CHECK(rule_asked("fuse-over-wire") == &rule_info(Rule::fuse_over_wire));
    CHECK(rule_asked("fuse-over-wire:12.2") == &rule_info(Rule::fuse_over_wire));
    CHECK(rule_asked("12.2") == nullptr);
    CHECK(rule_asked(":12.2") == nullptr);
    CHECK(rule_asked("") == nullptr);
}

TEST_CASE("the wire's numbers come out again with a pocket calculator") {
    const Explained it = explained("1.2");
    // R20 = r20 x L, printed to four digits.
    const ProofStep* r20 = step(it.proof, "R20 = r20 x L");
    REQUIRE(r20 != nullptr);
    const auto in = numbers_in(r20->with);
    REQUIRE(in.size() == 2);
    CHECK(numbers_in(r20->gives).front() == doctest::Approx(in[0] * in[1]).epsilon(0.01));
    // q = I^2 r
    const ProofStep* heat = step(it.proof, "q = I^2 r(T)");
    REQUIRE(heat != nullptr);
    const auto i_and_r = numbers_in(heat->with);
    REQUIRE(i_and_r.size() == 3);
    CHECK(numbers_in(heat->gives).front() ==
          doctest::Approx(i_and_r[0] * i_and_r[0] * i_and_r[2] * 1e-3).epsilon(0.001));
    // What leaves by radiation and convection is what is made.
    const ProofStep* balance = step(it.proof, "q_rad + q_conv = q");
    REQUIRE(balance != nullptr);
    const auto parts = numbers_in(balance->with);
    const auto both = numbers_in(balance->gives);
    REQUIRE(parts.size() == 2);
    REQUIRE(both.size() == 2);
    CHECK(parts[0] + parts[1] == doctest::Approx(both[0]).epsilon(0.001));
    CHECK(both[0] == doctest::Approx(both[1]).epsilon(0.001));
    // Radiation by its own numbers: pi D e s (Ts^4 - Ta^4).
    const ProofStep* radiation = step(it.proof, "q_rad = pi D e s");
    REQUIRE(radiation != nullptr);
    const auto r = numbers_in(radiation->with);
    REQUIRE(r.size() >= 7);
    const double by_hand =
        std::numbers::pi * r[0] * r[1] * r[2] * (std::pow(r[3], 4) - std::pow(r[5], 4));
    CHECK(numbers_in(radiation->gives).front() == doctest::Approx(by_hand).epsilon(0.003));
}

TEST_CASE("the fuse's numbers come out again") {
    const Explained it = explained("F1");
    // 12 A at 80 C: f = 1 - 0.0043 x 60 = 0.742; 12 / (0.75 x 0.742) = 21.56 A, so 25 A for the
    // load. Two starts of 36 A for 0.4 s; opening times stand at 1 - 0.0014 (80 - 23) = 0.9202 of
    // their currents. 25 A as 23.0 A, 36 A 1.565 times that: 0.75 (1.565/1.35)^-4.095 = 0.410 s;
    // 30 A as 27.6 A, 1.304 times: seconds (by hand).
    const ProofStep* factor = step(it.proof, "f = 1 - slope");
    REQUIRE(factor != nullptr);
    CHECK(numbers_in(factor->gives).front() == doctest::Approx(0.742));
    const ProofStep* least = step(it.proof, "least rating = I / (share x f)");
    REQUIRE(least != nullptr);
    CHECK(numbers_in(least->gives).front() == doctest::Approx(21.56).epsilon(0.002));
    CHECK(it.car->fuse("F1").rating_a == 30.0);
    const ProofStep* pass = step(it.proof, "I^2 t at its slow gate");
    REQUIRE(pass != nullptr);
    CHECK(numbers_in(pass->gives).front() == doctest::Approx(20.0 * 30.0 * 30.0));
    const ProofStep* stands = step(it.proof, "I^2 t <= k^2 S^2");
    REQUIRE(stands != nullptr);
    // What is left is what the two sides leave: 18 000 A2s of k^2 S^2.
    const auto sides = numbers_in(stands->with);
    const auto margin = numbers_in(stands->gives);
    REQUIRE(sides.size() == 6);
    REQUIRE(margin.size() == 1);
    CHECK(stands->gives.substr(0, 6) == "holds,");
    CHECK(margin[0] == doctest::Approx(100.0 * (1.0 - sides[0] / sides[5])).epsilon(0.01));
    const ProofStep* gate = step(it.proof, "opens at 200 % of its rating");
    REQUIRE(gate != nullptr);
    CHECK(gate->gives.find("5 s") != std::string::npos);
    // Tables fuse-gates, a blade at 135 % within 600 s; heat does not move the slow side.
    CHECK(step(it.proof, "peak at 135 % of In for 10 min, heat leaving") != nullptr);
}

TEST_CASE("the law of a load holds below a volt too") {
    // 12.6 V over 10 ohm and the heater's 0.8 V / 1 A = 0.8 ohm: 12.6 / 10.8 = 1.167 A, 0.933 V;
    // wires, fuse and battery are some hundredths of an ohm.
    const auto car =
        check_text("loomwright: 1\n"
                   "devices:\n"
                   "  G1: {is: battery, capacity: 60 Ah, voltage: 12.6 V, resistance: 5 mohm}\n"
                   "  F1: {is: fuse, rating: 5 A}\n"
                   "  R1: {is: resistor, resistance: 10 ohm}\n"
                   "  E1: {is: heater, draws: 1 A at 0.8 V}\n"
                   "  GND1: {is: ground, body: chassis}\n"
                   "circuits:\n"
                   "  one: {number: 1, size: 2.5 mm2, paths: [G1 > F1 > R1.1, R1.2 > E1 > GND1, "
                   "G1.- > GND1]}\n",
                   {}, false);
    REQUIRE_MESSAGE(car->is_sized, car->text());
    const StudyInput study = car->study();
    const auto proof = explain({study, car->sizing}, "E1");
    REQUIRE(proof.has_value());
    const ProofStep* law = step(*proof, "I = I0 V / V0 in as built");
    REQUIRE(law != nullptr);
    const auto in = numbers_in(law->with);
    REQUIRE(in.size() == 3);
    CHECK(in[0] == 1.0);
    CHECK(in[1] == doctest::Approx(0.8 * 12.6 / 10.8).epsilon(0.01));
    CHECK(in[2] == 0.8);
}

TEST_CASE("the drop of a path is the sum of its parts as they are printed") {
    const Explained it = explained("M1");
    const ProofStep* sum = step(it.proof, "drop = sum over the way");
    REQUIRE(sum != nullptr);
    double total = 0.0;
    std::istringstream terms(sum->with);
    std::string unit;
    for (double part = 0.0; terms >> part >> unit;
         terms >> unit) { // "0.1 V + 2 mV": value, unit, +
        total += unit == "mV" ? part * 1e-3 : part;
    }
    const double printed = numbers_in(sum->gives).front();
    const bool is_milli = sum->gives.find("mV") != std::string::npos;
    CHECK(total == doctest::Approx(is_milli ? printed * 1e-3 : printed).epsilon(0.002));
}

TEST_CASE("of neither a wire nor a load there is no path") {
    const auto car = check_text(car_text);
    REQUIRE(car->is_sized);
    const StudyInput study = car->study();
    REQUIRE_FALSE(car->sizing.drops.empty());
    CHECK(tightest_drop({study, car->sizing}, WireId(), DeviceId()) == nullptr);
}

TEST_CASE("a source that gives nothing: alone at its own voltage, or under another's") {
    const auto proof_of = [](const char* id) {
        const auto car = check_text(
            "loomwright: 1\n"
            "devices:\n"
            "  G1: {is: battery, capacity: 60 Ah, cranking-amps: 600 A}\n"
            "  G2: {is: alternator, rated: 50 A, regulates: 14.4 V}\n"
            "  G3: {is: charger, limit: 10 A, regulates: 14 V}\n"
            "  G4: {is: charger, limit: 10 A, regulates: 13 V}\n"
            "  S1: {is: switch, positions: {off: [], on: [1-2]}}\n"
            "  GND1: {is: ground, body: chassis}\n"
            "circuits:\n"
            "  all:\n"
            "    number: 1\n"
            "    paths: [G2.B+ > G1.+, G3.+ > G1.+, G4.+ > S1 > G1.+, G1.- > GND1, G2.- > GND1,\n"
            "            G3.- > GND1, G4.- > GND1]\n"
            "states: {run: {engine: running, set: {G3: on, G4: on}}}\n");
        REQUIRE_MESSAGE(car->is_sized, car->text());
        const StudyInput study = car->study();
        const auto proof = explain({study, car->sizing}, id);
        REQUIRE(proof.has_value());
        const ProofStep* found = step(*proof, "V, with nothing given");
        REQUIRE(found != nullptr);
        return *found;
    };
    CHECK(proof_of("G3").with == "the voltage is over its own of 14 V");  // at some 14.4 V
    CHECK(proof_of("G4").with == "nothing draws on it: its own of 13 V"); // behind the open switch
    CHECK(proof_of("G4").gives == "13 V");
}

TEST_CASE("the shares of a route that the file gives decide the way, and are told") {
    // docs/method/routes.md: L (1 + hot (T - 60) / 10 + wet + moving + seen). By the policy the
    // hinge costs 2 (1 + 0.5 x 20 / 10 + 0 + 1 + 0.25) = 6.5 m and the tunnel 3 (1 + 0.5 x 30 / 10
    // + 0) = 7.5 m; by the tables (0.2, 0.3, 1 and 0.5) 2 (1 + 0.4 + 1 + 0.5) = 5.8 m and
    // 3 (1 + 0.6 + 0.3) = 5.7 m.
    const auto car_of = [](const std::string& policy) {
        auto car =
            check_text("loomwright: 1\n"
                       "zones: {warm: {air: 80 C}, damp: {air: 90 C, wet: yes}}\n"
                       "points: {a: {zone: warm}, b: {zone: warm}}\n"
                       "runs:\n"
                       "  hinge: {from: a, to: b, length: 2 m, moving: yes}\n"
                       "  tunnel: {from: a, to: b, length: 3 m, zone: damp, hidden: yes}\n" +
                       policy +
                       "devices:\n"
                       "  G1: {is: battery, at: a, capacity: 60 Ah}\n"
                       "  F1: {is: fuse, at: a, rating: 10 A}\n"
                       "  E1: {is: lamp, at: b, draws: 21 W}\n"
                       "  GND1: {is: ground, at: b, body: chassis}\n"
                       "  GND2: {is: ground, at: a, body: chassis}\n"
                       "circuits: {one: {number: 1, paths: [G1 > F1 > E1 > GND1, G1.- > GND2]}}\n");
        REQUIRE_MESSAGE(car->is_sized, car->text());
        return car;
    };
    const auto way_of = [](const Checked& car) {
        std::string out;
        for (const RunId run : car.routing.wires[car.vehicle.find_wire("1.2").index()].runs) {
            out += car.vehicle.run(run).name;
        }
        return out;
    };
    const auto costs_of = [](const Checked& car) {
        return run_costs(car.vehicle, car.catalogue, car.routing.run_lengths,
                         car.routing.run_zones);
    };
    const auto car = car_of("policy: {route: {hot: 50 %, wet: 0 %, moving: 100 %, seen: 25 %}}\n");
    CHECK(costs_of(*car)[0].cost_m() == doctest::Approx(6.5));
    CHECK(costs_of(*car)[1].cost_m() == doctest::Approx(7.5));
    CHECK(way_of(*car) == "hinge");
    const StudyInput study = car->study();
    const auto proof = explain({study, car->sizing}, "1.2");
    REQUIRE(proof.has_value());
    const ProofStep* cost = step(*proof, "cost of hinge");
    REQUIRE(cost != nullptr);
    CHECK(cost->with == "2 m x (1 + 1 + 0 + 1 + 0.25)");
    CHECK(cost->gives == "6.5 m");
    CHECK(cost->source == "the vehicle file, policy");
    const auto by_tables = car_of("");
    CHECK(costs_of(*by_tables)[0].cost_m() == doctest::Approx(5.8));
    CHECK(costs_of(*by_tables)[1].cost_m() == doctest::Approx(5.7));
    CHECK(way_of(*by_tables) == "tunnel");
}

TEST_CASE(
    "opening times: of the rating, else of the whole family, of a link its band, or unknown") {
    // Table fuse-gates: strips of 100 to 500 A open at 200 % within 1 s to 15 s; of smaller ones
    // and of bolt-in fuses nothing is known.
    const auto car = check_text("loomwright: 1\n"
                                "devices:\n"
                                "  G1: {is: battery, capacity: 60 Ah, case: chassis}\n"
                                "  F1: {is: fuse, family: strip, rating: 60 A}\n"
                                "  F2: {is: fuse, family: strip, rating: 100 A}\n"
                                "  F3: {is: fuse, family: bolt-in, rating: 60 A}\n"
                                "  F4: {is: fusible-link, size: 0.5 mm2, rating: 20 A}\n"
                                "  E1: {is: lamp, draws: 21 W, case: chassis}\n"
                                "circuits:\n"
                                "  one: {number: 1, size: 35 mm2, paths: [G1 > F1 > E1, G1 > F2 > "
                                "E1, G1 > F3 > E1, G1 > F4 > E1]}\n");
    REQUIRE_MESSAGE(car->is_sized, car->text());
    const StudyInput study = car->study();
    const auto times_of = [&](const char* fuse) {
        const auto proof = explain({study, car->sizing}, fuse);
        REQUIRE(proof.has_value());
        const auto section = std::ranges::find_if(
            *proof, [](const ProofSection& one) { return one.title.starts_with("Time-current"); });
        REQUIRE(section != proof->end());
        return *section;
    };
    const std::string strip = "Time-current gates of bolt-in strip, SF51";
    const std::vector<ProofSection> other{times_of("F1")};
    CHECK(other.front().title ==
          strip + ": none of this rating are known, these hold for all others");
    const ProofStep* const gate = step(other, "opens at 200 % of its rating, 120 A");
    REQUIRE(gate != nullptr);
    CHECK(gate->gives == "1 s to 15 s");
    const ProofSection own = times_of("F2");
    CHECK(own.title == strip);
    CHECK(step({own}, "opens at 200 % of its rating, 200 A") != nullptr);
    const ProofSection unknown = times_of("F3");
    REQUIRE(unknown.steps.size() == 1);
    CHECK(unknown.steps.front().gives == "not known");
    const ProofSection link = times_of("F4");
    CHECK(link.title.starts_with("Time-current band of fusible link"));
    CHECK(step({link}, "shortest opening time") != nullptr);
}
