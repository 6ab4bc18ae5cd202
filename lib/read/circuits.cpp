// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "read/paths.hpp"
#include "read/steps.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>

namespace loomwright {
namespace {

constexpr std::array<std::string_view, 10> circuit_keys{"number", "title",   "note", "class",
                                                        "paths",  "wires",   "size", "insulation",
                                                        "colour", "retained"};
constexpr std::array<std::string_view, 13> wire_keys{
    "size",    "colour",   "insulation", "length", "measured", "via", "avoid",
    "twisted", "retained", "note",       "number", "from",     "to"};

/// What a circuit says for all of its wires.
struct CircuitDefaults {
    std::optional<Given<ConductorSize>> size;
    Given<std::string> insulation;
    ColourGiven colour;
    std::optional<Given<Retained>> retained;
};

/// A wire on its way into the model.
struct Draft {
    Wire wire;
    bool is_whole = false; ///< both ends are known
    bool has_own_number = false;
};

/// Reads one circuit.
class CircuitReader {
public:
    CircuitReader(Reading& reading, const Entry& entry, std::size_t place)
        : reading_(reading),
          fields_(reading, entry.value, entry.key.text(), entry.key.where(), circuit_keys) {
        circuit_.name = entry.key.text();
        circuit_.where = entry.key.where();
        number_where_ = entry.key.where();
        circuit_.number = std::to_string(place);
    }

    void read() {
        read_head();
        const Node paths = fields_.get("paths");
        const bool has_paths = paths.is_valid() && (!paths.is_list() || paths.size() > 0);
        if (has_paths) {
            read_paths();
        }
        read_wires(has_paths);
        const bool is_meant = fields_.is_misspelt("paths") || fields_.is_misspelt("wires");
        if (fields_.is_map() && drafts_.empty() && !has_paths && !fields_.has("wires") &&
            !is_meant) {
            reading_.complain(Rule::missing_key, fields_.subject(), fields_.owner(),
                              "the key `paths` is missing: this circuit has no wires",
                              "add `paths: [A > B]`");
        }
        add_to_model();
    }

private:
    /// A number of nothing but blanks would leave the labels empty.
    static bool is_label(const Fields& fields, std::string_view number) {
        if (!trimmed(number).empty()) {
            return true;
        }
        fields.complain(Rule::wrong_shape, "number", "the number is empty",
                        "write what is to be printed on the labels: `number: 12`");
        return false;
    }

    void read_head() {
        if (const auto number = fields_.text("number")) {
            number_where_ = fields_.where("number");
            if (is_label(fields_, *number)) {
                circuit_.number = *number;
                has_number_ = true;
            }
        }
        circuit_.title = fields_.text_or_empty("title");
        (void)fields_.text("note");
        if (const Node node = fields_.get("class"); node.is_valid()) {
            if (check_drop_class(reading_, node, fields_.subject())) {
                circuit_.drop_class = {std::string(node.text()), node.where()};
            }
        }
        defaults_.size = read_wire_size(fields_);
        defaults_.insulation = read_insulation(fields_).value_or(Given<std::string>());
        defaults_.colour = read_wire_colour(fields_).value_or(ColourGiven());
        defaults_.retained = read_retained(fields_).value_or(RetainedGiven()).wiring;
    }

    Wire blank_wire(SourceRange where) const {
        Wire wire;
        wire.size = defaults_.size;
        wire.insulation = defaults_.insulation;
        wire.colour = defaults_.colour.colour;
        wire.colour_is_auto = defaults_.colour.is_auto;
        wire.retained = defaults_.retained;
        wire.where = where;
        return wire;
    }

    void read_paths() {
        const std::vector<Node> paths = fields_.words("paths");
        std::size_t count = 0;
        for (const Node& node : paths) {
            count += static_cast<std::size_t>(std::ranges::count(node.text(), '>'));
        }
        drafts_.reserve(count);
        const Node list = fields_.get("paths");
        has_unread_path_ = !list.is_list() ? paths.empty() : paths.size() < list.size();
        for (const Node& node : paths) {
            std::vector<std::size_t>& chain = chains_.emplace_back();
            for (const PathWire& part : read_path(reading_, node, fields_.subject())) {
                chain.push_back(drafts_.size());
                Draft& draft = drafts_.emplace_back(Draft{.wire = blank_wire(part.where)});
                draft.wire.number = fmt::format("{}.{}", circuit_.number, drafts_.size());
                set_ends(draft, part.from, part.to, part.where);
            }
            has_unread_path_ = has_unread_path_ || chain.empty();
        }
        path_wires_ = drafts_.size();
    }

    void set_ends(Draft& draft, const std::optional<TerminalRef>& from,
                  const std::optional<TerminalRef>& to, SourceRange where) {
        if (!from || !to) {
            return;
        }
        draft.wire.from = *from;
        draft.wire.to = *to;
        draft.is_whole = true;
        if (*from == *to) {
            reading_.complain(Rule::contradiction, draft.wire.number, where,
                              "both ends of this wire are the same terminal",
                              "name two different terminals");
        }
    }

