// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "read/paths.hpp"

#include "read/fields.hpp"
#include "read/passing.hpp"

#include "base/spelling.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright {
namespace {

constexpr std::size_t most_terminals_listed = 24;

/// A name of a path, with its place in the scalar.
struct Step {
    std::string_view text;
    SourceRange where;
};

/// By which terminals a path reaches a device and goes on; `leave` may be of its mate.
struct Passage {
    TerminalRef enter;
    TerminalRef leave;
};

std::vector<Step> split_path(const Node& node) {
    const std::string_view text = node.text();
    std::vector<Step> steps;
    std::size_t start = 0;
    for (bool is_last = false; !is_last;) {
        const std::size_t end = text.find('>', start);
        is_last = end == std::string_view::npos;
        const std::string_view step =
            trimmed(text.substr(start, is_last ? std::string_view::npos : end - start));
        const std::size_t offset =
            step.empty() ? start : static_cast<std::size_t>(step.data() - text.data());
        steps.push_back({step, node.where(offset, std::max<std::size_t>(step.size(), 1))});
        start = end + 1;
    }
    return steps;
}

/// Resolves the steps of one path.
class StepReader {
public:
    StepReader(Reading& reading, std::string_view subject) : reading_(reading), subject_(subject) {}

    std::optional<Passage> resolve(const Step& step, PathRole role) {
        if (step.text.empty()) {
            complain(Rule::wrong_shape, step, "a name is missing beside this `>`",
                     "write a device on both sides of every `>`");
            return std::nullopt;
        }
        const std::size_t dot = step.text.find('.');
        const std::string_view name = trimmed(step.text.substr(0, dot));
        const auto found = reading_.devices.find(name);
        if (!found) {
            complain_of_name(step, name);
            return std::nullopt;
        }
        const DeviceId id(*found);
        if (reading_.passes[*found].is_broken) {
            return std::nullopt;
        }
        const Device& device = reading_.vehicle.device(id);
        if (device.housing.is_valid()) {
            const Device& unit = reading_.vehicle.device(device.housing);
            complain(Rule::unknown_terminal, step,
                     fmt::format("{} is inside {}: wires end at the unit", name, unit.name),
                     fmt::format("name a terminal of {}: {}", unit.name, list_terminals(unit)));
            return std::nullopt;
        }
        if (dot == std::string_view::npos) {
            return without_terminal(step, id, role);
        }
        return with_terminal(step, id, trimmed(step.text.substr(dot + 1)), role);
    }

private:
    void complain(Rule rule, const Step& step, std::string message, std::string remedy) {
        reading_.complain(rule, subject_, step.where, std::move(message), std::move(remedy));
    }

    void complain_of_name(const Step& step, std::string_view name) {
        if (reading_.devices.is_unread()) {
            return;
        }
        const bool has_space = name.find(' ') != std::string_view::npos;
        complain(Rule::unknown_reference, step, fmt::format("there is no device {}", quoted(name)),
                 has_space ? "write `>` between one device and the next"
                           : reading_.suggest(name, reading_.devices.names()));
    }

    std::optional<Passage> without_terminal(const Step& step, DeviceId id, PathRole role) {
        const DefaultPass& pass = reading_.passes[id.index()];
        const Device& device = reading_.vehicle.device(id);
        const bool is_known =
            (role == PathRole::begins || pass.in >= 0) && (role == PathRole::ends || pass.out >= 0);
        if (is_known) {
            return go_through(step, id, pass.in, pass.out);
        }
        if (role == PathRole::passes) {
            complain(Rule::cannot_pass, step,
                     fmt::format("a path cannot pass {} {} without its terminals",
                                 with_article(device.word), device.name),
                     fmt::format("name where it enters and where it leaves: {}; it has {}",
                                 example_of_pass(device), list_terminals(device)));
        } else {
            complain(Rule::unknown_terminal, step,
                     fmt::format("{} is {}: say at which of its terminals the wire ends",
                                 device.name, with_article(device.word)),
                     fmt::format("write `{}.{}`; it has {}", device.name, device.terminals.front(),
                                 list_terminals(device)));
        }
        return std::nullopt;
    }

