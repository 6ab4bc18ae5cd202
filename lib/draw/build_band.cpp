// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/build_band.hpp"

#include "base/display.hpp"
#include "draw/band_drawing.hpp"
#include "draw/drawing_library.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>

namespace loomwright::draw {
namespace {

/// One wire of a group between two ends that may be drawn here or elsewhere.
class Builder {
public:
    Builder(const BandInput& input, int group) : in_(input), group_(group) { band_.group = group; }

    Band run() {
        const FeedGroup& group = in_.groups.groups[static_cast<std::size_t>(group_)];
        describe(group);
        add_head(group);
        for (const WireId wire : group.wires) {
            const auto [start, end] = ends_of(wire);
            add_link(wire, start, end);
        }
        cut_circles();
        add_pins();
        return std::move(band_);
    }

private:
    [[nodiscard]] std::pair<TerminalRef, TerminalRef> ends_of(WireId id) const {
        const Wire& wire = in_.vehicle.wire(id);
        const TerminalRef from = outer_terminal(in_.vehicle, wire.from);
        const TerminalRef to = outer_terminal(in_.vehicle, wire.to);
        return in_.groups.is_against[id.index()] ? std::pair{to, from} : std::pair{from, to};
    }

    void describe(const FeedGroup& group) {
        band_.name = group_name(in_, group_);
        if (!group.head.is_valid()) {
            band_.heading = "wires that no source reaches";
            return;
        }
        const Device& head = in_.vehicle.device(group.head);
        const auto* protection = head.as<Protection>();
        if (protection == nullptr) {
            band_.heading = head.title.empty() ? "" : head.title + ": ";
            band_.heading += "before any fuse";
            return;
        }
        std::string text = word_of(in_.vehicle, in_.design, {group.head, 0});
        if (protection->kind != ProtectionKind::fusible_link) {
            text += " " + protection->family;
            const auto& rating = in_.design.ratings[group.head.index()];
            const FuseFamily* family = in_.catalogue.find_fuse_family(protection->family);
            const FuseRating* row = family != nullptr && rating ? family->find(*rating) : nullptr;
            text += row != nullptr && !row->colour.empty() ? ", " + row->colour : "";
        }
        band_.heading = head.title.empty() ? text : text + ": " + head.title;
    }

    /// The protective device at the head with the wires that feed it, which belong to another
    /// group.
    void add_head(const FeedGroup& group) {
        if (!group.head.is_valid() || group.continues > 0 ||
            in_.vehicle.device(group.head).as<Protection>() == nullptr ||
            in_.vehicle.device(group.head).housing.is_valid()) {
            return;
        }
        const Part part{group.head, 0};
        const int head = node_of(part);
        const TerminalRef entry{group.head, in_.parts.home(part).entry};
        for (std::size_t i = 0; i < in_.vehicle.wires.size(); ++i) {
            const WireId wire(i);
            if (in_.groups.of_wire[i] == group_) {
                continue;
            }
            const auto [start, end] = ends_of(wire);
            if (end == entry || start == entry) {
                const int from = add_reference(end == entry ? start : end, true);
                links_.push_back({wire, from, head, end == entry ? start : end, entry});
            }
        }
    }

    int add_node(Node node) {
        band_.nodes.push_back(std::move(node));
        return static_cast<int>(band_.nodes.size()) - 1;
    }

    /// Wires that come from one place come from one arrow; each that goes away has its own.
    int add_reference(TerminalRef ref, bool comes_from) {
        const std::pair key{ref.device, ref.terminal};
        const auto known = comes_from ? sources_.find(key) : sources_.end();
        if (known != sources_.end()) {
            return known->second;
        }
        Node node;
        node.symbol = Symbol::reference;
        node.part = in_.parts.of(ref);
        node.name = in_.vehicle.show(ref);
        node.comes_from = comes_from;
        node.target = in_.parts.home(node.part).group;
        node.entry = ref.terminal;
        node.exit = ref.terminal;
        const Device& device = in_.vehicle.device(ref.device);
        if (device.as<Protection>() != nullptr) {
            node.name = device.name;
        }
        node.word =
            device.as<Protection>() != nullptr ? word_of(in_.vehicle, in_.design, node.part) : "";
        const int index = add_node(std::move(node));
        if (comes_from) {
            sources_.emplace(key, index);
        }
        return index;
    }

    int add_ground(TerminalRef ref) {
        const Device& device = in_.vehicle.device(ref.device);
        Node node;
        node.symbol = Symbol::ground;
        node.part = {ref.device, 0};
        node.name = device.name;
        const int body = device.as<Ground>()->body;
        node.case_body = body;
        return add_node(std::move(node));
    }

