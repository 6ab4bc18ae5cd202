// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "reference.hpp"

#include "tables/catalogue_reader.hpp"

#include <algorithm>

using namespace loomwright;

namespace {

const Conductor& conductor(const Catalogue& tables, SizeStandard standard,
                           const std::string& name) {
    const Conductor* found = tables.find_conductor({standard, name});
    REQUIRE_MESSAGE(found != nullptr, name);
    return *found;
}

} // namespace

TEST_CASE("AWG geometry meets the end points of ASTM B258") {
    const auto rows = reference_rows("astm-b258-end-points");
    check_near(awg_diameter(36).value(), *number(rows[0], "value") * inch, 1e-9, "36 AWG");
    check_near(awg_diameter(-3).value(), *number(rows[1], "value") * inch, 1e-9, "4/0 AWG");
    for (int n = -3; n < 36; ++n) {
        check_near(awg_diameter(n).value() / awg_diameter(n + 1).value(), *number(rows[2], "value"),
                   5e-6, "ratio");
    }
}

TEST_CASE("AWG areas and resistances against NFPA 70 chapter 9 table 8") {
    const Catalogue tables = built_in();
    for (const ReferenceRow& row : reference_rows("nfpa70-table8")) {
        const std::string& name = row.at("awg");
        const Conductor& made = conductor(tables, SizeStandard::awg, name);
        check_near(made.area.value(), *number(row, "circular_mils") * circular_mil, 0.003, name);
        const double hot = resistance_at(made.r20_ohm_per_m, Celsius(75.0));
        const double printed = *number(row, "stranded_uncoated_75c_ohm_per_kft") * per_kft;
        INFO(name);
        CHECK(hot >= printed * (1.0 - 1e-12));
        CHECK(hot <= printed * 1.007);
        CHECK(made.diameter.value() == doctest::Approx(*number(row, "strand_diameter_in") * inch));
        if (const auto solid = number(row, "solid_uncoated_75c_ohm_per_kft")) {
            const double ours =
                tables.default_value("copper-resistivity").value / made.area.value();
            check_near(resistance_at(ours, Celsius(75.0)), *solid * per_kft, 0.005,
                       name + " solid");
        }
    }
}

TEST_CASE("mm2 conductors use the largest resistance that is known") {
    const Catalogue tables = built_in();
    for (const ReferenceRow& row : reference_rows("iec60228-class5")) {
        const Conductor& made = conductor(tables, SizeStandard::iso, row.at("size_mm2"));
        const double class_5 = *number(row, "plain_20c_ohm_per_km") * 1e-3;
        INFO(row.at("size_mm2"));
        CHECK(made.r20_ohm_per_m == doctest::Approx(class_5).epsilon(1e-12));
        CHECK(made.r20_origin.provenance == Provenance::read);
        CHECK(made.r20_others.find("memory: ISO 6722-1") != std::string::npos);
    }
    for (const ReferenceRow& row : reference_rows("iso6722-recalled")) {
        const Conductor& made = conductor(tables, SizeStandard::iso, row.at("size_mm2"));
        INFO(row.at("size_mm2"));
        CHECK(made.r20_ohm_per_m >= *number(row, "bare_20c_mohm_per_m") * 1e-3 * (1.0 - 1e-12));
        if (const auto tinned = number(row, "tinned_20c_mohm_per_m")) {
            CHECK(made.r20_ohm_per_m >= *tinned * 1e-3 * (1.0 - 1e-12));
        }
        CHECK(made.diameter.value() == doctest::Approx(*number(row, "strand_max_mm") * mm));
        CHECK(made.copper_area <= made.area);
    }
}

