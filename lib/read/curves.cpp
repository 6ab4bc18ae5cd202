// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Opening times from data sheets of the user's own: one band each, for a family or for some
// devices. A band that cannot be is told with the places of the two gates that say so.

#include "base/display.hpp"
#include "read/steps.hpp"

#include "base/spelling.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace loomwright {
namespace {

constexpr std::array<std::string_view, 9> curve_keys{
    "family", "devices", "ratings", "air", "derating", "gates", "source", "title", "note"};
constexpr std::array<std::string_view, 4> gate_keys{"at", "shortest", "longest", "note"};
constexpr Range multiple{0.0, 1000.0, true};
constexpr Range slope{0.0, 0.05}; ///< of the rating lost for each kelvin

using Side = std::optional<Seconds> CurveGate::*;

std::string show_gate(const CurveGate& gate, Side side) {
    return fmt::format("{} at {}", show(*(gate.*side)), show_percent(gate.multiple));
}

std::optional<CurveGate> read_gate(const Fields& curve, const Node& node) {
    const Fields fields(curve.reading(), node, curve.subject(), node.where(), gate_keys);
    if (!fields.is_map()) {
        return std::nullopt;
    }
    (void)fields.text("note");
    CurveGate gate;
    gate.where = node.where();
    if (!fields.need("at").is_valid()) {
        return std::nullopt;
    }
    const auto at = fields.share("at", multiple);
    gate.shortest = fields.quantity<Seconds>("shortest", ranges::duration);
    gate.longest = fields.quantity<Seconds>("longest", ranges::duration);
    if (fields.is_misspelt("shortest") || fields.is_misspelt("longest")) {
        return std::nullopt;
    }
    if (!fields.has("shortest") && !fields.has("longest")) {
        fields.reading().complain(Rule::missing_key, fields.subject(), node.where(),
                                  "a gate without a time says nothing",
                                  "add `shortest: 0.1 s`, `longest: 5 s`, or both");
        return std::nullopt;
    }
    if (!at || (fields.has("shortest") && !gate.shortest) ||
        (fields.has("longest") && !gate.longest)) {
        return std::nullopt;
    }
    gate.multiple = *at;
    return gate;
}

/// The gates, with nothing checked between them; nothing when one of them cannot be read.
std::optional<std::vector<CurveGate>> read_gates(const Fields& fields) {
    const Node list = fields.need("gates");
    if (!list.is_valid()) {
        return std::nullopt;
    }
    if (!list.is_list()) {
        fields.complain(Rule::wrong_shape, "gates",
                        fmt::format("the gates of a curve are a list, not {}", shape_name(list)),
                        "write `gates: [{at: 200 %, shortest: 0.15 s, longest: 5 s}]`");
        return std::nullopt;
    }
    std::vector<CurveGate> out;
    bool is_good = true;
    for (const Node& node : list.items()) {
        const auto gate = read_gate(fields, node);
        is_good = is_good && gate.has_value();
        if (gate) {
            out.push_back(*gate);
        }
    }
    if (is_good && out.empty()) {
        fields.complain(Rule::wrong_shape, "gates", "a curve without a gate is none",
                        "write `gates: [{at: 200 %, shortest: 0.15 s, longest: 5 s}]`");
        return std::nullopt;
    }
    return is_good ? std::optional(out) : std::nullopt;
}

void complain_of_gates(const Fields& fields, const CurveGate& gate, const CurveGate& other,
                       std::string message, std::string remedy, std::string related) {
    fields.reading()
        .complain(Rule::contradiction, fields.subject(), gate.where, std::move(message),
                  std::move(remedy))
        .related.push_back({other.where, std::move(related)});
}

bool check_order(const Fields& fields, const std::vector<CurveGate>& gates) {
    for (std::size_t i = 1; i < gates.size(); ++i) {
        if (gates[i].multiple <= gates[i - 1].multiple) {
            complain_of_gates(
                fields, gates[i], gates[i - 1],
                fmt::format("the gate at {} stands after the one at {}",
                            show_percent(gates[i].multiple), show_percent(gates[i - 1].multiple)),
                "write the gates by rising current, each once", "the gate before it is here");
            return false;
        }
    }
    return true;
}

/// The gates that have a time on this side.
std::vector<const CurveGate*> side_of(const std::vector<CurveGate>& gates, Side side) {
    std::vector<const CurveGate*> out;
    for (const CurveGate& gate : gates) {
        if (gate.*side) {
            out.push_back(&gate);
        }
    }
    return out;
}

/// A larger current opens a device no later: a side that rises runs back over itself.
bool check_falling(const Fields& fields, const std::vector<CurveGate>& gates, Side side,
                   std::string_view name) {
    const auto points = side_of(gates, side);
    for (std::size_t i = 1; i < points.size(); ++i) {
        if (*(points[i]->*side) > *(points[i - 1]->*side)) {
            complain_of_gates(fields, *points[i], *points[i - 1],
                              fmt::format("the {} time rises with the current: {} after {}", name,
                                          show_gate(*points[i], side),
                                          show_gate(*points[i - 1], side)),
                              "a larger current opens a device no later: correct one of the two",
                              "the gate before it is here");
            return false;
        }
    }
    return true;
}

/// The logarithm of a side's time at a multiple: straight in log-log between its gates, constant
/// I^2 t beyond the last.
double log_time(const std::vector<const CurveGate*>& points, Side side, double at) {
    const auto log_s = [&](const CurveGate* gate) { return std::log((gate->*side)->value()); };
    for (std::size_t i = 1; i < points.size(); ++i) {
        if (at <= points[i]->multiple) {
            const double part = std::log(at / points[i - 1]->multiple) /
                                std::log(points[i]->multiple / points[i - 1]->multiple);
            return log_s(points[i - 1]) + part * (log_s(points[i]) - log_s(points[i - 1]));
        }
    }
    return log_s(points.back()) - 2.0 * std::log(at / points.back()->multiple);
}

/// Both sides are broken lines: where they do not cross at a gate of either, they do nowhere.
bool check_sides(const Fields& fields, const std::vector<CurveGate>& gates) {
    const auto fast = side_of(gates, &CurveGate::shortest);
    const auto slow = side_of(gates, &CurveGate::longest);
    if (fast.empty() || slow.empty()) {
        return true;
    }
    const double first = std::max(fast.front()->multiple, slow.front()->multiple);
    for (const CurveGate& gate : gates) {
        if (gate.multiple < first) {
            continue;
        }
        const double shortest = std::exp(log_time(fast, &CurveGate::shortest, gate.multiple));
        const double longest = std::exp(log_time(slow, &CurveGate::longest, gate.multiple));
        if (shortest > longest * (1.0 + 1e-9)) {
            fields.reading().complain(
                Rule::contradiction, fields.subject(), gate.where,
                fmt::format("the shortest time is above the longest at {}: {} against {}{}",
                            show_percent(gate.multiple), show(Seconds(shortest)),
                            show(Seconds(longest)),
                            gate.shortest && gate.longest
                                ? ""
                                : ", straight in log-log between the gates on either side"),
                "a device opens no sooner than the one and no later than the other: exchange or "
                "correct them");
            return false;
        }
    }
    return true;
}

bool check_band(const Fields& fields, const std::vector<CurveGate>& gates) {
    return check_order(fields, gates) &&
           check_falling(fields, gates, &CurveGate::shortest, "shortest") &&
           check_falling(fields, gates, &CurveGate::longest, "longest") &&
           check_sides(fields, gates);
}

/// One rating, or the smallest and the largest.
bool read_ratings(const Fields& fields, FuseCurve& curve) {
    const std::vector<Node> nodes = fields.words("ratings");
    if (nodes.empty() || nodes.size() > 2) {
        if (fields.get("ratings").is_list()) {
            fields.complain(Rule::wrong_shape, "ratings",
                            "`ratings` is one rating, or the smallest and the largest",
                            "write `ratings: 60 A`, or `ratings: [30 A, 140 A]`");
        }
        return false;
    }
    std::vector<double> amps;
    for (const Node& node : nodes) {
        const auto value = quantity_of(fields.reading(), node, fields.subject(), "ratings",
                                       Dimension::current, ranges::current);
        if (!value) {
            return false;
        }
        amps.push_back(*value);
    }
    curve.least = Amps(amps.front());
    curve.most = Amps(amps.back());
    if (curve.most < curve.least) {
        fields.complain(Rule::contradiction, "ratings",
                        fmt::format("the largest rating, {}, is below the smallest, {}",
                                    show(curve.most), show(curve.least)),
                        "write the smaller one first");
        return false;
    }
    return true;
}

bool check_ratings(const Fields& fields, const FuseCurve& curve) {
    const FuseFamily* family = fields.reading().catalogue.find_fuse_family(curve.family);
    const auto is_in = [&](const FuseRating& row) {
        return row.rating >= curve.least && row.rating <= curve.most;
    };
    if (family == nullptr || family->ratings.empty() ||
        std::ranges::any_of(family->ratings, is_in)) {
        return true;
    }
    fields.complain(Rule::out_of_range, "ratings",
                    curve.least == curve.most
                        ? fmt::format("no standard has a {} of {}", curve.family, show(curve.least))
                        : fmt::format("no standard has a {} from {} to {}", curve.family,
                                      show(curve.least), show(curve.most)),
                    fmt::format("the next ratings are {}: `loomwright tables fuse-ratings`",
                                family->show_next_ratings(curve.least, curve.most)));
    return false;
}

bool read_family_of(const Fields& fields, FuseCurve& curve) {
    Reading& reading = fields.reading();
    const auto text = fields.text("family");
    if (!text) {
        return false;
    }
    if (reading.catalogue.find_fuse_family(*text) == nullptr) {
        std::vector<std::string_view> known;
        for (const FuseFamily& row : reading.catalogue.fuse_families()) {
            known.emplace_back(row.name);
        }
        fields.complain(Rule::unknown_word, "family",
                        fmt::format("there is no family {}", quoted(*text)),
                        reading.suggest(*text, known));
        return false;
    }
    curve.family = *text;
    if (!fields.need("ratings").is_valid()) {
        return false;
    }
    return read_ratings(fields, curve) && check_ratings(fields, curve);
}

bool read_devices_of(const Fields& fields, FuseCurve& curve) {
    Reading& reading = fields.reading();
    bool is_good = true;
    for (const Node& node : fields.words("devices")) {
        const auto found =
            find_reference(reading, node, fields.subject(), reading.devices, "device");
        if (!found) {
            is_good = false;
            continue;
        }
        const Device& device = reading.vehicle.devices[*found];
        if (device.as<Protection>() == nullptr) {
            reading
                .complain(Rule::unknown_reference, fields.subject(), node.where(),
                          fmt::format("{} is {}, which has no opening times", quoted(device.name),
                                      with_article(device.word)),
                          "name a fuse, a breaker or a fusible link")
                .related.push_back({device.where, "it is here"});
            is_good = false;
            continue;
        }
        curve.devices.emplace_back(*found);
    }
    return is_good && !curve.devices.empty();
}

/// Whom the curve is for: a family between two ratings, or devices by name.
bool read_owner(const Fields& fields, FuseCurve& curve) {
    if (fields.is_misspelt("family") || fields.is_misspelt("devices")) {
        return false;
    }
    if (fields.has("family") == fields.has("devices")) {
        fields.reading().complain(
            fields.has("family") ? Rule::contradiction : Rule::missing_key, fields.subject(),
            fields.has("family") ? fields.where("devices") : fields.owner(),
            "a curve is of a family or of devices",
            "write `family: bolt-in` and `ratings: [30 A, 140 A]`, or `devices: [F1]`");
        return false;
    }
    if (fields.has("devices") && fields.has("ratings")) {
        fields.complain(Rule::contradiction, "ratings",
                        "devices have their own ratings: `ratings` is for a family",
                        "delete `ratings`");
        return false;
    }
    return fields.has("family") ? read_family_of(fields, curve) : read_devices_of(fields, curve);
}

/// Two curves that a device could take are one too many.
bool check_others(const Fields& fields, const FuseCurve& curve) {
    for (const FuseCurve& other : fields.reading().vehicle.curves) {
        const bool is_same_device = std::ranges::any_of(curve.devices, [&](DeviceId id) {
            return std::ranges::find(other.devices, id) != other.devices.end();
        });
        const bool is_same_family = !curve.family.empty() && curve.family == other.family;
        const bool overlaps =
            is_same_family && curve.least <= other.most && other.least <= curve.most;
        const bool is_other_slope = is_same_family && curve.derating_per_k &&
                                    other.derating_per_k &&
                                    *curve.derating_per_k != *other.derating_per_k;
        if (!is_same_device && !overlaps && !is_other_slope) {
            continue;
        }
        const bool is_slope_alone = is_other_slope && !overlaps && !is_same_device;
        fields.reading()
            .complain(Rule::contradiction, fields.subject(), fields.owner(),
                      is_slope_alone
                          ? fmt::format("two curves give the family {} two deratings",
                                        quoted(curve.family))
                          : fmt::format("two curves are for {}",
                                        is_same_device ? "one device" : "one rating of a family"),
                      is_slope_alone ? "a derating is the whole family's: give both the same"
                                     : "keep one of the two, or part their ratings")
            .related.push_back({other.where, "the other one is here"});
        return false;
    }
    return true;
}

bool read_source(const Fields& fields, FuseCurve& curve) {
    if (!fields.need("source").is_valid()) {
        return false;
    }
    const auto text = fields.text("source");
    if (text && trimmed(*text).empty()) {
        fields.complain(Rule::wrong_shape, "source", "`source` is empty",
                        "say where the times were read: `source: \"data sheet, page 3\"`");
        return false;
    }
    curve.source = text.value_or(std::string_view());
    return text.has_value();
}

void read_curve(Reading& reading, const Entry& entry) {
    if (!reading.add_name(reading.curves, "curve", entry.key, reading.vehicle.curves.size())) {
        return;
    }
    const Fields fields(reading, entry.value, entry.key.text(), entry.key.where(), curve_keys);
    if (!fields.is_map()) {
        return;
    }
    FuseCurve curve;
    curve.name = entry.key.text();
    curve.where = entry.key.where();
    (void)fields.text("title");
    (void)fields.text("note");
    const bool is_owned = read_owner(fields, curve);
    const bool is_sourced = read_source(fields, curve);
    curve.air = fields.quantity<Celsius>("air", ranges::temperature);
    curve.derating_per_k = fields.share("derating", slope);
    const auto gates = read_gates(fields);
    if (gates) {
        curve.gates = *gates;
    }
    if (gates && check_band(fields, *gates) && is_owned && is_sourced &&
        check_others(fields, curve)) {
        reading.vehicle.curves.push_back(std::move(curve));
    }
}

} // namespace

void read_curves(Reading& reading, const Node& section) {
    if (!is_map_of_names(reading, section, "curves")) {
        return;
    }
    for (const Entry entry : section.entries()) {
        read_curve(reading, entry);
    }
}

} // namespace loomwright
