// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "read/load_list.hpp"

#include "base/display.hpp"
#include "base/spelling.hpp"
#include "read/load_columns.hpp"
#include "read/ranges.hpp"
#include "read/reading.hpp"
#include "yaml/quantity_text.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <map>

namespace loomwright {
namespace {

// Watts and amps of one line that differ by more than this are of two different loads.
constexpr double demand_tolerance = 0.2;
// Of the vehicle file: what a demand without a voltage is taken at, for each 12 V nominal.
constexpr double demand_v_at_12 = 13.5;
constexpr std::array kinds{LoadKind::lamp,   LoadKind::led_lamp, LoadKind::motor,
                           LoadKind::heater, LoadKind::coil,     LoadKind::electronics};
constexpr double largest_in_full = 1e9;

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

/// 6, 12 or 24 V: the system in which a load of this rated voltage works.
double nominal_for(double rated_v) {
    return rated_v < 9.0 ? 6.0 : rated_v < 19.0 ? 12.0 : 24.0;
}

/// Reads the lines of a list.
class ListReader {
public:
    ListReader(FileId file, std::string_view text, const CsvTable& table, const LoadHead& head,
               const Catalogue& catalogue, Findings& findings)
        : file_(file), text_(text), table_(table), head_(head), catalogue_(catalogue),
          findings_(findings) {}

    std::optional<LoadList> read() {
        for (const CsvRow& row : table_.rows) {
            read_row(row);
            if (faults_ >= most_list_faults) {
                findings_.all().back().message += " (reading stops after so many errors)";
                break;
            }
        }
        if (faults_ == 0 && list_.loads.empty()) {
            complain(Rule::missing_key, table_.head.cells.front(), "",
                     "there is no load under the head line", "write a line for each load");
        }
        if (nominal_) {
            list_.nominal = Volts(*nominal_);
        }
        return faults_ == 0 ? std::optional(std::move(list_)) : std::nullopt;
    }

private:
    Finding& complain(Rule rule, const CsvCell& cell, std::string_view subject, std::string message,
                      std::string remedy) {
        ++faults_;
        return findings_.add(rule, std::string(subject), place_of(file_, text_, cell),
                             std::move(message), std::move(remedy));
    }

    [[nodiscard]] const CsvCell& cell(const CsvRow& row, LoadColumn column) const {
        return cell_at(row, head_.find(column));
    }
    [[nodiscard]] std::string_view word(const CsvRow& row, LoadColumn column) const {
        return trimmed(cell(row, column).text);
    }

    void read_row(const CsvRow& row) {
        ListedLoad load;
        load.line = row.line;
        load.original = row.original;
        load.device = word(row, LoadColumn::device);
        load.place = word(row, LoadColumn::place);
        check_width(row);
        if (!check_name(row, load)) {
            return;
        }
        read_demand(row, load);
        load.length = Metres(
            quantity(row, LoadColumn::length, Dimension::length, ranges::stretch).value_or(0.0));
        if (load.length <= Metres(0.0)) {
            load.length.reset();
        }
        read_fuse(row, load);
        read_kind(row, load);
        read_note(row, load);
        list_.loads.push_back(std::move(load));
    }

    /// A text with the separator in it, and no quotes, makes a line too long.
    void check_width(const CsvRow& row) {
        for (std::size_t i = table_.head.cells.size(); i < row.cells.size(); ++i) {
            if (!trimmed(row.cells[i].text).empty()) {
                complain(Rule::wrong_shape, row.cells[i], "",
                         fmt::format("this line has {} cells and the head line {}",
                                     row.cells.size(), table_.head.cells.size()),
                         R"(a text that holds the separator needs quotes: "left, rear")");
                return;
            }
        }
    }

    bool check_name(const CsvRow& row, const ListedLoad& load) {
        if (load.device.empty()) {
            complain(Rule::missing_key, row.cells.front(), "", "this line names no device",
                     "name the device, or delete the line");
            return false;
        }
        const CsvCell& name = cell(row, LoadColumn::device);
        if (load.device == "total" || load.device == "Total" || load.device == "TOTAL" ||
            load.device == "Sum") {
            complain(Rule::wrong_shape, name, load.device,
                     "this line is the sum of the others, not a load", "delete the line");
            return false;
        }
        const auto [first, is_new] = names_.emplace(load.device, &name);
        if (!is_new) {
            complain(Rule::duplicate_key, name, load.device,
                     "there is a device of this name already",
                     "give each a name of its own: left and right, front and rear")
                .related.push_back({place_of(file_, text_, *first->second), "the first is here"});
        }
        return true;
    }

    /// What a number without a unit is in.
    static std::string_view unit_without_head(LoadColumn column) {
        switch (column) {
        case LoadColumn::watts:
            return "W";
        case LoadColumn::amps:
        case LoadColumn::fuse:
            return "A";
        case LoadColumn::volts:
            return "V";
        case LoadColumn::length:
            return "m";
        default:
            return "";
        }
    }