TEST_CASE("SAE conductors use the smaller area, which is under that of AWG") {
    const Catalogue tables = built_in();
    for (const ReferenceRow& row : reference_rows("sae-areas")) {
        const std::string& name = row.at("sae");
        const Conductor& made = conductor(tables, SizeStandard::sae, name);
        const auto seen = number(row, "least_area_read_cmil");
        const auto recalled = number(row, "least_area_recalled_mm2");
        const double least =
            std::min(seen ? *seen * circular_mil : 1.0, recalled ? *recalled * mm2 : 1.0);
        check_near(made.area.value(), least, 5e-4, name);
        CHECK(made.area < conductor(tables, SizeStandard::awg, name).area);
        CHECK(made.r20_ohm_per_m > conductor(tables, SizeStandard::awg, name).r20_ohm_per_m);
    }
    // 17.241 mohm mm2/m x 1.02 / 1.12 mm2, by hand.
    check_near(conductor(tables, SizeStandard::sae, "16").r20_ohm_per_m, 15.7016e-3, 1e-5,
               "SAE 16");
}

TEST_CASE("a thicker conductor of one standard never has more resistance") {
    const Catalogue tables = built_in();
    for (const SizeStandard standard : {SizeStandard::iso, SizeStandard::sae, SizeStandard::awg}) {
        const auto list = tables.conductors(standard);
        REQUIRE(list.size() > 10);
        for (std::size_t i = 1; i < list.size(); ++i) {
            INFO(show(list[i].size));
            CHECK(list[i].area > list[i - 1].area);
            CHECK(list[i].r20_ohm_per_m < list[i - 1].r20_ohm_per_m);
            CHECK(list[i].diameter > list[i - 1].diameter);
        }
    }
}

TEST_CASE("no conductor has less resistance than ideal copper of its area") {
    const Catalogue tables = built_in();
    for (const SizeStandard standard : {SizeStandard::iso, SizeStandard::sae, SizeStandard::awg}) {
        for (const Conductor& made : tables.conductors(standard)) {
            const double ratio = made.r20_ohm_per_m * made.area.value() / 1.7241e-8;
            INFO(show(made.size), " ratio ", ratio);
            CHECK(ratio > 1.0);
            CHECK(ratio < 1.2);
        }
    }
}

TEST_CASE("the range of sizes ends where the tables end") {
    const Catalogue tables = built_in();
    CHECK(tables.find_conductor({SizeStandard::awg, "30"}) != nullptr);
    CHECK(tables.find_conductor({SizeStandard::awg, "31"}) == nullptr);
    CHECK(tables.find_conductor({SizeStandard::awg, "5/0"}) == nullptr);
    CHECK(tables.find_conductor({SizeStandard::awg, "00000"}) == nullptr);
    CHECK(tables.find_conductor({SizeStandard::sae, "24"}) == nullptr);
    CHECK(tables.find_conductor({SizeStandard::sae, "15"}) == nullptr);
    CHECK(tables.find_conductor({SizeStandard::iso, "1.6"}) == nullptr);
    CHECK(tables.find_conductor({SizeStandard::iso, "150"}) == nullptr);
    CHECK(tables.find_conductor({SizeStandard::iso, ""}) == nullptr);
}

TEST_CASE("a size has one name however it is written") {
    CHECK(normal_size_name(SizeStandard::awg, "0") == "1/0");
    CHECK(normal_size_name(SizeStandard::awg, "00") == "2/0");
    CHECK(normal_size_name(SizeStandard::sae, "000") == "3/0");
    CHECK(normal_size_name(SizeStandard::awg, "0000") == "4/0");
    CHECK(normal_size_name(SizeStandard::awg, "4/0") == "4/0");
    CHECK(normal_size_name(SizeStandard::awg, "10") == "10");
    CHECK(normal_size_name(SizeStandard::awg, "20") == "20");
    CHECK(normal_size_name(SizeStandard::iso, "1.0") == "1");
    CHECK(normal_size_name(SizeStandard::iso, "1.50") == "1.5");
    CHECK(normal_size_name(SizeStandard::iso, ".5") == "0.5");
    CHECK(normal_size_name(SizeStandard::iso, "10") == "10");
    CHECK(normal_size_name(SizeStandard::iso, "120") == "120");
    const Catalogue tables = built_in();
    CHECK(tables.find_conductor({SizeStandard::iso, "1.0"}) ==
          tables.find_conductor({SizeStandard::iso, "1"}));
    CHECK(tables.find_conductor({SizeStandard::awg, "0"}) !=
          tables.find_conductor({SizeStandard::awg, "0000"}));
    CHECK(tables.find_conductor({SizeStandard::awg, "0"})->size.name == "1/0");
}

