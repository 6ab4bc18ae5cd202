// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
// The shapes of the answers under --json, key by key: they are a contract with other programs.
#include "sheets/json.hpp"

#include "sheets/loaded.hpp"
#include "sheets/text.hpp"

#include <nlohmann/json.hpp>

#include <limits>

using namespace loomwright;

namespace {

using Json = nlohmann::ordered_json;
using Keys = std::vector<std::string>;

Keys keys(const Json& object) {
    Keys out;
    for (const auto& [key, value] : object.items()) {
        out.push_back(key);
    }
    return out;
}

} // namespace

TEST_CASE("solve: keys, order of the file, full precision") {
    const auto project = test::sized(test::written_out);
    const Json json = Json::parse(solve_json(project->study(), project->sizing.states));
    CHECK(keys(json) == Keys{"states"});
    REQUIRE(json["states"].size() == project->sizing.states.size());
    const Json& state = json["states"][0];
    CHECK(keys(state) ==
          Keys{"state", "converged", "imbalance_a", "power_error", "nodes", "wires", "devices"});
    CHECK(state["state"] == "lit");
    CHECK(state["converged"] == true);
    CHECK(keys(state["nodes"][0]) == Keys{"node", "volts"});
    CHECK(keys(state["wires"][0]) == Keys{"wire", "amps", "drop_v", "conductor_c"});
    CHECK(keys(state["devices"][0]) == Keys{"device", "volts", "amps", "on"});
    REQUIRE(state["wires"].size() == project->vehicle.wires.size());
    for (std::size_t i = 0; i < project->vehicle.wires.size(); ++i) {
        CHECK(state["wires"][i]["wire"] == project->vehicle.wires[i].number);
        // The same double comes back: nothing was rounded.
        CHECK(state["wires"][i]["amps"].get<double>() == project->sizing.states[0].wires[i].amps);
    }
    CHECK(state["nodes"].size() == project->network.node_names.size());
}

TEST_CASE("solve: a node joined to no source has no voltage, a state without an answer no number") {
    const auto project = test::sized(test::written_out);
    StateSolution solution = project->sizing.states[0];
    solution.floating.assign(solution.node_volts.size(), 0);
    solution.floating[1] = 1;
    solution.wires[0].conductor_c = std::numeric_limits<double>::infinity();
    Json json = Json::parse(solve_json(project->study(), std::span(&solution, 1)));
    CHECK(json["states"][0]["nodes"][1]["volts"].is_null());
    CHECK(json["states"][0]["nodes"][0]["volts"].is_number());
    CHECK(json["states"][0]["wires"][0]["conductor_c"].is_null());
    solution.converged = false;
    json = Json::parse(solve_json(project->study(), std::span(&solution, 1)));
    CHECK(json["states"][0]["converged"] == false);
    CHECK(json["states"][0]["imbalance_a"].is_null());
    for (const char* list : {"nodes", "wires", "devices"}) {
        for (const Json& row : json["states"][0][list]) {
            for (const auto& [key, value] : row.items()) {
                CHECK((value.is_string() || value.is_null()));
            }
        }
    }
}

TEST_CASE("size: an area is the number that its standard gives") {
    for (const char* size : {"0.22", "25", "50", "120"}) { // those that x 1e-6 x 1e6 does not give
        std::string text = test::written_out;
        const std::string old = "16 mm2";
        text.replace(text.find(old), old.size(), std::string(size) + " mm2");
        const auto project = test::sized(text);
        const Json json = Json::parse(size_json(project->study(), project->sizing));
        CHECK(json["wires"][0]["area_mm2"].get<double>() == std::stod(size));
    }
}

