// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/cut_list.hpp"

#include "sheets/buying_list.hpp"
#include "sheets/loaded.hpp"
#include "sizing/fittings.hpp"

#include <algorithm>

using namespace loomwright;

namespace {

std::vector<std::string> spool_titles(const CutList& list) {
    std::vector<std::string> out;
    for (const CutSpool& spool : list.spools) {
        out.push_back(spool.title());
    }
    return out;
}

std::vector<std::string> numbers(const CutSpool& spool) {
    std::vector<std::string> out;
    for (const CutLine& line : spool.lines) {
        out.push_back(line.number);
    }
    return out;
}

} // namespace

TEST_CASE("cut list: by spool, then colour, then length") {
    const auto project = test::sized(test::written_out);
    const CutList list = cut_list(project->study(), project->sizing);
    CHECK(spool_titles(list) ==
          std::vector<std::string>{"16 mm2 thin-wall pvc BK", "1.5 mm2 thin-wall pvc BK/RD",
                                   "1.5 mm2 thin-wall pvc BN", "1.5 mm2 thin-wall pvc RD",
                                   "1 mm2 thin-wall pvc BN", "0.75 mm2 thin-wall pvc BN"});
    // Longest first; 2.2 and 3.1 are equally long and stay in the order of the file.
    CHECK(numbers(list.spools[3]) == std::vector<std::string>{"2.2", "3.1", "2.1", "3.2"});
    REQUIRE(list.retained.size() == 1);
    CHECK(project->vehicle.wire(list.retained[0]).number == "2.5");
    std::size_t lines = 0;
    for (const CutSpool& spool : list.spools) {
        lines += spool.lines.size();
    }
    CHECK(lines + list.retained.size() == project->vehicle.wires.size());
}

TEST_CASE("cut list: lengths go up to the next 5 mm and a whole step stays") {
    const auto project = test::sized(test::written_out);
    const CutList list = cut_list(project->study(), project->sizing);
    const auto length_mm = [&](const std::string& number) {
        for (const CutSpool& spool : list.spools) {
            for (const CutLine& line : spool.lines) {
                if (line.number == number) {
                    return line.length.value() * 1e3;
                }
            }
        }
        return -1.0;
    };
    CHECK(length_mm("2.1") == doctest::Approx(1205)); // 1200.1
    CHECK(length_mm("2.2") == doctest::Approx(2000));
    CHECK(length_mm("2.3") == doctest::Approx(850));
    CHECK(length_mm("3.2") == doctest::Approx(105)); // 101
    CHECK(length_mm("3.3") == doctest::Approx(100));
    CHECK(list.spools[3].total.value() == doctest::Approx(2.0 + 2.0 + 1.205 + 0.105));
}

TEST_CASE("cut list: ends say what they meet") {
    const auto project = test::sized(test::written_out);
    const CutList list = cut_list(project->study(), project->sizing);
    const CutLine& line = list.spools[3].lines[0]; // 2.2 from F1.out to K1.30
    CHECK(line.from.at == "F1.out");
    CHECK(line.from.title == "Lamp");
    CHECK(line.from.fitting == "receptacle 6.3 mm");
    // 2.5 goes on from there in one barrel: the stock's terminal is for 1.5 mm2, not for both.
    CHECK(line.from.fitting_note == "together with 2.5");
    CHECK(line.from.part_number.empty());
    CHECK(line.to.at == "K1.30");
    CHECK(line.to.part_number == "T-63-15");
    const CutLine& ground = list.spools[0].lines[0];
    CHECK(ground.from.fitting == "ring M8"); // battery
    CHECK(ground.to.fitting == "ring M6");
    CHECK(ground.to.strip.value() > line.to.strip.value());
}

TEST_CASE("fittings: a wire too thick for the blade is bolted") {
    const auto project = test::sized(test::written_out);
    const Vehicle& vehicle = project->vehicle;
    const TerminalRef lamp{vehicle.find_device("E1"), 0};
    CHECK(end_fitting(vehicle, project->catalogue, lamp, SquareMetres(6e-6)).kind ==
          "receptacle 6.3 mm");
    CHECK(end_fitting(vehicle, project->catalogue, lamp, SquareMetres(10e-6)).kind ==
          "receptacle 9.5 mm");
    CHECK(end_fitting(vehicle, project->catalogue, lamp, SquareMetres(16e-6)).kind == "ring M6");
    CHECK(end_fitting(vehicle, project->catalogue, lamp, SquareMetres(25e-6)).kind == "ring M8");
}