    std::optional<Passage> with_terminal(const Step& step, DeviceId id, std::string_view terminal,
                                         PathRole role) {
        const Device& device = reading_.vehicle.device(id);
        if (device.terminals.size() == 1 && device.terminals.front().empty()) {
            complain(Rule::unknown_terminal, step,
                     fmt::format("{} is {}: one node, with no terminals to name", device.name,
                                 with_article(device.word)),
                     fmt::format("write `{}` alone", device.name));
            return std::nullopt;
        }
        // A name that holds a slash itself comes first.
        const std::size_t slash = terminal.find('/');
        if (device.terminal(terminal) >= 0 || slash == std::string_view::npos) {
            return with_one_terminal(step, id, terminal, role);
        }
        const int in = find_terminal(step, device, trimmed(terminal.substr(0, slash)));
        const int out = find_terminal(step, device, trimmed(terminal.substr(slash + 1)));
        if (in < 0 || out < 0) {
            return std::nullopt;
        }
        if (role != PathRole::passes) {
            complain(Rule::cannot_pass, step,
                     fmt::format("a path {} at {}, and two of its terminals are named",
                                 role == PathRole::begins ? "begins" : "ends", device.name),
                     "name the one terminal that the wire is on");
            return std::nullopt;
        }
        if (!can_pass(reading_.vehicle, id, in, out)) {
            complain(
                Rule::cannot_pass, step,
                fmt::format("nothing in {} joins {} and {}", device.name,
                            quoted(device.terminals[static_cast<std::size_t>(in)]),
                            quoted(device.terminals[static_cast<std::size_t>(out)])),
                fmt::format("write a path to one terminal and another from the other; {} has {}",
                            device.name, list_terminals(device)));
            return std::nullopt;
        }
        return go_through(step, id, in, out);
    }

    std::optional<Passage> with_one_terminal(const Step& step, DeviceId id,
                                             std::string_view terminal, PathRole role) {
        const Device& device = reading_.vehicle.device(id);
        const int named = find_terminal(step, device, terminal);
        if (named < 0) {
            return std::nullopt;
        }
        if (role != PathRole::passes) {
            return Passage{use(step, {id, named}), {id, named}};
        }
        const DefaultPass& pass = reading_.passes[id.index()];
        if (device.as<Connector>() != nullptr) {
            return go_through(step, id, named, named);
        }
        if (pass.in >= 0 && pass.out >= 0 && (named == pass.in || named == pass.out)) {
            return go_through(step, id, named, named == pass.in ? pass.out : pass.in);
        }
        complain(
            Rule::cannot_pass, step,
            fmt::format("{} names one terminal, and a path that passes {} needs two",
                        quoted(step.text), with_article(device.word)),
            fmt::format("write `{}.{}/...` to go on from another terminal, or begin a new path "
                        "at {}; it has {}",
                        device.name, terminal, quoted(step.text), list_terminals(device)));
        return std::nullopt;
    }

    int find_terminal(const Step& step, const Device& device, std::string_view name) {
        const int found = device.terminal(name);
        if (found < 0) {
            const std::vector<std::string_view> known(device.terminals.begin(),
                                                      device.terminals.end());
            complain(Rule::unknown_terminal, step,
                     fmt::format("{} is {} and has no terminal {}: it has {}", device.name,
                                 with_article(device.word), quoted(name), list_terminals(device)),
                     reading_.suggest(name, known));
        }
        return found;
    }

