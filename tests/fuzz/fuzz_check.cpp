// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The whole of `check`: read, route, size, solve, check, and every format that the findings go out
// in.
#include "must.hpp"

#include "engine/engine.hpp"
#include "sheets/json.hpp"
#include "sheets/junit.hpp"
#include "sheets/sarif.hpp"
#include "yaml/text_check.hpp"

using namespace loomwright;

namespace {

void must_be_written(const Project& project) {
    const CheckAnswer answer{.findings = project.findings,
                             .files = project.files,
                             .vehicle_file = project.vehicle.main_file,
                             .version = "fuzz"};
    fuzz::must(!find_bad_character(finding_lines(answer)), "lines are text");
    const std::string json = check_json(project.findings, project.files);
    fuzz::must(!find_bad_character(json), "an answer as JSON is text");
    fuzz::must(!check_sarif(answer).empty() && !check_junit(answer).empty(),
               "each format is written");
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const fuzz::Hurry hurry;
    static SharedByCars shared;
    const auto project = load_project(shared, "fuzz.yaml", fuzz::text_of(data, size), {});
    size_project(*project);
    check_project(*project);
    fuzz::must_be_told(project->findings, project->files);
    // SARIF holds the whole catalogue of rules, which takes longer than a check: not every time.
    constexpr std::size_t one_in = 32;
    if (size % one_in == 0) {
        must_be_written(*project);
    }
    return 0;
}