TEST_CASE("run length at a temperature by FAA AC 43.13-1B 11-66") {
    for (const ReferenceRow& row : reference_rows("faa-run-at-temperature")) {
        const double factor = resistance_at(1.0, Celsius(*number(row, "t2_c")));
        check_near(*number(row, "l1_ft") / factor, *number(row, "l2_ft"), 2e-4, row.at("t2_c"));
    }
}

TEST_CASE("outside diameters are the largest that is known") {
    const Catalogue tables = built_in();
    const Insulation* thin = tables.find_insulation("thin-wall pvc");
    const Insulation* thick = tables.find_insulation("thick-wall pvc");
    REQUIRE(thin != nullptr);
    REQUIRE(thick != nullptr);
    for (const ReferenceRow& row : reference_rows("iso6722-recalled")) {
        const Conductor& made = conductor(tables, SizeStandard::iso, row.at("size_mm2"));
        INFO(row.at("size_mm2"));
        for (const char* column : {"thin_outside_max_mm", "thin_outside_sold_mm"}) {
            if (const auto listed = number(row, column)) {
                CHECK(tables.outside_diameter(made, *thin).value() >= *listed * mm - 1e-12);
                CHECK(Catalogue::outside(made, *thin).is_in_table);
            }
        }
        if (const auto listed = number(row, "thick_outside_max_mm")) {
            CHECK(tables.outside_diameter(made, *thick).value() >= *listed * mm - 1e-12);
        }
    }
    check_near(tables.outside_diameter(conductor(tables, SizeStandard::iso, "0.5"), *thin).value(),
               1.7e-3, 1e-9, "0.5 mm2: 1.7 mm as sold, not 1.6 mm");
    check_near(tables
                   .outside_diameter(conductor(tables, SizeStandard::sae, "20"),
                                     *tables.find_insulation("GXL"))
                   .value(),
               0.096 * inch, 1e-9, "20 GXL, a maker's sheet");
}

TEST_CASE("a wall beyond the tables says so") {
    const Catalogue tables = built_in();
    const Insulation& thin = *tables.find_insulation("thin-wall xlpe");
    CHECK(Catalogue::outside(conductor(tables, SizeStandard::iso, "35"), thin).is_in_table);
    const auto& beyond = Catalogue::outside(conductor(tables, SizeStandard::iso, "120"), thin);
    CHECK_FALSE(beyond.is_in_table);
    CHECK(beyond.diameter > conductor(tables, SizeStandard::iso, "120").diameter);
    CHECK(beyond.origin.source.find("outside the tables") != std::string::npos);
}

TEST_CASE("every outside diameter is over its strand, and grows with the wall") {
    const Catalogue tables = built_in();
    for (const SizeStandard standard : {SizeStandard::iso, SizeStandard::sae, SizeStandard::awg}) {
        for (const Conductor& made : tables.conductors(standard)) {
            INFO(show(made.size));
            for (const OutsideDiameter& outside : made.outside) {
                CHECK(outside.diameter > made.diameter);
                CHECK(!outside.origin.source.empty());
            }
            const auto at = [&made](WallKind kind) {
                return made.outside.at(static_cast<std::size_t>(kind)).diameter;
            };
            CHECK(at(WallKind::thin) <= at(WallKind::thick));
        }
    }
}

TEST_CASE("mass of a metre against JIS C 3406") {
    const Catalogue tables = built_in();
    for (const ReferenceRow& row : reference_rows("jis-c3406-mass")) {
        const double made = tables.mass_kg_per_m(SquareMetres(*number(row, "area_mm2") * mm2),
                                                 Metres(*number(row, "strand_mm") * mm),
                                                 Metres(*number(row, "outside_mm") * mm), 1400.0);
        check_near(made, *number(row, "mass_g_per_m") * 1e-3, 0.06, row.at("name"));
    }
}
