// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// `check --each`: every car of a folder, one after another in the order of their names. Each is
// checked on one thread, so many at a time; its answer goes out as soon as those before it have,
// and nothing of it is kept.
#include "files.hpp"
#include "terminal.hpp"
#include "unread_file.hpp"
#include "verbs.hpp"

#include "base/side_by_side.hpp"
#include "sheets/check_answer.hpp"
#include "sheets/json.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <filesystem>
#include <map>
#include <memory>
#include <mutex>
#include <system_error>
#include <thread>
#include <utility>
#include <vector>

namespace loomwright::cli {
namespace {

namespace fs = std::filesystem;

/// The cars of a folder by name: its YAML files, and of each folder in it the one of its name.
std::vector<fs::path> cars_of(const fs::path& folder, std::string& why_not) {
    std::vector<fs::path> out;
    std::error_code error;
    for (auto entry = fs::directory_iterator(folder, error);
         !error && entry != fs::directory_iterator(); entry.increment(error)) {
        const fs::path& path = entry->path();
        std::error_code ignored;
        const fs::path inside = path / (path.filename().string() + ".yaml");
        if (path.filename().string().starts_with('.')) {
            continue;
        }
        if (entry->is_regular_file(ignored) && path.extension() == ".yaml") {
            out.push_back(path);
        } else if (entry->is_directory(ignored) && fs::is_regular_file(inside, ignored)) {
            out.push_back(inside);
        }
    }
    if (error) {
        why_not = error.message();
    } else if (out.empty()) {
        why_not = "no car is in it: neither a *.yaml nor a NAME/NAME.yaml";
    }
    std::ranges::sort(out);
    return out;
}

struct CarAnswer {
    std::string text;
    int status = clean;
};

CarAnswer answer_of(const Arguments& arguments, const std::string& name, const Findings& findings,
                    const SourceFiles& files, FileId main_file) {
    CarAnswer out;
    out.status = findings.has_input_fault()                 ? bad_input
                 : has_failing(findings, arguments.fail_on) ? found
                                                            : clean;
    if (arguments.json) {
        out.text = check_json_line(name, findings, files);
    } else if (arguments.lines) {
        out.text = finding_lines({findings, files, main_file, arguments.faults,
                                  fails_from(arguments.fail_on), LOOMWRIGHT_VERSION});
    } else {
        out.text = fmt::format("{}: {}{}\n", printable(name),
                               out.status == bad_input ? "not computed, the input is wrong: " : "",
                               findings_count_line(findings));
    }
    return out;
}

CarAnswer check_one(const Arguments& arguments, SharedByCars& shared, const fs::path& path) {
    const std::string name = path.string();
    std::string why_not;
    const auto text = read_text(name, why_not);
    if (!text) {
        SourceFiles files;
        Findings findings;
        const FileId file = add_unread_file(name, why_not, files, findings);
        return answer_of(arguments, name, findings, files, file);
    }
    const std::unique_ptr<Project> project =
        load_project(shared, name, *text, include_reader(name));
    if (!project->findings.has_input_fault()) {
        size_project(*project);
        if (arguments.faults) {
            check_project_with_faults(*project, nullptr);
        } else {
            check_project(*project);
        }
    }
    return answer_of(arguments, name, project->findings, project->files,
                     project->vehicle.main_file);
}

/// Prints answers in the order of their numbers, whichever comes first.
class InOrder {
public:
    /// False once standard output could not be written.
    bool add(std::size_t number, CarAnswer answer) {
        const std::lock_guard lock(mutex_);
        waiting_.emplace(number, std::move(answer));
        for (auto first = waiting_.find(next_); first != waiting_.end();
             first = waiting_.find(next_)) {
            is_good_ = is_good_ && print(first->second.text);
            ++counts_.at(static_cast<std::size_t>(first->second.status));
            waiting_.erase(first);
            ++next_;
        }
        return is_good_;
    }
    [[nodiscard]] bool is_good() const { return is_good_; }
    [[nodiscard]] std::size_t count(int status) const {
        return counts_.at(static_cast<std::size_t>(status));
    }

private:
    std::mutex mutex_;
    std::map<std::size_t, CarAnswer> waiting_;
    std::size_t next_ = 0;
    bool is_good_ = true;
    std::array<std::size_t, 3> counts_{};
};

} // namespace

int run_check_each(const Arguments& arguments) {
    if (arguments.sarif || arguments.junit || arguments.output != "-") {
        print_error("loomwright: --each answers as text, --lines or --json, on standard output\n");
        return bad_input;
    }
    std::string why_not;
    const std::vector<fs::path> cars = cars_of(arguments.each, why_not);
    if (!why_not.empty()) {
        print_error(
            fmt::format("loomwright: {}: {}\n", printable(arguments.each), printable(why_not)));
        return bad_input;
    }
    SharedByCars shared;
    InOrder answers;
    std::atomic<std::size_t> next = 0;
    const std::size_t cores = std::max(std::thread::hardware_concurrency(), 1U);
    side_by_side(std::min(cores, cars.size()) - 1, [&](std::size_t /*number*/) {
        const OneAfterAnother alone;
        for (std::size_t i = next++; i < cars.size(); i = next++) {
            if (!answers.add(i, check_one(arguments, shared, cars[i]))) {
                return;
            }
        }
    });
    if (!answers.is_good()) {
        print_error("loomwright: standard output could not be written\n");
        return machine_failed;
    }
    if (!arguments.json && !arguments.lines &&
        !print(fmt::format("{} cars: {} clean, {} with findings, {} that could not be read\n",
                           cars.size(), answers.count(clean), answers.count(found),
                           answers.count(bad_input)))) {
        return machine_failed;
    }
    return answers.count(bad_input) > 0 ? bad_input : answers.count(found) > 0 ? found : clean;
}

} // namespace loomwright::cli