    /// The node of a part that is drawn in this group.
    int node_of(Part part) {
        const auto found = node_of_part_.find(part);
        if (found != node_of_part_.end()) {
            return found->second;
        }
        const Device& device = in_.vehicle.device(part.device);
        const std::vector<int> terminals = in_.parts.terminals(part);
        Node node;
        node.symbol = symbol_of(in_.vehicle, part, terminals.size());
        node.part = part;
        node.name = device.name;
        node.word = word_of(in_.vehicle, in_.design, part);
        node.title = {device.title};
        if (std::string other = elsewhere(device, part); !other.empty()) {
            node.elsewhere.push_back(std::move(other));
        }
        node.entry = in_.parts.home(part).entry;
        const bool is_connector = device.as<Connector>() != nullptr;
        const auto other =
            std::ranges::find_if(terminals, [&node](int t) { return t != node.entry; });
        node.exit = is_connector || other == terminals.end() ? node.entry : *other;
        const int plus = plus_end(in_.vehicle, part);
        node.is_turned = plus >= 0 && node.entry != plus;
        if (is_connector) {
            name_connector(node, device);
        }
        const bool is_two_ended = terminals.size() <= 2 && device.as<Controller>() == nullptr &&
                                  device.as<Unit>() == nullptr && device.as<Battery>() == nullptr;
        node.is_box = !is_two_ended && !is_connector;
        if (device.case_body && device.case_terminal >= 0) {
            node.case_body = *device.case_body;
        }
        const int index = add_node(std::move(node));
        node_of_part_.emplace(part, index);
        return index;
    }

    /// Where else this device is drawn: the coil of a contact, the contact of a coil, the rest of a
    /// unit.
    [[nodiscard]] std::string elsewhere(const Device& device, Part part) const {
        const auto place = [this](Part other) {
            const int group = in_.parts.home(other).group;
            return group < 0 || group == group_ ? std::string() : group_name(in_, group);
        };
        std::string other;
        if (device.as<Relay>() != nullptr) {
            other = place({part.device, 1 - part.number});
            return other.empty() ? "" : (part.number == 1 ? "contact in " : "coil in ") + other;
        }
        other = device.as<Unit>() != nullptr ? place(part) : continued(part);
        return other.empty() ? "" : "also in " + other;
    }

    /// Parts of this group that go on from here: "F1 (2), F1 (3)".
    [[nodiscard]] std::string continued(Part part) const {
        std::string out;
        const auto& groups = in_.groups.groups;
        for (std::size_t g = static_cast<std::size_t>(group_) + 1;
             g < groups.size() && groups[g].continues > 0; ++g) {
            const bool goes_on = std::ranges::any_of(groups[g].wires, [&](WireId wire) {
                return in_.parts.of(ends_of(wire).first) == part;
            });
            out += goes_on ? (out.empty() ? "" : ", ") + group_name(in_, static_cast<int>(g)) : "";
        }
        return out;
    }

    void name_connector(Node& node, const Device& device) const {
        const std::string& cavity = device.terminals[static_cast<std::size_t>(node.part.number)];
        const auto* connector = device.as<Connector>();
        node.name = device.name;
        if (connector->mate.is_valid()) {
            node.name += "-" + in_.vehicle.device(connector->mate).name;
        }
        node.name += "." + cavity;
        node.title.clear();
    }

    int end_node(TerminalRef ref, bool is_start) {
        const Device& device = in_.vehicle.device(ref.device);
        if (device.as<Ground>() != nullptr) {
            return is_start ? add_reference(ref, true) : add_ground(ref);
        }
        const Part part = in_.parts.of(ref);
        const bool is_here = in_.parts.home(part).group == group_ || device.as<Unit>() != nullptr;
        return is_here ? node_of(part) : add_reference(ref, is_start);
    }

    void add_link(WireId wire, TerminalRef start, TerminalRef end) {
        const int from = end_node(start, true);
        int to = end_node(end, false);
        if (to == from) {
            to = add_reference(end, false);
        }
        links_.push_back({wire, from, to, start, end});
    }

    /// A wire that leads back to where its current came from ends at a reference: what is left has
    /// no circles and can stand in columns.
    void cut_circles() {
        enum class Mark : std::uint8_t { fresh, open, done };
        std::vector<Mark> marks(band_.nodes.size(), Mark::fresh);
        std::vector<std::vector<std::size_t>> leaving(band_.nodes.size());
        for (std::size_t i = 0; i < links_.size(); ++i) {
            leaving[static_cast<std::size_t>(links_[i].from)].push_back(i);
        }
        std::vector<std::size_t> back;
        for (std::size_t root = 0; root < leaving.size(); ++root) {
            if (marks[root] != Mark::fresh) {
                continue;
            }
            std::vector<std::pair<std::size_t, std::size_t>> open = {{root, 0}};
            marks[root] = Mark::open;
            while (!open.empty()) {
                auto& [node, next] = open.back();
                if (next == leaving[node].size()) {
                    marks[node] = Mark::done;
                    open.pop_back();
                    continue;
                }
                const std::size_t link = leaving[node][next++];
                const auto to = static_cast<std::size_t>(links_[link].to);
                if (marks[to] == Mark::open) {
                    back.push_back(link);
                } else if (marks[to] == Mark::fresh) {
                    marks[to] = Mark::open;
                    open.emplace_back(to, 0);
                }
            }
        }
        std::ranges::sort(back);
        for (const std::size_t link : back) {
            links_[link].to = add_reference(links_[link].end, false);
        }
    }

