// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sizing/stock.hpp"

#include <algorithm>
#include <cctype>
#include <string>

namespace loomwright {
namespace {

char lower(char c) {
    return static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
}

std::string lower(std::string_view text) {
    std::string out(text);
    std::ranges::transform(out, out.begin(), [](char c) { return lower(c); });
    return out;
}

bool is_word_part(char c) {
    return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '-';
}

/// True when `name` holds `words`, in letters of whatever size, with nothing of a longer word at
/// either side: "blade" is not in "mini-blade 10 A". `words` are in small letters.
bool holds_words(std::string_view name, std::string_view words) {
    if (words.empty()) {
        return false;
    }
    const auto is_same = [](char a, char b) { return lower(a) == b; };
    for (std::size_t at = 0; at + words.size() <= name.size(); ++at) {
        const std::size_t end = at + words.size();
        const bool starts = at == 0 || !is_word_part(name[at - 1]);
        const bool ends = end == name.size() || !is_word_part(name[end]);
        if (starts && ends && std::ranges::equal(name.substr(at, words.size()), words, is_same)) {
            return true;
        }
    }
    return false;
}

bool names_a_family(const Catalogue& catalogue, std::string_view name) {
    return std::ranges::any_of(catalogue.fuse_families(), [name](const FuseFamily& family) {
        return holds_words(name, lower(family.name));
    });
}

/// True when a shop's name for a terminal holds the words that tell this kind from others: "ring"
/// and "m6"; "6.3" alone for a receptacle, which shops call by many names.
bool names_fitting(std::string_view name, std::string_view kind) {
    for (std::size_t start = 0; start < kind.size();) {
        const std::size_t end = std::min(kind.find(' ', start), kind.size());
        const std::string_view word = kind.substr(start, end - start);
        const bool is_common = word == "mm" || word == "receptacle" || word == "crimp";
        if (!is_common && !holds_words(name, word)) {
            return false;
        }
        start = end + 1;
    }
    return true;
}

/// "2.8" of "receptacle 2.8 mm": what parts that belong together have in common. "" for none.
std::string measure_of(std::string_view name) {
    const std::size_t end = name.find(" mm");
    if (end == std::string_view::npos) {
        return {};
    }
    const std::size_t space = name.rfind(' ', end - (end == 0 ? 0 : 1));
    const std::size_t start = space == std::string_view::npos ? 0 : space + 1;
    return std::string(name.substr(start, end - start));
}

/// A part by its very name, or by the words that tell its kind. A pin is no receptacle.
class TerminalKind {
public:
    explicit TerminalKind(std::string_view kind) : kind_(kind), words_(lower(kind)) {}

