// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "read/readings.hpp"

#include "base/spelling.hpp"
#include "read/csv.hpp"
#include "yaml/units.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <tuple>

namespace loomwright {
namespace {

constexpr std::size_t most_readings = 400; // the work grows with their square
constexpr double most_v = 100.0;           ///< of what a road vehicle of low voltage has
constexpr double most_meter_share = 0.2;   ///< of an accuracy
constexpr double least_error_v = 1e-5;     ///< no workshop meter is better
constexpr std::string_view as_built = "as built";

enum class Column : std::uint8_t { place, state, reading, volts, millivolts, to, accuracy, note };
constexpr std::size_t column_count = 8;

using ReadingColumnName = CsvColumn<Column>;
constexpr std::array reading_column_names{ReadingColumnName{"place", Column::place, true},
                                          ReadingColumnName{"probe", Column::place},
                                          ReadingColumnName{"terminal", Column::place},
                                          ReadingColumnName{"state", Column::state, true},
                                          ReadingColumnName{"reading", Column::reading, true},
                                          ReadingColumnName{"volts", Column::volts, true},
                                          ReadingColumnName{"millivolts", Column::millivolts, true},
                                          ReadingColumnName{"to", Column::to, true},
                                          ReadingColumnName{"against", Column::to},
                                          ReadingColumnName{"accuracy", Column::accuracy, true},
                                          ReadingColumnName{"note", Column::note, true},
                                          ReadingColumnName{"notes", Column::note}};

/// By column, before the head says more.
constexpr std::array<std::string_view, column_count> units_at_first() {
    std::array<std::string_view, column_count> out;
    out[static_cast<std::size_t>(Column::volts)] = "V";
    out[static_cast<std::size_t>(Column::millivolts)] = "mV";
    return out;
}

/// Every place that a probe can be named to be at.
std::vector<ProbePlace> all_places(const Vehicle& vehicle) {
    std::vector<ProbePlace> out;
    for (std::size_t d = 0; d < vehicle.devices.size(); ++d) {
        const Device& device = vehicle.devices[d];
        const bool has_two_sides = device.as<Connector>() != nullptr;
        for (std::size_t t = 0; t < device.terminals.size(); ++t) {
            const TerminalRef at{DeviceId(d), static_cast<int>(t)};
            out.push_back({at, false, -1, vehicle.show(at)});
            if (has_two_sides) {
                out.push_back({at, true, -1, device.name + "." + device.terminals[t] + "'"});
            }
        }
    }
    for (const SuppliedHarness& harness : vehicle.supplied) {
        for (const SuppliedLead& lead : harness.leads) {
            if (harness.device.is_valid() && lead.terminal >= 0) {
                out.push_back(
                    {{harness.device, lead.terminal}, true, -1, harness.name + "." + lead.name});
            }
        }
    }
    for (std::size_t b = 0; b < vehicle.bodies.size(); ++b) {
        out.push_back({{}, false, static_cast<int>(b), vehicle.bodies[b]});
    }
    return out;
}

bool is_one_node(const Device& device) {
    return device.as<Splice>() != nullptr || device.as<Stud>() != nullptr ||
           device.as<Ground>() != nullptr;
}

class ReadingsReader {
public:
    ReadingsReader(FileId file, std::string_view text, const CsvTable& table,
                   const Vehicle& vehicle, const MeterAccuracy& accuracy, Findings& findings)
        : file_(file), text_(text), table_(table), vehicle_(vehicle), accuracy_(accuracy),
          findings_(findings), places_(all_places(vehicle)) {
        for (std::size_t i = 0; i < places_.size(); ++i) {
            by_name_.emplace(small_letters(places_[i].name), i);
        }
    }