TEST_CASE("size: keys and figures") {
    const auto project = test::sized(test::written_out);
    const Json json = Json::parse(size_json(project->study(), project->sizing));
    CHECK(keys(json) == Keys{"wires", "fuses", "copper_kg"});
    CHECK(keys(json["wires"][0]) == Keys{"wire", "size", "area_mm2", "length_m", "amps",
                                         "ampacity_a", "drop_v", "decided_by"});
    CHECK(keys(json["fuses"][0]) == Keys{"fuse", "rating_a", "load_a", "protects", "decided_by"});
    CHECK(json["wires"][1]["wire"] == "2.1");
    CHECK(json["wires"][1]["size"] == "1.5 mm2");
    CHECK(json["wires"][1]["area_mm2"].get<double>() == 1.5);
    CHECK(json["wires"][1]["length_m"].get<double>() == 1.2001);
    CHECK(json["wires"][1]["decided_by"] == "given");
    CHECK(json["fuses"][0]["fuse"] == "F1");
    CHECK(json["fuses"][0]["rating_a"].get<double>() == 10.0);
    CHECK(json["fuses"][0]["protects"].is_array());
    CHECK(json["copper_kg"].get<double>() > 0.0);
}

TEST_CASE("check: keys, counts, and what was waived apart") {
    SourceFiles files;
    const FileId file = files.add("car.yaml", "a\nb\n");
    Findings findings;
    Finding& first =
        findings.add(Rule::fuse_over_wire, "F1", {file, 2, 1, 2}, "too large", "use 5 A");
    first.figures = {{"fuse", 20.0, "A", FigureRole::observed},
                     {"wire", std::numeric_limits<double>::quiet_NaN(), "A", FigureRole::limit}};
    findings.add(Rule::least_size, "2.1", {}, "thin \xFF", "").waived = "old (by workshop)";
    const Json json = Json::parse(check_json(findings, files));
    CHECK(keys(json) == Keys{"findings", "counts"});
    const Json& finding = json["findings"][0];
    CHECK(keys(finding) == Keys{"rule", "severity", "subject", "file", "line", "column", "message",
                                "figures", "source", "remedy"});
    CHECK(finding["rule"] == "fuse-over-wire");
    CHECK(finding["severity"] == "danger");
    CHECK(finding["file"] == "car.yaml");
    CHECK(finding["line"] == 2);
    CHECK(keys(finding["figures"][0]) == Keys{"label", "value", "unit", "role"});
    CHECK(finding["figures"][0]["role"] == "observed");
    CHECK(finding["figures"][1]["value"].is_null());
    CHECK(json["findings"][1]["waived"] == "old (by workshop)");
    CHECK(json["findings"][1]["line"].is_null());
    CHECK(json["counts"] ==
          Json::parse(R"({"danger":1,"fault":0,"caution":0,"note":0,"waived":1})"));
}

TEST_CASE("explain and tables: keys") {
    const std::vector<ProofSection> sections = {
        {"Resistance", {{"R = r L", "0.01 x 2", "0.02 ohm", "s"}}}};
    const Json proof = Json::parse(proof_json("2.1", sections));
    CHECK(keys(proof) == Keys{"id", "sections"});
    CHECK(keys(proof["sections"][0]) == Keys{"title", "steps"});
    CHECK(keys(proof["sections"][0]["steps"][0]) == Keys{"formula", "with", "gives", "source"});
    TableView view;
    view.columns = {"size", "source"};
    view.rows = {{"1 mm2", "read"}};
    CHECK(keys(Json::parse(table_json(view))) ==
          Keys{"name", "description", "source", "edition", "validity", "columns", "rows", "notes"});
}

TEST_CASE("texts for people: every wire and fuse is there, and no line passes the width") {
    const auto project = test::sized(test::written_out);
    const std::string size = size_text(project->study(), project->sizing, {120});
    for (const Wire& wire : project->vehicle.wires) {
        CHECK(size.find(wire.number) != std::string::npos);
    }
    CHECK(size.find("Copper: ") != std::string::npos);
    const std::string solve = solve_text(project->study(), project->sizing.states, {100});
    CHECK(solve.find("State lit") != std::string::npos);
    CHECK(solve.find("largest current imbalance") != std::string::npos);
    const std::vector<ProofSection> sections = {
        {"Drop", {{"U = R I", "0.02 ohm x 3 A", "60 mV", "ohm"}}}};
    CHECK(proof_text(sections, {80}) == "Drop\n  U = R I\n    with   0.02 ohm x 3 A\n"
                                        "    gives  60 mV\n    source ohm\n");
}