    [[nodiscard]] bool is_of(const StockItem& item) const {
        if (item.name == kind_) {
            return true;
        }
        if (!names_fitting(item.name, words_)) {
            return false;
        }
        const bool is_pin = holds_words(item.name, "pin") || holds_words(item.name, "tab");
        return !(is_pin && kind_.starts_with("receptacle"));
    }

private:
    std::string_view kind_;
    std::string words_;
};

/// Between two limits, the last bits of a unit's factor set aside.
bool is_within(double value, double least, double most) {
    constexpr double rounding = 1e-9;
    return value >= least * (1.0 - rounding) && value <= most * (1.0 + rounding);
}

/// True of a terminal for wires of this area together, and of one that does not say which it takes.
bool takes_area(const StockItem& item, const Catalogue& catalogue, SquareMetres area) {
    if (item.most_area) {
        return is_within(area.value(), item.least_area->value(), item.most_area->value());
    }
    if (!item.size) {
        return true;
    }
    const Conductor* conductor = catalogue.find_conductor(*item.size);
    return conductor != nullptr &&
           is_within(area.value(), conductor->area.value(), conductor->area.value());
}

/// 0 for a property the line leaves open, 1 for one that agrees, -1 for another.
int agreement(std::string_view written, std::string_view wanted) {
    if (written.empty()) {
        return 0;
    }
    return lower(written) == lower(wanted) ? 1 : -1;
}

} // namespace

const StockItem* find_stock_wire(const Vehicle& vehicle, const Conductor& conductor,
                                 std::string_view insulation, std::string_view colour) {
    const StockItem* best = nullptr;
    int most = -1;
    for (const StockItem& item : vehicle.stock) {
        if (item.kind != "wire" || !item.size || *item.size != conductor.size) {
            continue;
        }
        const int by_insulation = agreement(item.insulation, insulation);
        const int by_colour = agreement(item.colour, colour);
        if (by_insulation >= 0 && by_colour >= 0 && by_insulation + by_colour > most) {
            most = by_insulation + by_colour;
            best = &item;
        }
    }
    return best;
}

const StockItem* find_stock_fuse(const Vehicle& vehicle, const Catalogue& catalogue,
                                 std::string_view family, Amps rating) {
    const StockItem* open = nullptr;
    for (const StockItem& item : vehicle.stock) {
        if (item.kind != "fuse" || !item.rating || *item.rating != rating) {
            continue;
        }
        if (holds_words(item.name, lower(family))) {
            return &item;
        }
        if (open == nullptr && !names_a_family(catalogue, item.name)) {
            open = &item;
        }
    }
    return open;
}

const StockItem* find_stock_terminal(const Vehicle& vehicle, const Catalogue& catalogue,
                                     std::string_view kind, SquareMetres area) {
    const TerminalKind wanted(kind);
    const StockItem* open = nullptr;
    const StockItem* sized = nullptr;
    for (const StockItem& item : vehicle.stock) {
        if (item.kind != "terminal" || !takes_area(item, catalogue, area) || !wanted.is_of(item)) {
            continue; // its kind last: words take longest to compare
        }
        if (item.most_area) {
            return &item;
        }
        const StockItem*& first = item.size ? sized : open;
        first = first == nullptr ? &item : first;
    }
    return sized != nullptr ? sized : open;
}

bool has_stock_terminal(const Vehicle& vehicle, std::string_view kind) {
    const TerminalKind wanted(kind);
    return std::ranges::any_of(vehicle.stock, [&wanted](const StockItem& item) {
        return item.kind == "terminal" && wanted.is_of(item);
    });
}

namespace {

/// The first part of a kind that fits and whose name holds the measure of this terminal ("2.8");
/// else the first that fits and names no measure of a terminal.
template <typename Fits>
const StockItem* find_beside(const Vehicle& vehicle, std::string_view part, std::string_view kind,
                             const Fits& fits) {
    const std::string measure = measure_of(kind);
    const StockItem* open = nullptr;
    for (const StockItem& item : vehicle.stock) {
        if (item.kind != part || !fits(item)) {
            continue;
        }
        if (!measure.empty() && holds_words(item.name, measure)) {
            return &item;
        }
        if (open == nullptr && measure_of(item.name).empty()) {
            open = &item;
        }
    }
    return open;
}

} // namespace

const StockItem* find_stock_seal(const Vehicle& vehicle, std::string_view kind, Metres outside) {
    return find_beside(vehicle, "seal", kind, [outside](const StockItem& item) {
        return item.most_diameter && is_within(outside.value(), item.least_diameter->value(),
                                               item.most_diameter->value());
    });
}

const StockItem* find_stock_plug(const Vehicle& vehicle, std::string_view kind) {
    return find_beside(vehicle, "plug", kind, [](const StockItem&) { return true; });
}

const StockItem* find_stock_housing(const Vehicle& vehicle, std::string_view part_number) {
    const auto found = std::ranges::find_if(vehicle.stock, [&](const StockItem& item) {
        return item.kind == "housing" && item.part_number == part_number;
    });
    return part_number.empty() || found == vehicle.stock.end() ? nullptr : &*found;
}

} // namespace loomwright
