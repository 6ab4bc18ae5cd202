// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "reference.hpp"

#include "tables/catalogue_reader.hpp"

#include <set>
#include <stdexcept>

using namespace loomwright;

TEST_CASE("k of the adiabatic equation against IEC 60364-5-54") {
    const Catalogue tables = built_in();
    const double k = tables.default_value("adiabatic-copper").value;
    const double beta = tables.default_value("adiabatic-copper-beta").value;
    for (const ReferenceRow& row : reference_rows("iec60364-adiabatic-k")) {
        const double made =
            adiabatic_k(k, beta, Celsius(*number(row, "from_c")), Celsius(*number(row, "to_c")));
        INFO(row.at("insulation"), ": ", made);
        CHECK(std::abs(made - *number(row, "k")) <= 0.5);
    }
}

TEST_CASE("insulations take the lower limit and the k from it") {
    const Catalogue tables = built_in();
    CHECK(tables.default_insulation().name == "thin-wall pvc");
    for (const char* name :
         {"thin-wall pvc", "thin-wall xlpe", "standard-wall pvc", "thick-wall pvc",
          "thick-wall xlpe", "GPT", "TWP", "HDT", "TXL", "GXL", "SXL", "SGT", "SGX", "STX"}) {
        INFO(name);
        CHECK(tables.find_insulation(name) != nullptr);
    }
    CHECK(tables.find_insulation("paper") == nullptr);
    for (const Insulation& made : tables.insulations()) {
        INFO(made.name);
        CHECK(made.short_time > made.limit);
        CHECK(made.conductivity_w_per_m_k > 0.0);
        CHECK(!made.limit_origin.source.empty());
        if (made.limit_other) {
            CHECK(made.limit < *made.limit_other);
        }
    }
    CHECK(tables.find_insulation("TWP")->limit == Celsius(80.0));
    CHECK(tables.find_insulation("TWP")->limit_origin.provenance == Provenance::memory);
    CHECK(tables.find_insulation("thin-wall pvc")->limit == Celsius(100.0));
    // 226 sqrt(ln(394.5 / 334.5)) = 91.8, by hand.
    CHECK(tables.find_insulation("thin-wall pvc")->k_a_sqrt_s_per_mm2 ==
          doctest::Approx(91.8).epsilon(0.001));
}

TEST_CASE("bundle factors meet the point that AC 43.13-1B prints, and fall") {
    const Catalogue tables = built_in();
    for (const ReferenceRow& row : reference_rows("bundle-factor-points")) {
        const auto factor = tables.bundle_factor(static_cast<int>(*number(row, "wires")),
                                                 *number(row, "loading_percent") / 100.0);
        REQUIRE(factor.has_value());
        CHECK(std::abs(*factor - *number(row, "factor")) <= 0.01);
    }
    const int last = tables.bundle_factor_last_row();
    CHECK(last == 19);
    for (int wires = 1; wires <= last; ++wires) {
        double before = 1.0;
        for (double loading = 0.0; loading <= 1.0; loading += 0.05) {
            const auto factor = tables.bundle_factor(wires, loading);
            REQUIRE(factor.has_value());
            CHECK(*factor <= before + 1e-12);
            before = *factor;
            if (wires > 1) {
                CHECK(*factor <= *tables.bundle_factor(wires - 1, loading));
            }
        }
    }
    // Half way between the 20 % and the 40 % column of ten wires: (0.755 + 0.6225) / 2.
    CHECK(*tables.bundle_factor(10, 0.3) == doctest::Approx(0.68875));
}

TEST_CASE("bundle factors do not reach beyond their table") {
    const Catalogue tables = built_in();
    CHECK_FALSE(tables.bundle_factor(20, 0.2).has_value());
    CHECK_FALSE(tables.bundle_factor(500, 1.0).has_value());
    CHECK_FALSE(tables.bundle_factor(5, 1.01).has_value());
    CHECK_FALSE(tables.bundle_factor(5, -0.1).has_value());
    CHECK_FALSE(tables.bundle_factor(5, std::nan("")).has_value());
    CHECK(*tables.bundle_factor(5, 0.05) == *tables.bundle_factor(5, 0.2));
    CHECK(*tables.bundle_factor(1, 1.0) == 1.0);
    CHECK(*tables.bundle_factor(0, 1.0) == 1.0);
}

