// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sizing/fittings.hpp"
#include "study/operating.hpp"

#include <optional>
#include <string>
#include <vector>

namespace loomwright {

/// One cavity of a housing, with what is pushed into it.
struct Cavity {
    std::string name;
    std::vector<WireId> wires;         ///< none: empty
    std::optional<EndFitting> fitting; ///< nothing: empty
    SquareMetres area;                 ///< of its wires together
    Metres outside;                    ///< of its thickest wire, over the insulation
    const StockItem* seal = nullptr;   ///< of a sealed housing: for its wire, or a plug where empty
};

/// A housing that wires are pinned into: one half of a connector, or the plug of another device.
struct PlugHalf {
    DeviceId device;
    Half half = Half::arriving;
    std::string name;               ///< "X1"; of a mated pair that is one connector "X1-a", "X1-b"
    const PlugFace* face = nullptr; ///< never nullptr
    std::string fitting;            ///< that its cavities ask for; "" if it names none
    bool is_counterpart = false;    ///< the half that `part` is not of
    bool is_mirrored = false;       ///< its mating face is the mirror of the order below
    int rows = 1;
    std::vector<Cavity> cavities; ///< along the first row, then the next
    [[nodiscard]] std::size_t cavities_in_row() const {
        const auto count = static_cast<std::size_t>(rows);
        return (cavities.size() + count - 1) / count;
    }
};

/// Every housing of a car, in the order of the file. A connector without a mate is both halves of a
/// pair: "-a" that wires come to, "-b" that they leave from. Cavities of the same name face one
/// another: the second half of a pair, or the later of two mates, has the order and the rows of the
/// first, mirrored.
[[nodiscard]] std::vector<PlugHalf> plug_halves(const StudyInput& study, const Design& design,
                                                const EndFittings& fittings);

} // namespace loomwright
