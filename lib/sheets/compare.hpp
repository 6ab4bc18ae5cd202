// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/finding.hpp"
#include "sheets/compare_wires.hpp"
#include "sheets/sheet.hpp"

#include <optional>
#include <string>
#include <vector>

namespace loomwright {

/// One file as read, sized and checked.
struct ComparedVehicle {
    const StudyInput& study;
    const Sizing& sizing;
    const Findings& findings;
};

/// A protective device whose rating, link or family is another.
struct RatingComparison {
    std::string device;
    std::string was; ///< "blade 20 A"; "" for a device that was not there
    std::string now; ///< "" for one that is there no more
    std::optional<Amps> was_rating;
    std::optional<Amps> now_rating;
    std::string why; ///< what decided the new one
};

enum class VerdictChange : std::uint8_t { came, went, changed };
/// "came", "went", "changed".
[[nodiscard]] std::string_view verdict_change_name(VerdictChange change);

/// A finding of one file that the other does not have so.
struct VerdictComparison {
    VerdictChange change = VerdictChange::came;
    Rule rule = Rule::bad_file;
    Severity severity = Severity::note; ///< in the new file; of one that went in the old
    std::string subject;                ///< as the new file names it
    std::string message;
    std::string why; ///< (changed) what is other about it: "danger instead of fault", "waived now"
};

/// What changed between two files of one car.
struct DesignComparison {
    std::vector<WireComparison> wires; ///< every wire, the same ones too
    std::vector<RatingComparison> ratings;
    std::vector<VerdictComparison> verdicts;

    [[nodiscard]] int count(WireChange change) const;
    /// False when nothing is to be done and nothing is judged otherwise.
    [[nodiscard]] bool has_change() const;
};

[[nodiscard]] DesignComparison compare_vehicles(const ComparedVehicle& before,
                                                const ComparedVehicle& now);

/// `compare`: the counts, then a table for each kind of work that there is.
[[nodiscard]] std::string compare_text(const DesignComparison& comparison, TextWidth width = {});
/// Everything that changed as one table, a row each.
[[nodiscard]] Sheet compare_sheet(const DesignComparison& comparison);
/// {"wires": {"added", "removed", "cut_again", "re_terminated", "re_labelled", "still_fit",
/// "same"}, "ratings", "verdicts"}: lists in the order of the new file; lengths in m.
[[nodiscard]] std::string compare_json(const DesignComparison& comparison);

} // namespace loomwright
