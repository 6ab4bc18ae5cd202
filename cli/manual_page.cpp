// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "manual_page.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>

namespace loomwright::cli {
namespace {

std::string upper(std::string text) {
    std::ranges::transform(text, text.begin(), [](unsigned char c) { return std::toupper(c); });
    return text;
}

/// `text` with what the language would take for its own escaped.
std::string escaped(const std::string& text) {
    std::string out;
    bool begins_line = true;
    for (const char c : text) {
        if (begins_line && (c == '.' || c == '\'')) {
            out += "\\&";
        }
        begins_line = c == '\n';
        switch (c) {
        case '\\':
            out += "\\e";
            break;
        case '-':
            out += "\\-";
            break;
        case '`':
            out += "\\(ga";
            break;
        case '\'':
            out += "\\(aq";
            break;
        case '^':
            out += "\\(ha";
            break;
        case '~':
            out += "\\(ti";
            break;
        default:
            out += c;
        }
    }
    return out;
}

/// `text` as one argument of a macro, whatever is in it.
std::string argument(const std::string& text) {
    std::string out;
    for (const char c : escaped(text)) {
        out += c == '"' ? std::string("\"\"") : std::string(1, c == '\n' ? ' ' : c);
    }
    return "\"" + out + "\"";
}

/// "worst first" -> "Worst first."
std::string sentence(std::string text) {
    text.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(text.front())));
    return manual_text(text + (text.ends_with('.') ? "" : "."));
}

std::string page_head(const std::string& name, const std::string& what) {
    return fmt::format(".\\\" SPDX-License-Identifier: MIT\n.Dd {}\n.Dt {} 1\n.Os Loomwright {}\n"
                       ".Sh NAME\n.Nm {}\n.Nd {}\n",
                       LOOMWRIGHT_RELEASED, upper(name), LOOMWRIGHT_VERSION, name, argument(what));
}

/// "--json" as the arguments of a macro for flags: the first dash is the macro's.
std::string flag(const std::string& name) {
    return (name.starts_with("--") ? "Fl Fl " : "Fl ") +
           argument(name.substr(name.find_first_not_of('-')));
}

std::string option_head(const OptionWords& option) {
    std::string out;
    for (const std::string& name : option.names) {
        out += (out.empty() ? "" : " , ") + flag(name);
    }
    if (!option.takes.empty()) {
        out += (out.empty() ? "Ar " : " Ar ") + argument(option.takes);
    }
    return out;
}

std::string synopsis_line(const OptionWords& option) {
    const std::string flags = option.names.empty() ? "" : flag(option.names.back());
    std::string out = flags;
    if (!option.takes.empty()) {
        out += (out.empty() ? "Ar " : " Ar ") + argument(option.takes);
    }
    return fmt::format("{}{}{}\n", option.is_needed ? "." : ".Op ", out,
                       option.may_repeat ? " ..." : "");
}

std::string synopsis(const std::string& command, const VerbWords& verb) {
    std::string out = fmt::format(".Nm {}\n", argument(command));
    for (const OptionWords& place : verb.places) {
        out += synopsis_line(place);
    }
    for (const OptionWords& option : verb.options) {
        out += synopsis_line(option);
    }
    return out;
}

std::string option_list(const VerbWords& verb) {
    std::string out = ".Bl -tag -width Ds\n";
    const auto add = [&](const OptionWords& option) {
        out += ".It " + option_head(option) + "\n" + manual_text(option.what) + "\n";
        if (!option.values.empty() && !option.names.empty()) {
            std::string list;
            for (const std::string& value : option.values) {
                list += (list.empty() ? "" : ", ") + value;
            }
            out += ".br\n" + manual_text("One of: " + list + ".") + "\n";
        }
        if (option.is_needed && !option.names.empty()) {
            out += ".br\nIt is needed.\n";
        }
    };
    std::ranges::for_each(verb.places, add);
    std::ranges::for_each(verb.options, add);
    return out + ".El\n";
}

std::string environment() {
    return ".Sh ENVIRONMENT\n.Bl -tag -width NO_COLOR\n.It Ev NO_COLOR\n"
           "When it is set to anything but nothing, no colour is used.\n.It Ev TERM\n"
           "With the value\n.Ql dumb\nno colour is used and no bar of progress is drawn.\n.El\n";
}