TEST_CASE("cut list sheet: as many cells as columns, and the user's formula is only text") {
    const auto project = test::sized(test::written_out);
    const Sheet sheet =
        cut_list_sheet(project->study(), cut_list(project->study(), project->sizing));
    for (const auto& row : sheet.rows) {
        CHECK(row.size() == sheet.columns.size());
    }
    const std::string csv = sheet_csv(sheet);
    CHECK(csv.find(",'=cut last\r\n") != std::string::npos);
    CHECK(csv.find(",1205,") != std::string::npos);
}

TEST_CASE("buying list: sums, spare, spools and prices") {
    const auto project = test::sized(test::written_out);
    const CutList cuts = cut_list(project->study(), project->sizing);
    const BuyingList list = buying_list(project->study(), project->sizing, cuts);
    CHECK(list.spare == doctest::Approx(0.20));
    const BuyWire& red = list.wires[3];
    // 5.31 m and 20 % spare are 6.372 m: two spools of 5 m at 0.50 a metre.
    CHECK(red.needed.value() == doctest::Approx(5.31));
    CHECK(red.with_spare.value() == doctest::Approx(6.372));
    CHECK(red.spools == 2);
    CHECK(red.bought.value() == doctest::Approx(10.0));
    REQUIRE(red.cost.has_value());
    CHECK(red.cost->value() == doctest::Approx(5.0));
    CHECK(red.stock->part_number == "W-15R");
    // Brown is met by the line that leaves the colour open; without a spool length, whole metres.
    const BuyWire& brown = list.wires[2];
    CHECK(brown.stock->part_number == "W-15");
    CHECK(brown.bought.value() == doctest::Approx(1.0));
    CHECK(brown.cost->value() == doctest::Approx(0.40));
    // 16 mm2 is not in stock.
    CHECK(list.wires[0].stock == nullptr);
    CHECK_FALSE(list.wires[0].cost.has_value());
}

TEST_CASE("buying list: parts are counted once for each place") {
    const auto project = test::sized(test::written_out);
    const CutList cuts = cut_list(project->study(), project->sizing);
    const BuyingList list = buying_list(project->study(), project->sizing, cuts);
    const auto part = [&](const std::string& start) {
        return std::ranges::find_if(list.parts,
                                    [&](const BuyPart& it) { return it.what.starts_with(start); });
    };
    const auto fuse = part("blade 10 A");
    REQUIRE(fuse != list.parts.end());
    CHECK(fuse->count == 2);
    CHECK(fuse->with_spare == 3); // 2.4
    CHECK(fuse->used_at == "F1, F2");
    CHECK(fuse->what == "blade 10 A, red"); // ISO 8820-3
    CHECK(fuse->stock->part_number == "FB-10");
    CHECK(fuse->cost->value() == doctest::Approx(0.60));
    const auto relay = part("relay 30 A");
    REQUIRE(relay != list.parts.end());
    CHECK(relay->count == 1);
    // Ends of every wire that is cut: two each, none of the old wire's.
    int terminals = 0;
    for (const BuyPart& it : list.parts) {
        terminals += it.group == "terminal" ? it.count : 0;
    }
    CHECK(terminals == 2 * static_cast<int>(project->vehicle.wires.size() - 1));
    REQUIRE(list.total.has_value());
}

TEST_CASE("the Marlow: every wire is cut once or stays, and the sheets are whole") {
    const auto project = test::example("marlow", "marlow.yaml");
    const CutList cuts = cut_list(project->study(), project->sizing);
    std::vector<bool> seen(project->vehicle.wires.size(), false);
    for (const CutSpool& spool : cuts.spools) {
        CHECK(std::ranges::is_sorted(spool.lines, std::ranges::greater(), &CutLine::length));
        for (const CutLine& line : spool.lines) {
            CHECK_FALSE(seen[line.wire.index()]);
            seen[line.wire.index()] = true;
            CHECK(line.length >= line.exact);
            CHECK(line.length.value() < line.exact.value() + 0.005);
        }
    }
    for (const WireId wire : cuts.retained) {
        CHECK_FALSE(seen[wire.index()]);
        seen[wire.index()] = true;
    }
    CHECK(std::ranges::all_of(seen, [](bool is_seen) { return is_seen; }));
    const BuyingList list = buying_list(project->study(), project->sizing, cuts);
    for (const auto& row : buying_list_sheet(list).rows) {
        CHECK(row.size() == buying_list_sheet(list).columns.size());
    }
}
