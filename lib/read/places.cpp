// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Heading, bodies of metal, zones, points and runs.

#include "read/steps.hpp"

#include "base/display.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace loomwright {
namespace {

constexpr std::array<std::string_view, 4> zone_keys{"air", "wet", "title", "note"};
constexpr std::array<std::string_view, 5> point_keys{"zone", "at", "opening", "title", "note"};
constexpr std::array<std::string_view, 13> run_keys{
    "bend",   "clips", "from",     "to",   "length", "measured", "hidden",
    "moving", "cover", "clear-of", "zone", "title",  "note"};
constexpr std::array<std::string_view, 5> cover_words{"tape", "braid", "conduit", "sleeve",
                                                      "heat-sleeve"};
constexpr std::array nominal_voltages{6.0, 12.0, 24.0};
// A run may be this much shorter than the straight line between its ends before one of the two
// must be wrong: coordinates are read off a bare shell with a tape.
constexpr double straight_share = 0.9;

std::optional<std::array<Metres, 3>> read_coordinates(const Fields& fields) {
    const Node node = fields.get("at");
    if (!node.is_valid()) {
        return std::nullopt;
    }
    if (!node.is_list() || node.size() != 3) {
        fields.complain(Rule::wrong_shape, "at", "`at` wants the three coordinates x, y and z",
                        "write `at: [600 mm, -450 mm, 700 mm]`");
        return std::nullopt;
    }
    std::array<Metres, 3> out;
    bool is_good = true;
    std::size_t axis = 0;
    for (const Node item : node.items()) {
        const auto value = quantity_of(fields.reading(), item, fields.subject(), "at",
                                       Dimension::length, ranges::coordinate);
        is_good = is_good && value.has_value();
        out.at(axis++) = Metres(value.value_or(0.0));
    }
    return is_good ? std::optional(out) : std::nullopt;
}

std::optional<double> distance(const Point& a, const Point& b) {
    if (!a.at || !b.at) {
        return std::nullopt;
    }
    double sum = 0.0;
    for (std::size_t i = 0; i < 3; ++i) {
        const double step = ((*a.at).at(i) - (*b.at).at(i)).value();
        sum += step * step;
    }
    return std::sqrt(sum);
}

void read_run_length(const Fields& fields, Run& run, const Vehicle& vehicle) {
    std::optional<double> straight;
    if (run.from.is_valid() && run.to.is_valid()) {
        straight = distance(vehicle.point(run.from), vehicle.point(run.to));
    }
    const auto given = read_length(fields);
    if (given) {
        run.length = given->length.value;
        if (straight && run.length.value() < straight_share * *straight) {
            fields.reading()
                .complain(Rule::contradiction, fields.subject(), given->length.where,
                          fmt::format("the run is {} long, but its ends lie {} apart",
                                      show(run.length), show(Metres(*straight))),
                          "correct the length, or `at` of one of the points")
                .related.push_back({vehicle.point(run.to).where, "one of its ends is here"});
        }
        return;
    }
    if (fields.has("length") || fields.has("measured") || fields.is_misspelt("length") ||
        fields.is_misspelt("measured")) {
        return; // there is a length and it was complained of
    }
    if (straight && *straight > 0.0) {
        run.length = Metres(*straight);
        run.is_estimated = true;
        return;
    }
    if (run.from.is_valid() && run.to.is_valid()) {
        fields.reading().complain(Rule::missing_key, fields.subject(), fields.owner(),
                                  "the key `length` is missing, and the ends have no coordinates "
                                  "to estimate it from",
                                  "add `length: ...`, or `at` to both points");
    }
}

void read_zone(Reading& reading, const Entry& entry) {
    if (!reading.add_name(reading.zones, "zone", entry.key, reading.vehicle.zones.size())) {
        return;
    }
    const Fields fields(reading, entry.value, entry.key.text(), entry.key.where(), zone_keys);
    Zone zone;
    zone.name = entry.key.text();
    zone.where = entry.key.where();
    zone.air = fields.quantity<Celsius>("air", ranges::temperature)
                   .value_or(Celsius(reading.catalogue.default_value("air").value));
    zone.wet = fields.truth("wet").value_or(false);
    (void)fields.text("title");
    (void)fields.text("note");
    reading.vehicle.zones.push_back(std::move(zone));
}

void read_point(Reading& reading, const Entry& entry) {
    if (!reading.add_name(reading.points, "point", entry.key, reading.vehicle.points.size())) {
        return;
    }
    const Fields fields(reading, entry.value, entry.key.text(), entry.key.where(), point_keys);
    Point point;
    point.name = entry.key.text();
    point.where = entry.key.where();
    if (const auto zone = fields.reference("zone", reading.zones, "zone")) {
        point.zone = ZoneId(*zone);
    }
    point.at = read_coordinates(fields);
    point.opening = fields.quantity<Metres>("opening", ranges::opening);
    (void)fields.text("title");
    (void)fields.text("note");
    reading.vehicle.points.push_back(std::move(point));
}

PointId read_end(const Fields& fields, std::string_view key) {
    if (!fields.need(key).is_valid()) {
        return {};
    }
    const auto found = fields.reference(key, fields.reading().points, "point");
    return found ? PointId(*found) : PointId();
}

void read_run(Reading& reading, const Entry& entry) {
    if (!reading.add_name(reading.runs, "run", entry.key, reading.vehicle.runs.size())) {
        return;
    }
    const Fields fields(reading, entry.value, entry.key.text(), entry.key.where(), run_keys);
    Run run;
    run.name = entry.key.text();
    run.where = entry.key.where();
    run.from = read_end(fields, "from");
    run.to = read_end(fields, "to");
    if (run.from.is_valid() && run.from == run.to) {
        fields
            .complain(Rule::contradiction, "to", "both ends of the run are the same point",
                      "name two points")
            .related.push_back({fields.where("from"), "the other end"});
    }
    read_run_length(fields, run, reading.vehicle);
    run.hidden = fields.truth("hidden").value_or(false);
    run.moving = fields.truth("moving").value_or(false);
    if (const auto cover = fields.word("cover", cover_words)) {
        run.cover = cover_words.at(*cover);
    }
    for (const Node& node : fields.words("clear-of")) {
        run.clear_of.emplace_back(node.text());
    }
    run.bend = fields.given<Metres>("bend", ranges::bend);
    run.clips = fields.given<Metres>("clips", ranges::stretch);
    if (const auto zone = fields.reference("zone", reading.zones, "zone")) {
        run.zone = ZoneId(*zone);
    }
    (void)fields.text("title");
    (void)fields.text("note");
    reading.vehicle.runs.push_back(std::move(run));
}

} // namespace

