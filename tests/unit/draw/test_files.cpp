// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/dot_writer.hpp"
#include "draw/feeds.hpp"
#include "page/pack.hpp"
#include "sheets/loaded.hpp"

#include <graphviz/cgraph.h>

#include <string>

using namespace loomwright;

namespace {

std::string drawn(const Project& project, DrawingFormat format) {
    std::string why_not;
    const auto bytes = draw_feeds(project.study(), project.sizing, format, why_not);
    REQUIRE_MESSAGE(bytes.has_value(), why_not);
    return *bytes;
}

} // namespace

TEST_CASE("the same design gives the same bytes in every format") {
    const auto project = test::sized(test::written_out);
    for (const auto format :
         {DrawingFormat::svg, DrawingFormat::pdf, DrawingFormat::png, DrawingFormat::dot}) {
        CHECK(drawn(*project, format) == drawn(*project, format));
    }
    CHECK(drawn(*project, DrawingFormat::pdf).starts_with("%PDF-"));
    CHECK(drawn(*project, DrawingFormat::png).starts_with("\x89PNG\r\n"));
    CHECK(drawn(*project, DrawingFormat::pdf).find("CreationDate") == std::string::npos);
}

TEST_CASE("names of formats") {
    CHECK(drawing_format("svg") == DrawingFormat::svg);
    CHECK(drawing_format(".PDF") == DrawingFormat::pdf);
    CHECK_FALSE(drawing_format("").has_value());
    CHECK_FALSE(drawing_format("jpeg").has_value());
    CHECK(paper_named("A4") == Paper::a4);
    CHECK(paper_named("Letter") == Paper::letter);
    CHECK_FALSE(paper_named("A5").has_value());
}

TEST_CASE("DOT is read back by cgraph with the labels that were meant") {
    const std::string hostile = "a \"b\" \\N {x|y} <c> & \\";
    draw::DotGraph graph;
    graph.title = hostile;
    graph.clusters = {hostile};
    graph.nodes = {{"n0", hostile + "\nsecond", "box", 0}, {"n1", "plain", "circle", -1}};
    graph.edges = {{"n0", "n1", hostile, 1.5}};
    const std::string text = draw::write_dot(graph);
    Agraph_t* read = agmemread(text.c_str());
    REQUIRE(read != nullptr);
    CHECK(agnnodes(read) == 2);
    CHECK(agnedges(read) == 1);
    // A label's own escapes are left as they are by the language: a backslash stands doubled.
    const std::string meant = "a \"b\" \\\\N {x|y} <c> & \\\\";
    Agnode_t* node = agnode(read, const_cast<char*>("n0"), 0);
    REQUIRE(node != nullptr);
    CHECK(std::string(agget(node, const_cast<char*>("label"))) == meant + "\\nsecond");
    CHECK(agsubg(read, const_cast<char*>("cluster_0"), 0) != nullptr);
    agclose(read);
}

TEST_CASE("DOT of the Marlow holds every wire") {
    const auto project = test::example("marlow", "marlow.yaml");
    const std::string text = drawn(*project, DrawingFormat::dot);
    Agraph_t* read = agmemread(text.c_str());
    REQUIRE(read != nullptr);
    CHECK(agnedges(read) >= static_cast<int>(project->vehicle.wires.size()));
    agclose(read);
}

TEST_CASE("pack: the files, their order, the cautions and the verdict") {
    const auto project = test::sized(test::written_out);
    Findings findings;
    std::string why_not;
    auto pack = make_pack(project->study(), project->sizing, findings, Paper::a4, why_not);
    REQUIRE_MESSAGE(pack.has_value(), why_not);
    std::vector<std::string> names;
    for (const PackFile& file : pack->files) {
        names.push_back(file.name);
        CHECK_FALSE(file.bytes.empty());
    }
    const std::vector<std::string> tables = {"cut-list",       "buying-list", "cutting-plan",
                                             "joint-schedule", "connectors",  "bundle-schedule",
                                             "labels",         "continuity",  "first-power"};
    std::vector<std::string> meant;
    for (const std::string& table : tables) {
        meant.push_back(table + ".csv");
        meant.push_back(table + ".html");
    }
    for (const char* drawing : {"feeds.svg", "feeds.pdf"}) {
        meant.emplace_back(drawing);
    }
    CHECK(names == meant);
    for (const PackFile& file : pack->files) {
        if (file.name.ends_with(".html")) {
            CAPTURE(file.name);
            CHECK(file.bytes.find("{{") == std::string::npos);
            CHECK(file.bytes.find("Disconnect the battery") < file.bytes.find("<table"));
        }
    }
    const std::string& page = pack->files[1].bytes;
    CHECK(page.find("size: A4 landscape") != std::string::npos);
    CHECK(page.find("no open danger") != std::string::npos);
    CHECK(page.find("{{") == std::string::npos);
    // Cautions stand before the first wire.
    CHECK(page.find("Disconnect the battery") < page.find("<table>"));
    findings.add(Rule::fuse_over_wire, "F1", {}, "too large", "");
    findings.add(Rule::least_size, "2.1", {}, "thin <b>", "").waived = "old (by workshop)";
    const std::string stopped =
        cut_list_page(project->study(), project->sizing, findings, Paper::letter);
    CHECK(stopped.find("NOT READY: 1 danger and 0 faults") != std::string::npos);
    CHECK(stopped.find("size: letter landscape") != std::string::npos);
    CHECK(stopped.find("thin &lt;b&gt;") != std::string::npos);
    CHECK(stopped.find("old (by workshop)") != std::string::npos);
}