    /// A path that enters half a connector goes on from the same cavity of its mate.
    std::optional<Passage> go_through(const Step& step, DeviceId id, int in, int out) {
        const Device& device = reading_.vehicle.device(id);
        Passage passage{use(step, {id, in}), use(step, {id, out})};
        const auto* connector = device.as<Connector>();
        if (connector != nullptr && connector->mate.is_valid()) {
            const Device& mate = reading_.vehicle.device(connector->mate);
            const int other = mate.terminal(device.terminals[static_cast<std::size_t>(out)]);
            if (other >= 0) {
                passage.leave = {connector->mate, other};
            }
        }
        return passage;
    }

    /// A wire on 87a says that the relay has a break contact.
    TerminalRef use(const Step& step, TerminalRef ref) {
        if (ref.terminal < 0) {
            return ref;
        }
        Device& device = reading_.vehicle.devices[ref.device.index()];
        auto* relay = std::get_if<Relay>(&device.spec);
        if (relay == nullptr || device.terminals[static_cast<std::size_t>(ref.terminal)] != "87a") {
            return ref;
        }
        const auto denied = reading_.no_break_contact.find(ref.device.index());
        if (denied != reading_.no_break_contact.end()) {
            reading_
                .complain(Rule::contradiction, subject_, step.where,
                          fmt::format("a wire ends at 87a of {}, which is said to have no break "
                                      "contact",
                                      device.name),
                          "correct the path, or `break-contact` of the relay")
                .related.push_back({denied->second, "it is said here"});
        }
        relay->has_break_contact = true;
        return ref;
    }

    static std::string example_of_pass(const Device& device) {
        if (device.as<Connector>() != nullptr) {
            return fmt::format("`{}.{}` for one cavity", device.name, device.terminals.front());
        }
        return fmt::format("`{}.{}/{}`", device.name, device.terminals.front(),
                           device.terminals.back());
    }

    Reading& reading_;
    std::string_view subject_;
};

SourceRange spanning(const SourceRange& first, const SourceRange& last) {
    SourceRange out = first;
    if (last.line == first.line) {
        out.end_column = last.end_column;
    }
    return out;
}

} // namespace

std::string list_terminals(const Device& device) {
    std::string out;
    const std::size_t count = std::min(device.terminals.size(), most_terminals_listed);
    for (std::size_t i = 0; i < count; ++i) {
        if (i > 0) {
            out += i + 1 == device.terminals.size() ? " and " : ", ";
        }
        out += quoted(device.terminals[i]);
    }
    if (device.terminals.size() > count) {
        out += fmt::format(" and {} more", device.terminals.size() - count);
    }
    return out;
}

std::vector<PathWire> read_path(Reading& reading, const Node& node, std::string_view circuit) {
    const std::vector<Step> steps = split_path(node);
    if (steps.size() < 2) {
        reading.complain(
            Rule::wrong_shape, circuit, node.where(),
            fmt::format("{} is not a path: a path has at least one `>`", quoted(node.text())),
            "write `A > B`: each `>` is one wire");
        return {};
    }
    StepReader reader(reading, circuit);
    std::vector<PathWire> wires(steps.size() - 1);
    for (std::size_t i = 0; i < steps.size(); ++i) {
        const bool is_first = i == 0;
        const bool is_last = i + 1 == steps.size();
        const auto passage = reader.resolve(steps[i], is_first  ? PathRole::begins
                                                      : is_last ? PathRole::ends
                                                                : PathRole::passes);
        if (!is_last) {
            wires[i].where = spanning(steps[i].where, steps[i + 1].where);
        }
        if (passage && !is_first) {
            wires[i - 1].to = passage->enter;
        }
        if (passage && !is_last) {
            wires[i].from = passage->leave;
        }
    }
    return wires;
}

std::optional<TerminalRef> read_wire_end(Reading& reading, const Node& node,
                                         std::string_view subject, PathRole role) {
    StepReader reader(reading, subject);
    const auto passage = reader.resolve({trimmed(node.text()), node.where()}, role);
    if (!passage) {
        return std::nullopt;
    }
    return role == PathRole::begins ? passage->leave : passage->enter;
}

} // namespace loomwright