    std::optional<std::vector<MeterReading>> read() {
        if (!read_head()) {
            return std::nullopt;
        }
        for (const CsvRow& row : table_.rows) {
            read_row(row);
            if (faults_ >= most_list_faults) {
                findings_.all().back().message += " (reading stops after so many errors)";
                break;
            }
        }
        if (faults_ == 0 && out_.empty()) {
            complain(Rule::missing_key, table_.head.cells.front(), "",
                     "there is no reading under the head line", "write a line for each reading");
        }
        if (out_.size() > most_readings) {
            complain(Rule::out_of_range, table_.head.cells.front(), "",
                     fmt::format("there are {} readings; at most {} are taken together",
                                 out_.size(), most_readings),
                     "make several lists of it: the readings of one circuit explain each other");
        }
        return faults_ == 0 ? std::optional(std::move(out_)) : std::nullopt;
    }

private:
    Finding& complain(Rule rule, const CsvCell& cell, std::string_view subject, std::string message,
                      std::string remedy) {
        ++faults_;
        return findings_.add(rule, std::string(subject), place_of(file_, text_, cell),
                             std::move(message), std::move(remedy));
    }

    [[nodiscard]] bool has(Column column) const {
        return columns_.at(static_cast<std::size_t>(column)).has_value();
    }
    [[nodiscard]] const CsvCell& cell(const CsvRow& row, Column column) const {
        return cell_at(row, columns_.at(static_cast<std::size_t>(column)));
    }
    [[nodiscard]] std::string_view word(const CsvRow& row, Column column) const {
        return trimmed(cell(row, column).text);
    }
    /// The cell, or where it would stand: the first of its row.
    [[nodiscard]] const CsvCell& cell_or_row(const CsvRow& row, Column column) const {
        const CsvCell& found = cell(row, column);
        return found.length == 0 ? row.cells.front() : found;
    }

    bool read_head() {
        for (std::size_t i = 0; i < table_.head.cells.size(); ++i) {
            read_column(i);
        }
        const CsvCell& first = table_.head.cells.front();
        const std::string all = fmt::format("name the columns in the first line: {}",
                                            fmt::join(leading_names(reading_column_names), ", "));
        if (!has(Column::place) && faults_ == 0) {
            complain(Rule::missing_key, first, "", "the head line names no column `place`", all);
        }
        if (!has(Column::state) && vehicle_.states.size() > 1 && faults_ == 0) {
            complain(Rule::missing_key, first, "", "the head line names no column `state`", all);
        }
        if (!has(Column::reading) && !has(Column::volts) && !has(Column::millivolts) &&
            faults_ == 0) {
            complain(Rule::missing_key, first, "",
                     "the head line names no column `reading`, `volts` or `millivolts`", all);
        }
        return faults_ == 0;
    }

    void read_column(std::size_t index) {
        const CsvCell& cell = table_.head.cells[index];
        const CsvHead head = csv_head(cell.text);
        const auto* const known =
            std::ranges::find(reading_column_names, head.name, &ReadingColumnName::name);
        if (known == reading_column_names.end()) {
            const auto near = nearest_word(head.name, leading_names(reading_column_names));
            if (near && !head.name.empty()) {
                complain(Rule::unknown_key, cell, "",
                         fmt::format("the column `{}` is not known", head.name),
                         fmt::format("did you mean `{}`?", *near));
            }
            return; // of another kind: nothing of it is needed
        }
        auto& place = columns_.at(static_cast<std::size_t>(known->column));
        if (place) {
            complain(Rule::duplicate_key, cell, "",
                     fmt::format("there are two columns of `{}`", known->name),
                     "keep one of the two");
            return;
        }
        place = index;
        if (!head.unit.empty() && is_number(known->column)) {
            read_unit(cell, head.unit, *known);
        }
    }

    /// What stands in brackets behind the name of a column of texts is a remark.
    static bool is_number(Column column) {
        return column == Column::reading || column == Column::volts ||
               column == Column::millivolts || column == Column::accuracy;
    }

    void read_unit(const CsvCell& cell, std::string_view written, const ReadingColumnName& of) {
        const UnitSpelling* const unit = find_unit(written);
        const bool is_voltage = unit != nullptr && unit->dimension == Dimension::voltage;
        const bool fits =
            of.column == Column::accuracy
                ? is_voltage || written == "%"
                : is_voltage && (units_.at(static_cast<std::size_t>(of.column)).empty() ||
                                 unit->spelling == units_.at(static_cast<std::size_t>(of.column)));
        if (!fits) {
            complain(Rule::unknown_word, cell, "",
                     fmt::format("`{}` is not a unit of `{}`", written, of.name),
                     "write the unit in the head, as in `reading (V)`, or in the cells");
            return;
        }
        units_.at(static_cast<std::size_t>(of.column)) = is_voltage ? unit->spelling : "%";
    }