bool is_map_of_names(Reading& reading, const Node& section, std::string_view what) {
    if (section.is_map() || section.is_nothing()) {
        return section.is_map();
    }
    reading.complain(Rule::wrong_shape, "", section.where(),
                     fmt::format("`{}` wants a map of names, not {}", what, shape_name(section)),
                     "write each name with a colon and what it is");
    reading.leave_unread(what);
    return false;
}

void read_heading(Reading& reading, const Section& section) {
    const std::string_view key = section.key.text();
    Vehicle& vehicle = reading.vehicle;
    if (key == "nominal") {
        const auto value = quantity_of(reading, section.value, "nominal", "nominal",
                                       Dimension::voltage, ranges::voltage);
        if (value && std::ranges::find(nominal_voltages, *value) == nominal_voltages.end()) {
            reading.complain(Rule::out_of_range, "nominal", section.value.where(),
                             fmt::format("{} is not a system that the tables know",
                                         quoted(section.value.text())),
                             "write `6 V`, `12 V` or `24 V`");
        } else if (value) {
            vehicle.nominal = Volts(*value);
        }
        return;
    }
    const auto text = need_text(reading, section.value, key, key);
    if (text && key == "title") {
        vehicle.title = *text;
    } else if (text && key == "revision") {
        vehicle.revision = *text;
    }
}

void read_bodies(Reading& reading, const Section& section) {
    std::vector<std::string> bodies;
    for (const Node& node : list_of_words(reading, section.value, "bodies", "bodies")) {
        if (trimmed(node.text()).empty()) {
            reading.complain(Rule::wrong_shape, "bodies", node.where(),
                             "a body of metal without a name", "give it a name");
        } else if (std::ranges::find(bodies, node.text()) != bodies.end()) {
            reading.complain(
                Rule::duplicate_key, "bodies", node.where(),
                fmt::format("the body {} stands twice in the list", quoted(node.text())),
                "name each body of metal once");
        } else {
            bodies.emplace_back(node.text());
        }
    }
    if (!bodies.empty()) {
        reading.vehicle.bodies = std::move(bodies);
    }
}

void read_zones(Reading& reading, const Node& section) {
    if (is_map_of_names(reading, section, "zones")) {
        for (const Entry entry : section.entries()) {
            read_zone(reading, entry);
        }
    }
}

void read_points(Reading& reading, const Node& section) {
    if (is_map_of_names(reading, section, "points")) {
        for (const Entry entry : section.entries()) {
            read_point(reading, entry);
        }
    }
}

void read_runs(Reading& reading, const Node& section) {
    if (is_map_of_names(reading, section, "runs")) {
        for (const Entry entry : section.entries()) {
            read_run(reading, entry);
        }
    }
}

} // namespace loomwright