std::string files(const VerbWords& verb) {
    if (std::ranges::none_of(verb.places, &OptionWords::takes_file)) {
        return {};
    }
    return ".Sh FILES\nVehicle files are described in\n.Xr loomwright-vehicle 5 .\n"
           "Parts files that one includes are read from its own folder and those below it.\n";
}

std::string examples(const VerbWords& verb) {
    std::string out = ".Sh EXAMPLES\n.Bd -literal -offset indent\n";
    for (const std::string& example : verb.examples) {
        out += escaped(example) + "\n";
    }
    return out + ".Ed\n";
}

std::string see_also(const ProgramWords& program, const std::string& own) {
    std::vector<std::string> pages;
    if (own != "loomwright") {
        pages.emplace_back("loomwright 1");
    }
    std::vector<std::string> names;
    for (const VerbWords& verb : program.verbs) {
        names.push_back("loomwright-" + verb.name);
    }
    std::ranges::sort(names);
    for (const std::string& name : names) {
        if (name != own) {
            pages.push_back(name + " 1");
        }
    }
    pages.emplace_back("loomwright-vehicle 5");
    std::string out = ".Sh SEE ALSO\n";
    for (const std::string& page : pages) {
        out += ".Xr " + page + (&page == &pages.back() ? "\n" : " ,\n");
    }
    return out;
}

std::string caveats(const ProgramWords& program) {
    return ".Sh CAVEATS\n" + manual_text(program.cautions) + "\n";
}

} // namespace

std::string manual_text(const std::string& text) {
    std::string out = escaped(text);
    // Each sentence on a line of its own, so that the space after it is the formatter's.
    for (std::size_t at = out.find(". "); at != std::string::npos; at = out.find(". ", at)) {
        out[at + 1] = '\n';
    }
    return out;
}

std::string program_page(const ProgramWords& program) {
    std::string out =
        page_head("loomwright", "wiring of re-powered cars: sizes, fuses, proofs and paper");
    out += ".Sh SYNOPSIS\n.Nm\n.Ar VERB\n.Op Ar argument ...\n";
    for (const OptionWords& option : program.options) {
        out += ".Nm\n." + option_head(option) + "\n";
    }
    out += ".Sh DESCRIPTION\n" + manual_text(program.what) +
           "\n.Pp\nThe verbs are:\n.Bl -tag -width export\n";
    for (const VerbWords& verb : program.verbs) {
        out += fmt::format(".It Xr loomwright-{} 1\n{}\n", verb.name, manual_text(verb.what));
    }
    out += ".El\n.Pp\nThe options are:\n.Bl -tag -width Ds\n";
    for (const OptionWords& option : program.options) {
        out += ".It " + option_head(option) + "\n" + manual_text(option.what) + "\n";
    }
    out += ".El\n" + environment();
    out += ".Sh FILES\nVehicle files are described in\n.Xr loomwright-vehicle 5 .\n";
    VerbWords first;
    for (const VerbWords& verb : program.verbs) {
        if (!verb.examples.empty()) {
            first.examples.push_back(verb.examples.front());
        }
    }
    out += ".Sh EXIT STATUS\n"
           "0 nothing at or above the failing severity, 1 findings, 2 the input is wrong,\n"
           "3 the machine failed.\n";
    return out + examples(first) + see_also(program, "loomwright") + caveats(program);
}

std::string verb_page(const ProgramWords& program, const VerbWords& verb) {
    const std::string command = "loomwright " + verb.name;
    std::string out = page_head("loomwright-" + verb.name, verb.what) + ".Sh SYNOPSIS\n";
    if (verb.questions.empty()) {
        out += synopsis(command, verb);
    }
    for (const VerbWords& question : verb.questions) {
        out += synopsis(command + " " + question.name, question);
    }
    out += ".Sh DESCRIPTION\n" + sentence(verb.what) + "\n";
    if (verb.questions.empty()) {
        out += ".Pp\nThe arguments are:\n" + option_list(verb);
    } else {
        out += ".Pp\nQuantities carry their unit.\n";
    }
    for (const VerbWords& question : verb.questions) {
        out += fmt::format(".Ss {}\n{}\n", question.name, sentence(question.what)) +
               option_list(question);
    }
    out += environment() + files(verb);
    out += ".Sh EXIT STATUS\n" + manual_text(verb.exit_status) + "\n";
    return out + examples(verb) + see_also(program, "loomwright-" + verb.name) + caveats(program);
}

} // namespace loomwright::cli
