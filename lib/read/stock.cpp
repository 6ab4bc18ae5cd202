// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// The shop's own stock.

#include "read/kinds.hpp"
#include "read/steps.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>

namespace loomwright {
namespace {

constexpr std::array<std::string_view, 15> stock_keys{
    "is",    "name",  "size", "insulation", "colour", "rating", "breaking",    "part",
    "price", "spool", "wire", "diameter",   "strip",  "note",   "crimp-height"};
constexpr std::array<std::string_view, 7> stock_words{"wire", "fuse", "terminal", "sleeve",
                                                      "seal", "plug", "housing"};
constexpr Range price_range{0.0, 1e9};

/// Keys that hold for one kind of part alone.
struct OwnKey {
    std::string_view key;
    std::string_view kind;
    std::string_view other_kind;
};
constexpr std::array own_keys{OwnKey{"wire", "terminal", ""}, OwnKey{"strip", "terminal", ""},
                              OwnKey{"crimp-height", "terminal", ""},
                              OwnKey{"diameter", "seal", "plug"}};

std::optional<Money> read_price(const Fields& fields) {
    const auto text = fields.text("price");
    if (!text) {
        return std::nullopt;
    }
    TextFault fault;
    const auto value = read_number(*text, fault);
    if (!value) {
        complain_of_text(fields.reading(), fields.get("price"), fields.subject(), fault);
        return std::nullopt;
    }
    if (*value < price_range.least || *value > price_range.most) {
        fields.complain(Rule::out_of_range, "price",
                        fmt::format("{} is not a price", quoted(*text)), "correct the amount");
        return std::nullopt;
    }
    return Money(*value);
}

/// The area of a size as it stands in a text; complains of what is none.
std::optional<SquareMetres> read_area(const Fields& fields, const Node& node, std::string_view text,
                                      std::string_view part) {
    Reading& reading = fields.reading();
    TextFault fault;
    const auto size = read_size(part, fault);
    const auto offset = static_cast<std::size_t>(part.data() - text.data());
    if (!size) {
        fault.offset += offset;
        fault.length = std::min(fault.length, trimmed(part).size());
        complain_of_text(reading, node, fields.subject(), fault);
        return std::nullopt;
    }
    if (size->unit == "mm2") {
        double mm2 = 0.0;
        const std::string& digits = size->number;
        std::from_chars(digits.data(), digits.data() + digits.size(), mm2);
        if (mm2 > 0.0 && mm2 <= 1000.0) {
            return SquareMetres(mm2 * 1e-6);
        }
    }
    const SizeStandard standard = size->unit == "SAE" ? SizeStandard::sae : SizeStandard::awg;
    const Conductor* conductor = size->unit == "mm2"
                                     ? nullptr
                                     : reading.catalogue.find_conductor(
                                           {standard, normal_size_name(standard, size->number)});
    if (conductor == nullptr) {
        reading.complain(Rule::out_of_range, fields.subject(),
                         node.where(offset, trimmed(part).size()),
                         fmt::format("no wire of {} is in the tables", quoted(trimmed(part))),
                         "write the thinnest and the thickest wire: `0.5 mm2 to 1 mm2`");
        return std::nullopt;
    }
    return conductor->area;
}

/// Complains where a range ends before it begins.
bool check_rises(const Fields& fields, std::string_view key, double least, double most) {
    if (least <= most) {
        return true;
    }
    fields.complain(Rule::contradiction, key, "the range ends before it begins",
                    "write the smaller of the two first");
    return false;
}

/// `wire: 0.5 mm2 to 1 mm2`: areas that a terminal takes; one size alone is both ends.
void read_wire_range(const Fields& fields, StockItem& item) {
    const auto text = fields.text("wire");
    if (!text) {
        return;
    }
    const Node node = fields.get("wire");
    const std::size_t at = word_place(*text, "to");
    const auto least = read_area(fields, node, *text, trimmed(text->substr(0, at)));
    const auto most = at == std::string_view::npos
                          ? least
                          : read_area(fields, node, *text, trimmed(text->substr(at + 2)));
    if (least && most && check_rises(fields, "wire", least->value(), most->value())) {
        item.least_area = least;
        item.most_area = most;
    }
}

/// `diameter: 1.2 mm to 2.1 mm`: outside diameters that a seal takes; of a plug its cavity.
void read_diameter_range(const Fields& fields, StockItem& item) {
    const auto text = fields.text("diameter");
    if (!text) {
        return;
    }
    Reading& reading = fields.reading();
    const Node node = fields.get("diameter");
    TextFault fault;
    const auto pair =
        read_pair(*text, "to", Dimension::length, Dimension::length, Dimension::length, fault);
    if (!pair) {
        complain_of_text(reading, node, fields.subject(), fault);
        return;
    }
    const QuantityValue most = pair->second.value_or(pair->first);
    if (check_range(reading, node, fields.subject(), node.where(), pair->first, ranges::fitting) &&
        check_range(reading, node, fields.subject(), node.where(), most, ranges::fitting) &&
        check_rises(fields, "diameter", pair->first.value, most.value)) {
        item.least_diameter = Metres(pair->first.value);
        item.most_diameter = Metres(most.value);
    }
}

void check_own_keys(const Fields& fields, const StockItem& item) {
    for (const OwnKey& own : own_keys) {
        if (!item.kind.empty() && fields.has(own.key) && item.kind != own.kind &&
            item.kind != own.other_kind) {
            fields.complain(Rule::contradiction, own.key,
                            fmt::format("a {} of the stock has no `{}`", item.kind, own.key),
                            fmt::format("`{}` is said of a {}", own.key, own.kind));
        }
    }
}

void read_item(Reading& reading, const Node& node) {
    const std::string_view name = scalar_text(node.find("name")).value_or("stock");
    const Fields fields(reading, node, name, node.where(), stock_keys);
    if (!fields.is_map()) {
        return;
    }
    StockItem item;
    item.where = fields.where("name");
    if (fields.need("is").is_valid()) {
        if (const auto word = fields.word("is", stock_words)) {
            item.kind = stock_words.at(*word);
        }
    }
    if (fields.need("name").is_valid()) {
        item.name = fields.text_or_empty("name");
    }
    const Node size = item.kind == "wire" ? fields.need("size") : fields.get("size");
    if (size.is_valid()) {
        item.size = read_conductor_size(reading, size, name, "size");
    }
    if (const auto insulation = read_insulation(fields)) {
        item.insulation = insulation->value;
    }
    item.colour = read_colour(fields).value_or("");
    if (item.kind != "fuse" || fields.need("rating").is_valid()) {
        item.rating = fields.quantity<Amps>("rating", ranges::current);
    }
    item.breaking = fields.quantity<Amps>("breaking", ranges::breaking);
    item.part_number = fields.text_or_empty("part");
    item.price = read_price(fields);
    check_own_keys(fields, item);
    read_wire_range(fields, item);
    read_diameter_range(fields, item);
    item.strip = fields.quantity<Metres>("strip", ranges::fitting);
    item.crimp_height = fields.quantity<Metres>("crimp-height", ranges::fitting);
    item.spool = fields.quantity<Metres>("spool", ranges::spool);
    (void)fields.text("note");
    reading.vehicle.stock.push_back(std::move(item));
}

} // namespace

void read_stock(Reading& reading, const Node& section) {
    if (section.is_nothing()) {
        return;
    }
    if (!section.is_list()) {
        reading.complain(Rule::wrong_shape, "stock", section.where(),
                         fmt::format("`stock` wants a list, not {}", shape_name(section)),
                         "write each line as `- {is: wire, name: ..., size: ...}`");
        return;
    }
    for (const Node item : section.items()) {
        read_item(reading, item);
    }
}

} // namespace loomwright