    void read_row(const CsvRow& row) {
        const std::size_t before = faults_;
        check_width(row);
        MeterReading reading;
        const auto at = place(row, Column::place);
        const auto state = read_state(row);
        const auto shown = read_shown(row);
        reading.accuracy = read_row_accuracy(row);
        if (!word(row, Column::to).empty()) {
            reading.to = place(row, Column::to);
        }
        if (faults_ != before || !at || !state || !shown) {
            return;
        }
        reading.at = *at;
        reading.state = *state;
        reading.shown = Volts(*shown);
        reading.note = word(row, Column::note);
        const CsvCell& where = cell(row, Column::place);
        reading.where = place_of(file_, text_, where);
        if (reading.to && *reading.to == reading.at) {
            complain(Rule::contradiction, cell(row, Column::to), reading.at.name,
                     "both probes are at one place", "name two places, or leave `to` empty");
            return;
        }
        if (is_new(reading, where)) {
            out_.push_back(std::move(reading));
        }
    }

    /// A text with the separator in it, and no quotes, makes a line too long.
    void check_width(const CsvRow& row) {
        for (std::size_t i = table_.head.cells.size(); i < row.cells.size(); ++i) {
            if (!trimmed(row.cells[i].text).empty()) {
                complain(Rule::wrong_shape, row.cells[i], "",
                         fmt::format("this line has {} cells and the head line {}",
                                     row.cells.size(), table_.head.cells.size()),
                         R"(a text or number that holds the separator needs quotes: "11,6 V")");
                return;
            }
        }
    }

    bool is_new(const MeterReading& reading, const CsvCell& where) {
        const auto key = std::tuple(reading.at.name, reading.to ? reading.to->name : std::string(),
                                    state_word(reading.state));
        const auto [first, is_first] = seen_.emplace(key, &where);
        if (!is_first) {
            complain(Rule::duplicate_key, where, reading.at.name,
                     fmt::format("this place is read already in the state `{}`",
                                 state_word(reading.state)),
                     "keep one of the two lines: the one that was read with care")
                .related.push_back({place_of(file_, text_, *first->second), "the first is here"});
        }
        return is_first;
    }

    [[nodiscard]] std::string state_word(StateId state) const {
        return state.is_valid() ? vehicle_.state(state).name : std::string(as_built);
    }

    std::optional<ProbePlace> place(const CsvRow& row, Column column) {
        const std::string_view text = word(row, column);
        const CsvCell& at = cell_or_row(row, column);
        if (text.empty()) {
            complain(Rule::missing_key, at, "", "this line names no place",
                     "write where the probe was: a terminal such as `E1.+`, a ground, a splice");
            return std::nullopt;
        }
        const auto found = by_name_.find(small_letters(text));
        if (found != by_name_.end()) {
            return places_[found->second];
        }
        return place_of_device(at, text);
    }

    /// "GND1" and "SP2" whatever terminals they have; "E1" has two that must be told apart.
    std::optional<ProbePlace> place_of_device(const CsvCell& at, std::string_view text) {
        const DeviceId device = vehicle_.find_device(text.substr(0, text.find('.')));
        const bool is_bare = text.find('.') == std::string_view::npos;
        if (device.is_valid() && is_bare && is_one_node(vehicle_.device(device)) &&
            !vehicle_.device(device).terminals.empty()) {
            return ProbePlace{{device, 0}, false, -1, vehicle_.device(device).name};
        }
        if (device.is_valid()) {
            complain(Rule::unknown_terminal, at, text,
                     is_bare
                         ? fmt::format("`{}` has several terminals: which one?", text)
                         : fmt::format("`{}` has no such terminal", vehicle_.device(device).name),
                     fmt::format("write one of {}", terminals_of(device)));
            return std::nullopt;
        }
        std::vector<std::string> names;
        for (const ProbePlace& known : places_) {
            names.push_back(known.name);
        }
        for (const Device& known : vehicle_.devices) {
            names.push_back(known.name);
        }
        const auto near = nearest_word(text, names);
        complain(Rule::unknown_reference, at, text,
                 fmt::format("the vehicle has no place `{}`", text),
                 near ? fmt::format("did you mean `{}`?", *near)
                      : "write a terminal of the vehicle file: a device's name, a point, the "
                        "terminal");
        return std::nullopt;
    }