    /// The text with a decimal point, and with the unit of its column where it has none.
    [[nodiscard]] std::string with_unit(std::string_view text, LoadColumn column) const {
        std::string out = table_.separator == ',' ? std::string(text) : with_decimal_point(text);
        if (is_digit(out.back()) || out.back() == '.') {
            const UnitSpelling* unit = head_.unit(column);
            out += " ";
            out += unit != nullptr ? unit->spelling : unit_without_head(column);
        }
        return out;
    }

    std::optional<QuantityValue> either(const CsvRow& row, LoadColumn column, Dimension wanted,
                                        Dimension other) {
        const std::string_view text = word(row, column);
        if (text.empty()) {
            return std::nullopt;
        }
        TextFault fault;
        const auto read = read_either(with_unit(text, column), wanted, other, fault);
        if (!read) {
            complain(fault.rule, cell(row, column), word(row, LoadColumn::device), fault.message,
                     fault.remedy);
        }
        return read;
    }

    bool check_range(const CsvCell& at, std::string_view subject, QuantityValue read, Range range) {
        if (read.value > range.least && read.value <= range.most) {
            return true;
        }
        const UnitSpelling& unit = leading_unit(read.dimension);
        // A number of three hundred digits is shown as it was written.
        const std::string shown =
            std::abs(read.value) < largest_in_full
                ? fmt::format("{} {}", show_number(read.value, 6), unit.spelling)
                : quoted(trimmed(at.text));
        complain(Rule::out_of_range, at, subject,
                 fmt::format("{} is not possible here: more than 0 and at most {} {}", shown,
                             show_number(range.most, 6), unit.spelling),
                 "correct the number, or its unit");
        return false;
    }

    std::optional<double> quantity(const CsvRow& row, LoadColumn column, Dimension dimension,
                                   Range range) {
        const auto read = either(row, column, dimension, dimension);
        if (!read || !check_range(cell(row, column), word(row, LoadColumn::device), *read, range)) {
            return std::nullopt;
        }
        return read->value;
    }

    void read_demand(const CsvRow& row, ListedLoad& load) {
        read_volts(row, load);
        const std::size_t before = faults_;
        for (const LoadColumn column : {LoadColumn::watts, LoadColumn::amps, LoadColumn::draws}) {
            const auto read = either(row, column, Dimension::power, Dimension::current);
            if (!read) {
                continue;
            }
            const bool is_power = read->dimension == Dimension::power;
            if (!check_range(cell(row, column), load.device, *read,
                             is_power ? ranges::power : ranges::current)) {
                continue;
            }
            if (is_power) {
                load.power = Watts(read->value);
            } else {
                load.current = Amps(read->value);
            }
        }
        if (load.power && load.current) {
            settle_two_demands(row, load);
        } else if (!load.power && !load.current && faults_ == before) {
            complain(Rule::missing_key, cell(row, LoadColumn::device), load.device,
                     "nothing says what it takes", "write its watts or its amps");
        }
    }

    void settle_two_demands(const CsvRow& row, ListedLoad& load) {
        const double volts =
            load.at ? load.at->value() : demand_v_at_12 * nominal_.value_or(12.0) / 12.0;
        const double by_amps_w = load.current->value() * volts;
        const double watts = load.power->value();
        if (std::abs(by_amps_w - watts) > demand_tolerance * std::max(by_amps_w, watts)) {
            complain(Rule::contradiction, cell(row, LoadColumn::watts), load.device,
                     fmt::format("{} and {} are of two different loads: {} at {} is {}",
                                 show(*load.power), show(*load.current), show(*load.current),
                                 show(Volts(volts)), show(Watts(by_amps_w))),
                     "leave one of the two out, or correct it");
        }
        load.current.reset();
    }

    void read_volts(const CsvRow& row, ListedLoad& load) {
        const auto volts = quantity(row, LoadColumn::volts, Dimension::voltage, {0.0, 32.0, true});
        if (!volts) {
            return;
        }
        load.at = Volts(*volts);
        const double nominal = nominal_for(*volts);
        if (!nominal_) {
            nominal_ = nominal;
        } else if (*nominal_ != nominal) {
            complain(Rule::contradiction, cell(row, LoadColumn::volts), load.device,
                     fmt::format("a load of {} in a car of {} nominal", show(*load.at),
                                 show(Volts(*nominal_))),
                     "make one list for each voltage");
        }
    }

    /// "15 A", "auto", "F3", "F3 15 A", "F3 (15 A)".
    void read_fuse(const CsvRow& row, ListedLoad& load) {
        const std::string_view text = word(row, LoadColumn::fuse);
        if (text.empty() || text == "auto" || text == "-") {
            return;
        }
        const CsvCell& at = cell(row, LoadColumn::fuse);
        if (begins_as_number(text)) {
            read_rating(at, text, load);
            return;
        }
        load.fuse = text;
        take_rating_behind_name(at, load);
        share_fuse(at, load);
    }

