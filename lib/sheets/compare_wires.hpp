// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sizing/sizing.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace loomwright {

/// What is to be done to a wire that was cut for the old file, so that it is as the new one has it:
/// from nothing to most work.
enum class WireChange : std::uint8_t {
    same,         ///< nothing
    still_fits,   ///< nothing, though something about it has changed
    re_label,     ///< another number
    re_terminate, ///< another fitting or a seal, an end moved to another terminal at the same
                  ///< place, or a barrel that another wire goes into
    cut_again,    ///< size, insulation, colour, length or the place of an end
    added,        ///< a wire that was not there
    pull,         ///< a wire that is there no more
};
/// "still-fits", "cut-again".
[[nodiscard]] std::string_view wire_change_name(WireChange change);

/// One wire of either file.
struct WireComparison {
    WireChange change = WireChange::same;
    WireId before; ///< in the old file; invalid: added
    WireId now;    ///< in the new file; invalid: pull
    std::string number;
    std::string was_number; ///< in the old file; "" where it is the same, or added
    std::string from;
    std::string to;
    std::string make;             ///< "1.5 mm2 thin-wall pvc BK"
    std::string was_make;         ///< "" where it is the same, or added
    std::optional<Metres> cut;    ///< length that the old file has cut; nothing: added
    std::optional<Metres> needed; ///< length that the new file needs; nothing: pull
    std::string why;              ///< every reason with its figures; "" for none
};

/// Pairs the wires of two files and says what is to be done to each: those of the new file in its
/// order, then those to pull. A wire is the same wire by its number and its ends, else by its ends,
/// else by its number. It still fits while it is at least as long as needed and longer by the
/// service loops of both ends at most. Old wiring that stays in the car is not cut: of such a wire
/// nothing is said, unless a new one takes its place or it is to come out.
[[nodiscard]] std::vector<WireComparison> compare_wires(const StudyInput& old_study,
                                                        const Sizing& old_sizing,
                                                        const StudyInput& new_study,
                                                        const Sizing& new_sizing);

} // namespace loomwright