    [[nodiscard]] std::string terminals_of(DeviceId device) const {
        constexpr std::size_t most = 12;
        std::vector<std::string> out;
        const Device& made = vehicle_.device(device);
        for (std::size_t t = 0; t < std::min(made.terminals.size(), most); ++t) {
            out.push_back(vehicle_.show({device, static_cast<int>(t)}));
        }
        return fmt::format("{}{}", fmt::join(out, ", "),
                           made.terminals.size() > most ? ", ..." : "");
    }

    std::optional<StateId> read_state(const CsvRow& row) {
        const std::string_view text = word(row, Column::state);
        if (vehicle_.states.empty() && (text.empty() || small_letters(text) == as_built)) {
            return StateId();
        }
        const CsvCell& at = cell_or_row(row, Column::state);
        if (text.empty()) {
            if (vehicle_.states.size() == 1) {
                return StateId(0);
            }
            complain(Rule::missing_key, at, word(row, Column::place),
                     "this line does not say which state the car was in",
                     fmt::format("the states are {}", state_names()));
            return std::nullopt;
        }
        for (std::size_t i = 0; i < vehicle_.states.size(); ++i) {
            if (small_letters(vehicle_.states[i].name) == small_letters(text)) {
                return StateId(i);
            }
        }
        std::vector<std::string> names;
        for (const State& state : vehicle_.states) {
            names.push_back(state.name);
        }
        const auto near = nearest_word(text, names);
        complain(Rule::unknown_reference, at, word(row, Column::place),
                 fmt::format("the vehicle has no state `{}`", text),
                 near ? fmt::format("did you mean `{}`?", *near)
                      : fmt::format("the states are {}", state_names()));
        return std::nullopt;
    }

    [[nodiscard]] std::string state_names() const {
        std::vector<std::string> names;
        for (const State& state : vehicle_.states) {
            names.push_back(state.name);
        }
        return names.empty() ? std::string("none: write `as built`, or leave it empty")
                             : fmt::format("{}", fmt::join(names, ", "));
    }

    std::optional<double> read_shown(const CsvRow& row) {
        std::optional<double> out;
        const std::size_t before = faults_;
        for (const Column column : {Column::reading, Column::volts, Column::millivolts}) {
            const std::string_view text = word(row, column);
            if (text.empty()) {
                continue;
            }
            if (out) {
                complain(Rule::contradiction, cell(row, column), word(row, Column::place),
                         "this line has two readings", "keep one, in one of the columns");
                return std::nullopt;
            }
            out = voltage(cell(row, column), text, column, word(row, Column::place));
        }
        if (!out && faults_ == before) {
            complain(Rule::missing_key, cell_or_row(row, Column::place), word(row, Column::place),
                     "this line has no reading", "write what the meter showed, or delete the line");
        }
        return out;
    }

    std::optional<double> voltage(const CsvCell& at, std::string_view text, Column column,
                                  std::string_view subject) {
        if (text.front() == '=') {
            complain(Rule::bad_number, at, subject, "a formula stands where a reading should",
                     "save the sheet with its values, or write the number");
            return std::nullopt;
        }
        const std::string number = with_unit(with_decimal_point(text), column);
        TextFault fault;
        const auto volts = read_quantity(number, Dimension::voltage, fault);
        if (!volts) {
            complain(fault.rule, at, subject, fault.message, fault.remedy);
            return std::nullopt;
        }
        if (!(std::abs(*volts) <= most_v)) {
            complain(Rule::out_of_range, at, subject,
                     fmt::format("`{}` is no reading of a car of {} V nominal", text,
                                 vehicle_.nominal.value()),
                     "correct the number, or its unit");
            return std::nullopt;
        }
        return volts;
    }