    static bool begins_as_number(std::string_view text) {
        const bool has_sign = text.front() == '+' || text.front() == '-' || text.front() == '.';
        return is_digit(text.front()) || (has_sign && text.size() > 1 && is_digit(text[1]));
    }

    void read_rating(const CsvCell& at, std::string_view text, ListedLoad& load) {
        TextFault fault;
        const auto read =
            read_quantity(with_unit(text, LoadColumn::fuse), Dimension::current, fault);
        if (read) {
            take_rating(at, *read, load);
            return;
        }
        complain(fault.rule, at, load.device, fault.message,
                 "write a rating (`15 A`), the name of a fuse that several share (`F3`), or both "
                 "(`F3 15 A`)");
    }

    /// The rating at the end of a name, if one is there: the shortest end that is a current.
    void take_rating_behind_name(const CsvCell& at, ListedLoad& load) {
        const std::string_view text = trimmed(at.text);
        for (std::size_t cut = text.find_last_of(" ("); cut != std::string_view::npos && cut > 0;
             cut = text.find_last_of(" (", cut - 1)) {
            std::string_view rest = trimmed(text.substr(cut + 1));
            rest.remove_suffix(rest.ends_with(')') ? 1 : 0);
            TextFault ignored;
            const auto read = rest.empty() || !is_digit(rest.front())
                                  ? std::nullopt
                                  : read_quantity(rest, Dimension::current, ignored);
            if (read) {
                load.fuse = std::string(trimmed(text.substr(0, cut)));
                take_rating(at, *read, load);
                return;
            }
        }
    }

    void take_rating(const CsvCell& at, double rating_a, ListedLoad& load) {
        double largest = 0.0;
        for (const FuseFamily& family : catalogue_.fuse_families()) {
            if (family.kind == ProtectionKind::fuse && !family.ratings.empty()) {
                largest = std::max(largest, family.ratings.back().rating.value());
            }
        }
        if (check_range(at, load.device, {rating_a, Dimension::current}, {0.0, largest, true})) {
            load.rating = Amps(rating_a);
        }
    }

    /// Lines that name one fuse must not say two ratings of it.
    void share_fuse(const CsvCell& at, ListedLoad& load) {
        const auto [first, is_new] = fuses_.emplace(load.fuse, NamedFuse{load.rating, &at});
        NamedFuse& known = first->second;
        if (is_new || !load.rating) {
            return;
        }
        if (!known.rating) {
            known = {load.rating, &at};
        } else if (*known.rating != *load.rating) {
            complain(Rule::contradiction, at, load.device,
                     fmt::format("the fuse `{}` has {} here and {} in another line", load.fuse,
                                 show(*load.rating), show(*known.rating)),
                     "give it one rating, or the two loads a fuse each")
                .related.push_back({place_of(file_, text_, *known.cell), "the other is here"});
        }
    }

    void read_kind(const CsvRow& row, ListedLoad& load) {
        const std::string_view text = word(row, LoadColumn::kind);
        if (text.empty()) {
            return;
        }
        const auto* const found = std::ranges::find(kinds, text, load_kind_name);
        if (found != kinds.end()) {
            load.kind = *found;
            return;
        }
        std::vector<std::string_view> known;
        std::ranges::transform(kinds, std::back_inserter(known), load_kind_name);
        const auto near = nearest_word(text, known);
        complain(Rule::unknown_word, cell(row, LoadColumn::kind), load.device,
                 fmt::format("there is no kind `{}` for a list of loads", text),
                 near ? fmt::format("did you mean `{}`?", *near)
                      : fmt::format("the kinds are {}; or leave it empty", fmt::join(known, ", ")));
    }

    void read_note(const CsvRow& row, ListedLoad& load) const {
        load.note = word(row, LoadColumn::note);
        for (const auto& [index, name] : head_.others) {
            const std::string_view text =
                index < row.cells.size() ? trimmed(row.cells[index].text) : std::string_view();
            if (!text.empty()) {
                load.note += load.note.empty() ? "" : "; ";
                load.note += name.empty() ? std::string(text) : fmt::format("{}: {}", name, text);
            }
        }
    }

    struct NamedFuse {
        std::optional<Amps> rating;
        const CsvCell* cell;
    };

    FileId file_;
    std::string_view text_;
    const CsvTable& table_;
    const LoadHead& head_;
    const Catalogue& catalogue_;
    Findings& findings_;
    LoadList list_;
    std::optional<double> nominal_;
    std::map<std::string, const CsvCell*, std::less<>> names_;
    std::map<std::string, NamedFuse, std::less<>> fuses_;
    std::size_t faults_ = 0;
};

} // namespace

std::optional<LoadList> read_load_list(FileId file, std::string_view text,
                                       const Catalogue& catalogue, Findings& findings) {
    const auto table = read_csv(file, text, findings);
    if (!table) {
        return std::nullopt;
    }
    const auto head = read_load_head(file, text, table->head, findings);
    if (!head) {
        return std::nullopt;
    }
    return ListReader(file, text, *table, *head, catalogue, findings).read();
}

} // namespace loomwright
