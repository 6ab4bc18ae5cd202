// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What the program tells of itself to other programs: manual pages, completion scripts, and to
// people who ask which tables are in it.
#include "completion.hpp"
#include "manual_page.hpp"
#include "terminal.hpp"
#include "verb_list.hpp"

#include "base/spelling.hpp"
#include "sheets/sheet.hpp"
#include "tables/catalogue.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright::cli {
namespace {

/// Which marks the sources of a table carry; its notes list them: "read: IEC 60228:2004 class 5".
std::string marks_of(const TableView& view) {
    std::string out;
    for (const Provenance mark : {Provenance::read, Provenance::memory, Provenance::derived}) {
        const std::string name(provenance_name(mark));
        const bool is_used = std::ranges::any_of(
            view.notes, [&](const std::string& note) { return note.starts_with(name + ": "); });
        if (is_used) {
            out += (out.empty() ? "" : ", ") + name;
        }
    }
    return out;
}

} // namespace

int run_manual(const Arguments& arguments) {
    const ProgramWords program = program_words();
    if (arguments.id.empty()) {
        return deliver_bytes(arguments, program_page(program));
    }
    const auto verb = std::ranges::find(program.verbs, arguments.id, &VerbWords::name);
    if (verb != program.verbs.end()) {
        return deliver_bytes(arguments, verb_page(program, *verb));
    }
    std::vector<std::string> names;
    for (const VerbWords& known : program.verbs) {
        names.push_back(known.name);
    }
    const auto near = nearest_word(arguments.id, names);
    print_error(fmt::format("loomwright: there is no page of `{}`{}\n", printable(arguments.id),
                            near ? fmt::format("; did you mean `{}`?", *near) : ""));
    return bad_input;
}

int run_completion(const Arguments& arguments) {
    const ProgramWords program = program_words();
    return deliver_bytes(arguments, arguments.id == "bash"  ? bash_completion(program)
                                    : arguments.id == "zsh" ? zsh_completion(program)
                                                            : fish_completion(program));
}

std::string version_text() {
    Sheet sheet;
    sheet.columns = {text_column("table", "table"),
                     text_column("edition", "standard and edition", true),
                     text_column("marks", "marks", true)};
    SourceFiles files;
    Findings findings;
    const Catalogue catalogue = load_catalogue(files, findings);
    for (const std::string& name : catalogue.table_names()) {
        if (const auto view = catalogue.view(name)) {
            sheet.rows.push_back({view->name, view->edition, marks_of(*view)});
        }
    }
    sheet.notes = {"read: seen in a retrieved text; memory: recalled, not seen; derived: computed "
                   "from others"};
    std::string text =
        fmt::format("loomwright {}\n\n{}", LOOMWRIGHT_VERSION, sheet_text(sheet, terminal_width()));
    text.pop_back(); // the parser ends the line
    return text;
}

} // namespace loomwright::cli
