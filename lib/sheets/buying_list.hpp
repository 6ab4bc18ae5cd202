// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sheets/cutting_plan.hpp"

#include <optional>
#include <string>
#include <vector>

namespace loomwright {

/// Wire to buy for one spool of the cut list.
struct BuyWire {
    const CutSpool* spool = nullptr;    ///< points into the cut list, which must outlive this
    Metres needed;                      ///< sum of the cut lengths
    Metres with_spare;                  ///< plus the spare share
    std::optional<Metres> spool_length; ///< of the stock, where it says
    std::optional<WireCutting> cutting; ///< how they are cut from spools of that length
    int spools = 0; ///< that the cutting plan and the spare take; 0 without a spool length
    Metres bought;  ///< spools x length and what is longer than a spool, or `with_spare` up to the
                    ///< next metre
    std::optional<Money> cost; ///< where the stock gives a price, which is for a metre
    const StockItem* stock = nullptr;
};

/// Some pieces of one part.
struct BuyPart {
    std::string group;         ///< "fuse", "relay", "terminal"
    std::string what;          ///< "blade fuse 15 A, blue"
    int count = 0;             ///< in the car
    int with_spare = 0;        ///< plus the spare share, up to the next piece
    std::string used_at;       ///< "F10, F12"; "" for terminals, whose places the cut list has
    std::optional<Money> cost; ///< where the stock gives a price, which is for a piece
    const StockItem* stock = nullptr;
};

struct BuyingList {
    double spare = 0.0; ///< share added to every line
    std::string spare_source;
    std::vector<BuyWire> wires;
    std::vector<BuyPart> parts; ///< fuses, relays, terminals; each group in order
    std::optional<Money> total; ///< of the lines that have a price
    int lines_without_price = 0;
};

[[nodiscard]] BuyingList buying_list(const StudyInput& study, const Sizing& sizing,
                                     const CutList& cuts);

/// Wire and parts as one table.
[[nodiscard]] Sheet buying_list_sheet(const BuyingList& list);

} // namespace loomwright
