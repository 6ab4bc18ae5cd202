// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sizing/stock.hpp"

#include <algorithm>
#include <cctype>
#include <string>

namespace loomwright {
namespace {

std::string lower(std::string_view text) {
    std::string out(text);
    std::ranges::transform(out, out.begin(),
                           [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    return out;
}

bool is_word_part(char c) {
    return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '-';
}

/// True when `name` holds `words` with nothing of a longer word at either side: "blade" is not in
/// "mini-blade 10 A".
bool holds_words(std::string_view name, std::string_view words) {
    if (words.empty()) {
        return false;
    }
    for (std::size_t at = name.find(words); at != std::string_view::npos;
         at = name.find(words, at + 1)) {
        const std::size_t end = at + words.size();
        const bool starts = at == 0 || !is_word_part(name[at - 1]);
        const bool ends = end == name.size() || !is_word_part(name[end]);
        if (starts && ends) {
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
        const std::string name = lower(item.name);
        if (holds_words(name, lower(family))) {
            return &item;
        }
        if (open == nullptr && !names_a_family(catalogue, name)) {
            open = &item;
        }
    }
    return open;
}

const StockItem* find_stock_terminal(const Vehicle& vehicle, std::string_view kind,
                                     const Conductor& conductor) {
    const StockItem* open = nullptr;
    for (const StockItem& item : vehicle.stock) {
        if (item.kind != "terminal" || !names_fitting(lower(item.name), lower(kind))) {
            continue;
        }
        if (item.size && *item.size == conductor.size) {
            return &item;
        }
        if (open == nullptr && !item.size) {
            open = &item;
        }
    }
    return open;
}

} // namespace loomwright