TEST_CASE("defaults are a closed list") {
    const Catalogue tables = built_in();
    CHECK(tables.default_value("ground-bond").value == doctest::Approx(0.001).scale(0.0));
    CHECK(tables.default_value("ground-bond").unit == "ohm");
    CHECK_THROWS_AS(static_cast<void>(tables.default_value("no-such-default")), std::logic_error);
    CHECK_THROWS_AS(static_cast<void>(tables.default_value("")), std::logic_error);
    std::set<std::string> names;
    for (const DefaultValue& row : tables.defaults()) {
        INFO(row.name);
        CHECK(names.insert(row.name).second);
        CHECK(!row.title.empty());
        CHECK(!row.origin.source.empty());
        CHECK(&tables.default_value(row.name) == &row);
    }
}

TEST_CASE("drop limits: the class that nothing names is there, and 24 V allows no less than half") {
    const Catalogue tables = built_in();
    REQUIRE(tables.find_drop_limit("other") != nullptr);
    CHECK(tables.find_drop_limit("nothing") == nullptr);
    for (const DropLimit& row : tables.drop_limits()) {
        INFO(row.name);
        CHECK(row.at_12_v.value() > 0.0);
        CHECK(row.at_12_v.value() <= 1.4); // no class allows more than a starter solenoid's lead
        CHECK(!row.origin.source.empty());
        REQUIRE(row.at_24_v.has_value());
        CHECK(row.at_24_v->value() <= 2.0 * row.at_12_v.value() + 1e-12);
    }
    // 5 % of 12 V (a test-tool maker's page) and, for sensors, 3 % (ABYC E-11), by hand.
    CHECK(tables.find_drop_limit("motor")->at_12_v.value() == doctest::Approx(0.6));
    CHECK(tables.find_drop_limit("electronics")->at_12_v.value() == doctest::Approx(0.6));
    CHECK(tables.find_drop_limit("sensor")->at_12_v.value() == doctest::Approx(0.36));
}

TEST_CASE("every cover that a run can have is in the table, with its figures") {
    const Catalogue tables = built_in();
    // The words of docs/format/vehicle-file.md.
    for (const char* word : {"tape", "braid", "conduit", "sleeve", "heat-sleeve"}) {
        INFO(word);
        const CoverType* cover = tables.find_cover(word);
        REQUIRE(cover != nullptr);
        CHECK(cover->wall.value() > 0.0);
        CHECK(cover->wall.value() < 0.005);
        CHECK(cover->conductivity_w_per_m_k > 0.0);
        CHECK(!cover->origin.source.empty());
    }
    CHECK(tables.covers().size() == 5);
    CHECK(tables.find_cover("") == nullptr);
    CHECK(tables.find_cover("paper") == nullptr);
    // IEC 60287-2-1, fibre duct in air: 5.2, 0.83, 0.006 (from memory).
    const CoverType& conduit = *tables.find_cover("conduit");
    REQUIRE(conduit.duct.has_value());
    CHECK((*conduit.duct)[0] == doctest::Approx(5.2));
    CHECK((*conduit.duct)[1] == doctest::Approx(0.83));
    CHECK((*conduit.duct)[2] == doctest::Approx(0.006).scale(0.0));
    CHECK(!conduit.duct_origin.source.empty());
}

TEST_CASE("relays pull in above where they drop out") {
    const Catalogue tables = built_in();
    REQUIRE(!tables.relays().empty());
    for (const RelayType& row : tables.relays()) {
        INFO(row.name);
        CHECK(row.pulls_in > row.drops_out);
        CHECK(row.pulls_in < Volts(12.0));
        CHECK(row.coil.value() > 0.0);
    }
}