    /// A bare number gets the unit of its column.
    [[nodiscard]] std::string with_unit(std::string number, Column column) const {
        const char last = number.back();
        const std::string_view unit = units_.at(static_cast<std::size_t>(column));
        if (((last >= '0' && last <= '9') || last == '.') && !unit.empty()) {
            number += fmt::format(" {}", unit);
        }
        return number;
    }

    MeterAccuracy read_row_accuracy(const CsvRow& row) {
        const std::string_view text = word(row, Column::accuracy);
        if (text.empty()) {
            return accuracy_;
        }
        TextFault fault;
        const auto read = read_accuracy(with_unit(std::string(text), Column::accuracy), fault);
        if (!read) {
            complain(fault.rule, cell(row, Column::accuracy), word(row, Column::place),
                     fault.message, fault.remedy);
        }
        return read.value_or(accuracy_);
    }

    FileId file_;
    std::string_view text_;
    const CsvTable& table_;
    const Vehicle& vehicle_;
    const MeterAccuracy& accuracy_;
    Findings& findings_;
    std::vector<ProbePlace> places_;
    std::map<std::string, std::size_t, std::less<>> by_name_; ///< looked up only
    std::array<std::optional<std::size_t>, column_count> columns_;
    std::array<std::string_view, column_count> units_ = units_at_first(); ///< of bare numbers
    std::vector<MeterReading> out_;
    std::map<std::tuple<std::string, std::string, std::string>, const CsvCell*> seen_;
    std::size_t faults_ = 0;
};

bool add_part(std::string_view part, MeterAccuracy& out, TextFault& fault) {
    const auto read =
        read_either(with_decimal_point(trimmed(part)), Dimension::share, Dimension::voltage, fault);
    if (!read) {
        return false;
    }
    if (!(read->value >= 0.0)) {
        fault = {.rule = Rule::out_of_range,
                 .message = fmt::format("`{}` is below nothing", trimmed(part)),
                 .remedy = "write how far the meter may be off, either way"};
        return false;
    }
    if (read->dimension == Dimension::share) {
        out.share += read->value;
    } else {
        out.fixed += Volts(read->value);
    }
    return true;
}

} // namespace

std::optional<MeterAccuracy> read_accuracy(std::string_view text, TextFault& fault) {
    MeterAccuracy out{.share = 0.0, .fixed = Volts(0.0), .is_stated = true};
    for (bool is_last = false; !is_last;) {
        const std::size_t plus = text.find('+');
        is_last = plus == std::string_view::npos;
        if (!add_part(text.substr(0, plus), out, fault)) {
            if (fault.rule != Rule::out_of_range) {
                fault.remedy = "write it as `0.5 % + 10 mV`, `10 mV` or `1 %`";
            }
            return std::nullopt;
        }
        text = is_last ? std::string_view() : text.substr(plus + 1);
    }
    if (out.share > most_meter_share || out.fixed.value() > 1.0 ||
        !(out.share > 0.0 || out.fixed.value() >= least_error_v)) {
        fault = {.rule = Rule::out_of_range,
                 .message = "no meter is as exact, or as bad, as this",
                 .remedy = "write at most 20 % and 1 V, and more than nothing: `0.5 % + 10 mV`"};
        return std::nullopt;
    }
    out.fixed = std::max(out.fixed, Volts(least_error_v));
    return out;
}

std::optional<std::vector<MeterReading>> read_readings(FileId file, std::string_view text,
                                                       const Vehicle& vehicle,
                                                       const MeterAccuracy& accuracy,
                                                       Findings& findings) {
    const auto table = read_csv(file, text, findings, readings_list);
    if (!table) {
        return std::nullopt;
    }
    return ReadingsReader(file, text, *table, vehicle, accuracy, findings).read();
}

} // namespace loomwright