    void read_wires(bool has_paths) {
        const Node wires = fields_.get("wires");
        if (!wires.is_valid() || !is_map_of_names(reading_, wires, "wires")) {
            return;
        }
        for (const Entry entry : wires.entries()) {
            const Fields fields(reading_, entry.value, entry.key.text(), entry.key.where(),
                                wire_keys);
            if (!fields.is_map()) {
                continue;
            }
            if (has_paths) {
                refine_path_wire(entry, fields);
            } else {
                read_whole_wire(entry, fields);
            }
        }
    }

    /// Which wire of the paths a key names: the circuit's number, a dot, its place.
    std::optional<std::size_t> path_wire(std::string_view key) const {
        const std::string_view number = circuit_.number;
        if (!key.starts_with(number) || key.substr(number.size()).substr(0, 1) != ".") {
            return std::nullopt;
        }
        const std::string_view digits = key.substr(number.size() + 1);
        std::size_t place = 0;
        const auto [end, error] =
            std::from_chars(digits.data(), digits.data() + digits.size(), place);
        if (error != std::errc() || end != digits.data() + digits.size() ||
            digits.starts_with('0') || place < 1 || place > path_wires_) {
            return std::nullopt;
        }
        return place - 1;
    }

    void refine_path_wire(const Entry& entry, const Fields& fields) {
        const auto place = path_wire(entry.key.text());
        if (!place && has_unread_path_) {
            return; // it may be a wire of the path that was complained of
        }
        if (!place) {
            reading_.complain(
                Rule::unknown_reference, fields_.subject(), entry.key.where(),
                fmt::format("the paths of this circuit have no wire {}", quoted(entry.key.text())),
                fmt::format("its wires are {0}.1 to {0}.{1}", circuit_.number, path_wires_));
            return;
        }
        Draft& draft = drafts_[*place];
        for (const std::string_view key : {"from", "to"}) {
            if (fields.has(key)) {
                fields
                    .complain(
                        Rule::contradiction, key,
                        fmt::format("the ends of this wire are those of its path, not `{}`", key),
                        "change the path, or give the circuit no `paths` and every wire "
                        "`from` and `to`")
                    .related.push_back({draft.wire.where, "the path is here"});
            }
        }
        if (const auto number = fields.text("number"); number && is_label(fields, *number)) {
            draft.wire.number = *number;
            draft.wire.where = fields.where("number");
            draft.has_own_number = true;
        }
        read_own(fields, draft.wire);
    }

    void read_whole_wire(const Entry& entry, const Fields& fields) {
        Draft& draft = drafts_.emplace_back(Draft{.wire = blank_wire(entry.key.where())});
        draft.wire.number = entry.key.text();
        draft.has_own_number = true;
        if (trimmed(entry.key.text()).empty()) {
            reading_.complain(Rule::wrong_shape, fields_.subject(), entry.key.where(),
                              "a wire without a number", "write its number before the colon");
        }
        if (fields.has("number")) {
            fields.complain(Rule::contradiction, "number", "this wire's number is its key already",
                            "write the number before the colon alone");
        }
        const auto from = read_end(fields, "from", PathRole::begins);
        const auto to = read_end(fields, "to", PathRole::ends);
        set_ends(draft, from, to, entry.key.where());
        read_own(fields, draft.wire);
    }

    std::optional<TerminalRef> read_end(const Fields& fields, std::string_view key, PathRole role) {
        const Node node = fields.need(key);
        if (!node.is_valid() || !need_text(reading_, node, fields.subject(), key)) {
            return std::nullopt;
        }
        return read_wire_end(reading_, node, fields.subject(), role);
    }

    void read_own(const Fields& fields, Wire& wire) {
        if (fields.has("size")) {
            wire.size = read_wire_size(fields);
        }
        if (auto insulation = read_insulation(fields)) {
            wire.insulation = std::move(*insulation);
        }
        if (auto colour = read_wire_colour(fields)) {
            wire.colour = std::move(colour->colour);
            wire.colour_is_auto = colour->is_auto;
        }
        if (const auto length = read_length(fields)) {
            wire.length = length->length;
            wire.length_is_measured = length->is_measured;
        }
        wire.via = read_ways(fields, "via");
        wire.avoid = read_ways(fields, "avoid");
        check_ways(fields, wire);
        wire.twisted = fields.text_or_empty("twisted");
        wire.note = fields.text_or_empty("note");
        if (const auto retained = read_retained(fields)) {
            wire.retained = retained->wiring;
        }
    }