    /// Pins in the order of terminals; each wire that arrives has one, those that leave share one.
    void add_pins() {
        for (const Ends& link : links_) {
            Node& to = band_.nodes[static_cast<std::size_t>(link.to)];
            Node& from = band_.nodes[static_cast<std::size_t>(link.from)];
            const double line = line_width(in_, link.wire);
            to.left.push_back({pin_terminal(to, link.end), 0.0, link.wire, line});
            const int terminal = pin_terminal(from, link.start);
            const auto found = std::ranges::find(from.right, terminal, &Pin::terminal);
            if (found == from.right.end()) {
                from.right.push_back({terminal, 0.0, WireId(), line});
            } else {
                found->line = std::max(found->line, line);
            }
        }
        for (Node& node : band_.nodes) {
            std::ranges::stable_sort(node.left, {}, &Pin::terminal);
            std::ranges::stable_sort(node.right, {}, &Pin::terminal);
            if (!node.is_box && node.entry != node.exit) {
                // Along the axis first, then what passes under the symbol.
                const auto is_crossed = [](int main) {
                    return [main](const Pin& pin) { return pin.terminal != main; };
                };
                std::ranges::stable_sort(
                    node.left, {}, [f = is_crossed(node.entry)](const Pin& pin) { return f(pin); });
                std::ranges::stable_sort(
                    node.right, {}, [f = is_crossed(node.exit)](const Pin& pin) { return f(pin); });
            }
        }
        for (const Ends& link : links_) {
            const Node& to = band_.nodes[static_cast<std::size_t>(link.to)];
            const Node& from = band_.nodes[static_cast<std::size_t>(link.from)];
            const auto to_pin = std::ranges::find(to.left, link.wire, &Pin::wire);
            const auto from_pin =
                std::ranges::find(from.right, pin_terminal(from, link.start), &Pin::terminal);
            band_.links.push_back({link.wire, link.from,
                                   static_cast<int>(from_pin - from.right.begin()), link.to,
                                   static_cast<int>(to_pin - to.left.begin())});
        }
    }

    /// The two halves of a mated connector are one place on paper; a ground is one by itself.
    static int pin_terminal(const Node& node, TerminalRef ref) {
        const bool is_one = node.symbol == Symbol::connector || node.symbol == Symbol::ground ||
                            node.symbol == Symbol::reference;
        return is_one ? node.entry : ref.terminal;
    }

    struct Ends {
        WireId wire;
        int from = 0;
        int to = 0;
        TerminalRef start;
        TerminalRef end;
    };

    const BandInput& in_;
    int group_;
    Band band_;
    std::map<Part, int> node_of_part_;
    std::map<std::pair<DeviceId, int>, int> sources_; // by terminal: its arrow
    std::vector<Ends> links_;
};

} // namespace

Band build_band(const BandInput& input, int group) {
    return Builder(input, group).run();
}

std::string wire_label(const BandInput& input, WireId wire) {
    const WireDesign& design = input.design.wires[wire.index()];
    const std::string size =
        design.conductor != nullptr ? show(design.conductor->size) : std::string("no size");
    const std::string& colour = input.vehicle.wire(wire).colour;
    return colour.empty() ? size : size + " " + colour;
}

std::string length_label(const BandInput& input, WireId wire) {
    return input.is_alone ? show(input.design.wires[wire.index()].length) : std::string();
}

double line_width(const BandInput& input, WireId wire) {
    const WireDesign& design = input.design.wires[wire.index()];
    const double mm2 = design.conductor != nullptr ? design.conductor->area.value() * 1e6 : 0.0;
    if (mm2 < 1.2) {
        return 0.25;
    }
    if (mm2 < 3.0) {
        return 0.35;
    }
    if (mm2 < 8.0) {
        return 0.5;
    }
    return mm2 < 22.0 ? 0.7 : 1.0;
}

bool place_band(const BandInput& input, Band& band, DotEngine& engine, std::string& why_not) {
    shape_nodes(input, band);
    std::vector<LayoutBox> boxes;
    for (const Node& node : band.nodes) {
        LayoutBox box{node.width(), node.height, {}, {}};
        for (const Pin& pin : node.left) {
            box.left.push_back(pin.y);
        }
        for (const Pin& pin : node.right) {
            box.right.push_back(pin.y);
        }
        boxes.push_back(std::move(box));
    }
    std::vector<LayoutEdge> edges;
    for (const Link& link : band.links) {
        edges.push_back(
            {link.from, link.from_pin, link.to, link.to_pin, line_width(input, link.wire)});
    }
    auto layout = lay_out(engine, boxes, edges, why_not);
    if (!layout) {
        return false;
    }
    for (std::size_t i = 0; i < band.nodes.size(); ++i) {
        band.nodes[i].at = layout->corners[i];
    }
    band.lines = std::move(layout->lines);
    band.dots = std::move(layout->dots);
    band.width = layout->width;
    band.height = layout->height;
    return true;
}

std::optional<Band> make_band(const BandInput& input, int group, DotEngine& engine,
                              std::string& why_not) {
    Band band = build_band(input, group);
    return place_band(input, band, engine, why_not) ? std::optional(std::move(band)) : std::nullopt;
}

} // namespace loomwright::draw
