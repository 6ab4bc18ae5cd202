// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sheets/sheet.hpp"
#include "sizing/sizing.hpp"

#include <string>
#include <vector>

namespace loomwright {

/// What is done to one end of a wire. Strip lengths and kinds of terminal are common practice of
/// the trade, no source: the data sheet of the terminal that is bought decides.
struct WireEnd {
    std::string at;           ///< "F10.out"
    std::string title;        ///< of the device: "Radiator fan"; "" if it has none
    std::string fitting;      ///< "ring M6", "receptacle 6.3 mm"
    std::string fitting_note; ///< "to supplied lead battery-feed"
    std::string part_number;  ///< of the user's own stock; "" if none is named
    Metres strip;
};

/// One wire to cut.
struct CutLine {
    WireId wire;
    std::string number;
    WireEnd from;
    WireEnd to;
    Metres exact;              ///< as routed or written
    Metres length;             ///< what is cut: rounded up to 5 mm
    bool is_estimated = false; ///< the length was not measured: verify before cutting
    std::string twisted;       ///< pair it belongs to
    std::string label;         ///< text for the sleeve at both ends: "12.2"
    std::string note;
};

/// Wires cut from one spool: the same conductor, insulation and colour.
struct CutSpool {
    const Conductor* conductor = nullptr; ///< nullptr: no size was found, these cannot be cut
    const Insulation* insulation = nullptr;
    std::string colour;         ///< IEC 60757; "" where none is chosen
    std::vector<CutLine> lines; ///< by length, longest first; equal ones in the order of the file
    Metres total;               ///< of the cut lengths
    [[nodiscard]] std::string title() const; ///< "1.5 mm2 thin-wall xlpe BK/RD"
};

/// Everything to cut, by spool (falling area), then colour, then length; old wiring that stays is
/// named apart and not cut.
struct CutList {
    std::vector<CutSpool> spools;
    std::vector<WireId> retained;
};

[[nodiscard]] CutList cut_list(const StudyInput& study, const Sizing& sizing);

/// Wires are cut to whole steps of this length.
inline constexpr double cut_step_m = 0.005;

/// What is cut of a wire that must be so long: up to the next step.
[[nodiscard]] Metres cut_length(Metres needed);

/// What must be known before this line is cut: an estimate, a pair, the user's own note.
[[nodiscard]] std::string cut_line_note(const CutLine& line);
/// "ring M6", or with its note "crimp splice to supplied lead battery-feed".
[[nodiscard]] std::string fitting_text(const WireEnd& end);

/// The cut list as one table, a line a wire, with an empty tick column.
[[nodiscard]] Sheet cut_list_sheet(const StudyInput& study, const CutList& list);

} // namespace loomwright