    std::vector<Given<std::string>> read_ways(const Fields& fields, std::string_view key) {
        std::vector<Given<std::string>> out;
        for (const Node& node : fields.words(key)) {
            const std::string_view name = node.text();
            if (!reading_.runs.find(name) && !reading_.points.find(name)) {
                if (reading_.runs.is_unread() || reading_.points.is_unread()) {
                    continue;
                }
                std::vector<std::string_view> known(reading_.runs.names().begin(),
                                                    reading_.runs.names().end());
                known.insert(known.end(), reading_.points.names().begin(),
                             reading_.points.names().end());
                reading_.complain(Rule::unknown_reference, fields.subject(), node.where(),
                                  fmt::format("there is no run or point {}", quoted(name)),
                                  reading_.suggest(name, known));
                continue;
            }
            out.push_back({std::string(name), node.where()});
        }
        return out;
    }

    void check_ways(const Fields& fields, const Wire& wire) {
        for (const Given<std::string>& avoided : wire.avoid) {
            const auto wanted =
                std::ranges::find(wire.via, avoided.value, &Given<std::string>::value);
            if (wanted != wire.via.end()) {
                reading_
                    .complain(Rule::contradiction, fields.subject(), avoided.where,
                              fmt::format("the wire is to go by {} and to avoid it",
                                          quoted(avoided.value)),
                              "leave it out of `via` or of `avoid`")
                    .related.push_back({wanted->where, "it is to go by it"});
            }
        }
    }

    void add_to_model() {
        if (!reading_.circuits.add(fields_.subject(), reading_.vehicle.circuits.size(),
                                   circuit_.where)) {
            return; // complained of by the caller
        }
        const CircuitId id(reading_.vehicle.circuits.size());
        std::vector<WireId> ids(drafts_.size());
        for (std::size_t i = 0; i < drafts_.size(); ++i) {
            Draft& draft = drafts_[i];
            register_number(draft, id);
            if (draft.is_whole) {
                ids[i] = WireId(reading_.vehicle.wires.size());
                draft.wire.circuit = id;
                reading_.vehicle.wires.push_back(std::move(draft.wire));
                circuit_.wires.push_back(ids[i]);
            }
        }
        for (const std::vector<std::size_t>& chain : chains_) {
            std::vector<WireId>& path = circuit_.paths.emplace_back();
            for (const std::size_t draft : chain) {
                if (ids[draft].is_valid()) {
                    path.push_back(ids[draft]);
                }
            }
        }
        reading_.circuit_numbers.push_back({number_where_});
        reading_.vehicle.circuits.push_back(std::move(circuit_));
    }

    /// Two circuits of one number would have every wire complained of: said once, at the circuit.
    void register_number(const Draft& draft, CircuitId id) {
        const std::string_view number = reading_.keep(draft.wire.number);
        if (reading_.wires.add(number, id.index(), draft.wire.where)) {
            return;
        }
        const std::size_t other = *reading_.wires.find(number);
        const bool is_other = other != id.index();
        if (is_other && !draft.has_own_number &&
            reading_.vehicle.circuits[other].number == circuit_.number) {
            if (!said_circuit_) {
                said_circuit_ = true;
                reading_
                    .complain(Rule::duplicate_number, fields_.subject(), number_where_,
                              fmt::format("the circuits {} and {} both have the number {}, and "
                                          "with it their wires",
                                          reading_.vehicle.circuits[other].name, circuit_.name,
                                          circuit_.number),
                              has_number_ ? "give one of the two another number"
                                          : "give this circuit a `number`")
                    .related.push_back(
                        {reading_.circuit_numbers[other].where, "the other one has it here"});
            }
            return;
        }
        reading_
            .complain(Rule::duplicate_number, number, draft.wire.where,
                      fmt::format("there is a wire {} already", quoted(number)),
                      "give one of the two another number")
            .related.push_back({reading_.wires.where(number), "the first one is here"});
    }

    Reading& reading_;
    Fields fields_;
    Circuit circuit_;
    SourceRange number_where_;
    bool has_number_ = false;
    bool said_circuit_ = false;
    CircuitDefaults defaults_;
    std::vector<Draft> drafts_;
    std::vector<std::vector<std::size_t>> chains_;
    std::size_t path_wires_ = 0;
    bool has_unread_path_ = false; ///< how many wires the paths have is then not known
};

} // namespace

void read_circuits(Reading& reading, const Node& section) {
    if (!is_map_of_names(reading, section, "circuits")) {
        return;
    }
    for (const Entry entry : section.entries()) {
        const std::string_view name = entry.key.text();
        if (reading.circuits.find(name)) {
            reading
                .complain(Rule::duplicate_key, name, entry.key.where(),
                          "there is a circuit of this name already",
                          "give one of the two another name")
                .related.push_back({reading.circuits.where(name), "the first one is here"});
            continue;
        }
        CircuitReader(reading, entry, reading.vehicle.circuits.size() + 1).read();
    }
}

} // namespace loomwright
