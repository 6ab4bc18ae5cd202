// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "reference.hpp"

#include "tables/data_table.hpp"

#include <algorithm>
#include <set>

using namespace loomwright;

namespace {

std::size_t column(const TableView& view, const std::string& heading) {
    const auto found = std::ranges::find(view.columns, heading);
    REQUIRE_MESSAGE(found != view.columns.end(), heading);
    return static_cast<std::size_t>(found - view.columns.begin());
}

const std::vector<std::string>& row_of(const TableView& view, const std::string& first) {
    const auto found =
        std::ranges::find_if(view.rows, [&first](const auto& row) { return row.front() == first; });
    REQUIRE_MESSAGE(found != view.rows.end(), first);
    return *found;
}

} // namespace

TEST_CASE("every data file has a view, with provenance and source in its last columns") {
    const Catalogue tables = built_in();
    const std::vector<std::string> names = tables.table_names();
    const std::vector<std::string> files = data_table_names();
    CHECK(std::set<std::string>(names.begin(), names.end()) ==
          std::set<std::string>(files.begin(), files.end()));
    for (const std::string& name : names) {
        const auto view = tables.view(name);
        INFO(name);
        REQUIRE(view.has_value());
        CHECK(view->name == name);
        CHECK(!view->description.empty());
        CHECK(!view->source.empty());
        CHECK(!view->edition.empty());
        CHECK(!view->validity.empty());
        CHECK(!view->rows.empty());
        CHECK(view->columns[view->columns.size() - 2] == "provenance");
        CHECK(view->columns.back() == "source");
        for (const auto& row : view->rows) {
            REQUIRE(row.size() == view->columns.size());
            const std::string& mark = row[row.size() - 2];
            CHECK((mark.starts_with("read") || mark.starts_with("memory") ||
                   mark.starts_with("derived")));
            CHECK(!row.back().empty());
        }
    }
    CHECK_FALSE(tables.view("nothing").has_value());
}

TEST_CASE("both figures are shown where sources disagree, and the one that is used") {
    const Catalogue tables = built_in();
    const TableView iso = *tables.view("conductors-iso");
    const auto& half = row_of(iso, "0.5");
    CHECK(half[column(iso, "r20-bare (mohm/m, memory)")] == "37.1");
    CHECK(half[column(iso, "r20-class-5 (mohm/m, read)")] == "39.0");
    CHECK(half[column(iso, "used: r20 (mohm/m)")] == "39");
    CHECK(half[column(iso, "outside-thin (mm, memory)")] == "1.6");
    CHECK(half[column(iso, "outside-thin-sold (mm, read)")] == "1.7");
    CHECK(half[column(iso, "used: outside, thin wall (mm)")] == "1.7");
    CHECK(half[half.size() - 2].find("memory: r20-bare") != std::string::npos);
    CHECK(half[half.size() - 2].find("r20 used") != std::string::npos);

    const TableView sae = *tables.view("conductors-sae");
    const auto& sixteen = row_of(sae, "16");
    CHECK(sixteen[column(sae, "area-recalled (mm2, memory)")] == "1.12");
    CHECK(sixteen[column(sae, "area-read (cmil, read)")] == "2336");
    CHECK(sixteen[column(sae, "used: area (mm2)")] == "1.12");

    const TableView insulation = *tables.view("insulation");
    const auto& twp = row_of(insulation, "TWP");
    CHECK(twp[column(insulation, "limit (C)")] == "80");
    CHECK(twp[column(insulation, "limit-other (C)")] == "105");
    CHECK(twp[twp.size() - 2].find("memory: limit") != std::string::npos);
}

TEST_CASE("a value from memory is shown as from memory") {
    const Catalogue tables = built_in();
    const TableView defaults = *tables.view("defaults");
    const auto& loading = row_of(defaults, "fuse-loading");
    CHECK(loading[loading.size() - 2] == "memory");
    CHECK(loading.back().find("no source") != std::string::npos);
    const TableView gates = *tables.view("fuse-gates");
    for (const auto& row : gates.rows) {
        if (row.front() == "strip") {
            CHECK(row[row.size() - 2] == "memory");
        }
    }
}

TEST_CASE("colours are those of IEC 60757") {
    const Catalogue tables = built_in();
    const TableView colours = *tables.view("colours");
    const auto published = reference_rows("iec60757-colours");
    CHECK(colours.rows.size() == published.size());
    for (const ReferenceRow& row : published) {
        CHECK(row_of(colours, row.at("code"))[1] == row.at("colour"));
    }
}

TEST_CASE("sizes of a view are text as written") {
    const Catalogue tables = built_in();
    const TableView awg = *tables.view("conductors-awg");
    for (const char* size : {"1/0", "2/0", "3/0", "4/0", "30"}) {
        CHECK(row_of(awg, size).front() == size);
    }
}

namespace {

/// Every cell of a column of published values stands in the view, as the same number or as empty.
void check_listed(const TableView& view, const std::string& heading, const std::string& reference,
                  const std::string& size, const std::string& figure) {
    for (const ReferenceRow& row : reference_rows(reference)) {
        const std::string& cell = row_of(view, row.at(size))[column(view, heading)];
        INFO(view.name, " ", row.at(size), " ", heading);
        CHECK(cell.empty() == row.at(figure).empty());
        if (!cell.empty()) {
            CHECK(std::stod(cell) == *number(row, figure));
        }
    }
}

} // namespace

TEST_CASE("listed figures are the published ones, used or not") {
    const Catalogue tables = built_in();
    const TableView iso = *tables.view("conductors-iso");
    check_listed(iso, "r20-class-5 (mohm/m, read)", "iec60228-class5", "size_mm2",
                 "plain_20c_ohm_per_km");
    check_listed(iso, "r20-bare (mohm/m, memory)", "iso6722-recalled", "size_mm2",
                 "bare_20c_mohm_per_m");
    check_listed(iso, "r20-tinned (mohm/m, memory)", "iso6722-recalled", "size_mm2",
                 "tinned_20c_mohm_per_m");
    check_listed(iso, "strand (mm, memory)", "iso6722-recalled", "size_mm2", "strand_max_mm");
    check_listed(iso, "outside-thin (mm, memory)", "iso6722-recalled", "size_mm2",
                 "thin_outside_max_mm");
    check_listed(iso, "outside-thin-sold (mm, read)", "iso6722-recalled", "size_mm2",
                 "thin_outside_sold_mm");
    check_listed(iso, "outside-thick (mm, memory)", "iso6722-recalled", "size_mm2",
                 "thick_outside_max_mm");
    const TableView sae = *tables.view("conductors-sae");
    check_listed(sae, "area-read (cmil, read)", "sae-areas", "sae", "least_area_read_cmil");
    check_listed(sae, "area-recalled (mm2, memory)", "sae-areas", "sae", "least_area_recalled_mm2");
    const TableView awg = *tables.view("conductors-awg");
    check_listed(awg, "r75-stranded (ohm/kft, read)", "nfpa70-table8", "awg",
                 "stranded_uncoated_75c_ohm_per_kft");
    check_listed(awg, "r75-solid (ohm/kft, read)", "nfpa70-table8", "awg",
                 "solid_uncoated_75c_ohm_per_kft");
    check_listed(awg, "strand (in, read)", "nfpa70-table8", "awg", "strand_diameter_in");
    const TableView faa = *tables.view("ampacity-faa");
    check_listed(faa, "r20 (ohm/kft, read)", "faa-table-11-9", "size", "ohm_per_1000ft_20c");
    check_listed(faa, "area (cmil, read)", "faa-table-11-9", "size", "area_cmil");
}
