// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// watch: checks again on every save, says what changed, and shows the report where that is asked
// for.
#include "file_watch.hpp"
#include "files.hpp"
#include "page_server.hpp"
#include "terminal.hpp"
#include "unread_file.hpp"
#include "verbs.hpp"

#include "page/report.hpp"
#include "sheets/finding_changes.hpp"
#include "sheets/json.hpp"

#include <fmt/format.h>

#include <charconv>
#include <csignal>
#include <filesystem>
#include <mutex>
#include <utility>

#include <sys/signalfd.h>
#include <unistd.h>

namespace loomwright::cli {
namespace {

constexpr int most_port = 65535;

/// One reading and checking of the car.
struct Checked {
    std::unique_ptr<Project> project;
    Findings findings;              ///< of the project, or that the file could not be read
    std::vector<std::string> files; ///< that were read, or would have been
    SourceFiles unread;             ///< where there is no project
    [[nodiscard]] bool is_car() const {
        return project != nullptr && !project->findings.has_input_fault();
    }
    [[nodiscard]] const SourceFiles& sources() const { return project ? project->files : unread; }
};

Checked check_once(const Arguments& arguments, SharedByCars& shared) {
    Checked out;
    out.files.push_back(arguments.file);
    std::string why_not;
    const auto text = read_text(arguments.file, why_not);
    if (!text) {
        add_unread_file(arguments.file, why_not, out.unread, out.findings);
        return out;
    }
    const IncludeReader reader = include_reader(arguments.file);
    const std::filesystem::path folder = std::filesystem::path(arguments.file).parent_path();
    out.project = load_project(shared, arguments.file, *text,
                               [&](const std::string& name, std::string& reason) {
                                   out.files.push_back((folder / name).string());
                                   return reader(name, reason);
                               });
    size_project(*out.project);
    if (arguments.faults) {
        check_project_with_faults(*out.project, {});
    } else {
        check_project(*out.project);
    }
    out.findings = out.project->findings;
    return out;
}

/// The page that the server shows, put there by one thread and fetched by others.
class Shown {
public:
    void set(std::string html) {
        const std::lock_guard lock(mutex_);
        page_.html = std::make_shared<const std::string>(std::move(html));
        ++page_.version;
    }
    [[nodiscard]] ShownPage get() const {
        const std::lock_guard lock(mutex_);
        return page_;
    }

private:
    mutable std::mutex mutex_;
    ShownPage page_;
};

std::string page_of(const Arguments& arguments, const Checked& checked) {
    if (!checked.is_car()) {
        return input_faults_page(arguments.file, checked.findings, checked.sources());
    }
    const StudyInput study = checked.project->study();
    std::string why_not;
    auto page = make_report({.checked = checked.project->checked(study),
                             .findings = checked.findings,
                             .files = checked.sources(),
                             .paper = paper_named(arguments.paper).value_or(Paper::a4),
                             .is_served = true},
                            why_not);
    if (!page) {
        print_error(fmt::format("loomwright: the report could not be drawn: {}\n", why_not));
        Findings none;
        return input_faults_page(arguments.file, none, checked.sources());
    }
    return std::move(*page);
}

std::string told(const Finding& finding, const Checked& of, const char* what, bool with_colour) {
    return fmt::format("{}: {}", what, finding_text(finding, of.sources(), with_colour));
}

/// What changed since the check before, then how it stands.
std::string changes_text(const Checked& before, const Checked& now, bool with_colour) {
    const FindingChanges changes = compare_findings(before.findings, now.findings);
    std::string out;
    for (const std::size_t i : changes.gone) {
        const Finding& finding = before.findings.all()[i];
        out += fmt::format("gone: {}[{}] {}: {}\n", severity_name(finding.severity),
                           rule_info(finding.rule).id, printable(finding.subject),
                           printable(finding.message));
    }
    for (const FindingChanges::Changed& change : changes.changed) {
        out += told(now.findings.all()[change.now], now, "changed", with_colour);
    }
    for (const std::size_t i : changes.fresh) {
        out += told(now.findings.all()[i], now, "new", with_colour);
    }
    if (changes.is_empty()) {
        out += "nothing changed in what is found\n";
    }
    return out;
}

/// How many findings there are.
std::string standing(const Checked& now) {
    return now.is_car()
               ? findings_count_line(now.findings) + "\n"
               : fmt::format("{} error{} in the input: nothing was computed\n",
                             now.findings.all().size(), now.findings.all().size() == 1 ? "" : "s");
}

std::string answer_of(const Arguments& arguments, const Checked& before, const Checked& now,
                      bool is_first) {
    if (arguments.json) {
        return changes_json(before.findings, now.findings, now.sources());
    }
    const bool with_colour = wants_colour(1);
    std::string out;
    if (is_first || !now.is_car()) {
        out = is_first ? "" : "\n";
        for (const Finding& finding : now.findings.all()) {
            out += finding_text(finding, now.sources(), with_colour) + "\n";
        }
    } else {
        out = "\n" + changes_text(before, now, with_colour);
    }
    return out + standing(now);
}

/// A descriptor that has something to read once the user wants to end.
int stop_descriptor() {
    sigset_t signals;
    ::sigemptyset(&signals);
    ::sigaddset(&signals, SIGINT);
    ::sigaddset(&signals, SIGTERM);
    ::sigprocmask(SIG_BLOCK, &signals, nullptr);
    return ::signalfd(-1, &signals, SFD_CLOEXEC);
}

std::optional<int> port_of(const std::string& typed) {
    int port = 0;
    const auto [end, fault] = std::from_chars(typed.data(), typed.data() + typed.size(), port);
    if (typed.empty()) {
        return 0;
    }
    const bool is_port =
        fault == std::errc() && end == typed.data() + typed.size() && port > 0 && port <= most_port;
    return is_port ? std::optional(port) : std::nullopt;
}

} // namespace

int run_watch(const Arguments& arguments) {
    const auto port = port_of(arguments.port);
    if (arguments.file == "-" || !port || (!arguments.port.empty() && !arguments.serve)) {
        print_error(arguments.file == "-"
                        ? "loomwright: standard input cannot be watched: name a file\n"
                    : !port ? "loomwright: --port takes a number from 1 to 65535\n"
                            : "loomwright: --port goes with --serve\n");
        return bad_input;
    }
    // Before any thread is started, so that all of them leave these signals to this one.
    const int stop = stop_descriptor();
    FileWatch watch;
    std::string why_not;
    if (stop < 0 || !watch.is_good(why_not)) {
        print_error(fmt::format("loomwright: files cannot be watched: {}\n", why_not));
        return machine_failed;
    }
    watch.set_files({arguments.file});
    SharedByCars shared;
    Shown shown;
    std::unique_ptr<PageServer> server;
    Checked before;
    for (bool is_first = true;; is_first = false) {
        Checked now = check_once(arguments, shared);
        watch.set_files(now.files);
        const std::string answer = answer_of(arguments, before, now, is_first);
        if (!(arguments.json ? print(answer) : print_text(answer))) {
            return machine_failed;
        }
        if (arguments.serve) {
            shown.set(page_of(arguments, now));
        }
        if (arguments.serve && server == nullptr) {
            server = serve_page([&shown] { return shown.get(); }, *port, why_not);
            if (server == nullptr) {
                print_error(fmt::format("loomwright: {}\n", why_not));
                return machine_failed;
            }
            print_error(fmt::format("report at http://127.0.0.1:{}/\n", server->port()));
        }
        // While the file cannot be read, what was found before still stands.
        if (now.is_car() || !before.is_car()) {
            before = std::move(now);
        }
        if (!watch.wait(stop)) {
            ::close(stop);
            return clean;
        }
    }
}

} // namespace loomwright::cli
