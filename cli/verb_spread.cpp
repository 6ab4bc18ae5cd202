// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// solve --spread: samples of what is uncertain.
#include "progress.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

#include "sheets/spread_sheets.hpp"
#include "sizing/spread_limits.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <optional>
#include <system_error>
#include <utility>

namespace loomwright::cli {
namespace {

constexpr std::uint64_t most_samples = 1'000'000;

/// A whole number and nothing else.
std::optional<std::uint64_t> whole_number(const std::string& text) {
    std::uint64_t number = 0;
    const char* const end = text.data() + text.size();
    const auto [rest, fault] = std::from_chars(text.data(), end, number);
    return fault == std::errc() && rest == end ? std::optional(number) : std::nullopt;
}

/// Samples and seed as they were typed; false, and told of, when one is none.
bool read_numbers(const Arguments& arguments, SpreadOrder& order) {
    const std::string typed = arguments.spread.value_or("");
    const auto samples = whole_number(typed);
    if (!samples || *samples < 1 || *samples > most_samples) {
        print_error(
            fmt::format("loomwright: --spread `{}`: give a whole number of samples from 1 to {}\n",
                        printable(typed), most_samples));
        return false;
    }
    const std::string typed_seed = arguments.seed.value_or("1");
    const auto seed = whole_number(typed_seed);
    if (!seed) {
        print_error(fmt::format("loomwright: --seed `{}`: give a whole number from 0 to {}\n",
                                printable(typed_seed), UINT64_MAX));
        return false;
    }
    order.samples = *samples;
    order.seed = *seed;
    return true;
}

/// Percentiles need every sample's figures at once.
bool fits(const SpreadOrder& order, const std::string& state) {
    const std::uint64_t most = most_spread_samples(order.figures.size());
    if (order.samples <= most) {
        return true;
    }
    print_error(fmt::format("loomwright: --spread {}: state `{}` of this car has {} figures, and "
                            "{} of each do not fit into {} MiB; give at most {}\n",
                            order.samples, printable(state), order.figures.size(), order.samples,
                            spread_memory_limit >> 20U, most));
    return false;
}

/// So many samples are tried for one that stands in for a nominal car without an answer.
constexpr std::uint64_t most_tries = 1000;

/// The nominal car; where it has no answer, the first sample that has one, with its number from 1
/// on.
std::pair<StateSolution, std::uint64_t> car_to_judge_by(const SpreadStudy& samples,
                                                        const SpreadOrder& order) {
    StateSolution nominal = samples.nominal();
    if (!nominal.converged) {
        for (std::uint64_t i = 0; i < std::min(order.samples, most_tries); ++i) {
            if (StateSolution sample = samples.sample(order.seed, i); sample.converged) {
                return {std::move(sample), i + 1};
            }
        }
    }
    return {std::move(nominal), 0};
}

/// The samples of one state; nothing, and told of, when they are too many to keep.
std::optional<SpreadAnswer> spread_state(const Arguments& arguments, const Project& project,
                                         const SpreadTable& table, const StateSolution& solved,
                                         SpreadOrder order) {
    const StudyInput study = project.study();
    const Design& design = project.sizing.design;
    const std::string name = state_name(project.vehicle, solved);
    const SpreadStudy samples(study, design, table, solved.state);
    const auto [judged, stands_in] = car_to_judge_by(samples, order);
    order.limits = spread_limits(study, design, judged, stands_in == 0);
    order.figures = arguments.json || arguments.csv ? all_figures(study, order.limits)
                                                    : judged_figures(study, judged, order.limits);
    if (!fits(order, name)) {
        return std::nullopt;
    }
    Progress bar("samples of " + name, order.samples);
    order.progress = [&bar](std::uint64_t done) { bar.show(done); };
    SpreadAnswer out;
    out.stands_in = stands_in;
    out.result = samples.run(order);
    out.limits = std::move(order.limits);
    out.figures = std::move(order.figures);
    return out;
}

} // namespace

int run_spread(const Arguments& arguments) {
    SpreadOrder order;
    if (!read_numbers(arguments, order)) {
        return bad_input;
    }
    if (arguments.json && arguments.csv) {
        print_error("loomwright: give --json or --csv, not both\n");
        return bad_input;
    }
    int status = clean;
    std::vector<StateSolution> chosen;
    Project* const project = solved_project(arguments, chosen, status);
    if (project == nullptr) {
        return status;
    }
    const SpreadTable table = load_spreads(project->files, project->findings);
    std::vector<SpreadAnswer> answers;
    for (const StateSolution& solved : chosen) {
        auto answer = spread_state(arguments, *project, table, solved, order);
        if (!answer) {
            return bad_input;
        }
        answers.push_back(std::move(*answer));
    }
    const StudyInput study = project->study();
    status = deliver(arguments, arguments.json  ? spread_json(study, table, answers)
                                : arguments.csv ? spread_csv(study, answers)
                                                : spread_text(study, answers, terminal_width()));
    if (status != clean) {
        return status;
    }
    for (const SpreadAnswer& answer : answers) {
        if (!answer.result.nominal.converged) {
            complain_of_no_answer(*project, answer.result.nominal);
            status = found;
        }
    }
    return status;
}

} // namespace loomwright::cli
