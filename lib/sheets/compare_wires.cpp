// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/compare_wires.hpp"

#include "base/display.hpp"
#include "sheets/cut_list.hpp"
#include "sizing/fittings.hpp"
#include "sizing/limits.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <unordered_map>

namespace loomwright {
namespace {

// Lengths are sums: a last bit of difference is none.
constexpr double rounding_m = 1e-6;
constexpr std::size_t nobody = static_cast<std::size_t>(-1);

/// Both ends of a wire, whichever way it was written.
std::string ends_key(const Vehicle& vehicle, const Wire& wire) {
    std::string a = vehicle.show(wire.from);
    std::string b = vehicle.show(wire.to);
    if (b < a) {
        std::swap(a, b);
    }
    return a + "\n" + b;
}

/// Which wire of the new file each of the old one is, by place in the files.
class Pairs {
public:
    Pairs(const Vehicle& before, const Vehicle& now)
        : now_of(before.wires.size(), nobody), before_of(now.wires.size(), nobody) {
        std::unordered_map<std::string_view, std::size_t> by_number;
        for (std::size_t i = 0; i < now.wires.size(); ++i) {
            by_number.emplace(now.wires[i].number, i);
            now_ends_.push_back(ends_key(now, now.wires[i]));
        }
        for (const Wire& wire : before.wires) {
            before_ends_.push_back(ends_key(before, wire));
            const auto found = by_number.find(wire.number);
            named_.push_back(found == by_number.end() ? nobody : found->second);
        }
        pair_named(true);
        pair_by_ends();
        pair_named(false);
    }

    std::vector<std::size_t> now_of;    ///< by old wire; nobody: pulled
    std::vector<std::size_t> before_of; ///< by new wire; nobody: added

private:
    void join(std::size_t before, std::size_t now) {
        now_of[before] = now;
        before_of[now] = before;
    }

    void pair_named(bool with_ends) {
        for (std::size_t i = 0; i < now_of.size(); ++i) {
            const std::size_t other = named_[i];
            if (now_of[i] == nobody && other != nobody && before_of[other] == nobody &&
                (!with_ends || before_ends_[i] == now_ends_[other])) {
                join(i, other);
            }
        }
    }

    /// Wires side by side between the same ends pair in the order of the files.
    void pair_by_ends() {
        std::unordered_map<std::string_view, std::vector<std::size_t>> free;
        for (std::size_t i = before_of.size(); i-- > 0;) {
            if (before_of[i] == nobody) {
                free[now_ends_[i]].push_back(i);
            }
        }
        for (std::size_t i = 0; i < now_of.size(); ++i) {
            const auto found = now_of[i] == nobody ? free.find(before_ends_[i]) : free.end();
            if (found != free.end() && !found->second.empty()) {
                join(i, found->second.back());
                found->second.pop_back();
            }
        }
    }

    std::vector<std::string> before_ends_;
    std::vector<std::string> now_ends_;
    std::vector<std::size_t> named_; ///< by old wire: the new one of its number
};

/// One wire of one file, and what is asked of it there.
struct Side {
    const StudyInput& study;
    const WireDesign& made;
    const Wire& wire;
    const WireRoute& route;
    const EndFittings& fittings;
    WireId id;

    [[nodiscard]] std::string size() const {
        return made.conductor != nullptr ? show(made.conductor->size) : "no size";
    }
    [[nodiscard]] std::string insulation() const {
        return made.insulation != nullptr ? made.insulation->name : "";
    }
    [[nodiscard]] std::string make() const {
        return fmt::format("{} {}{}", size(), insulation(),
                           wire.colour.empty() ? "" : " " + wire.colour);
    }
    [[nodiscard]] std::string place(TerminalRef end) const {
        const PointId point = place_of(study.vehicle, end);
        return point.is_valid() ? study.vehicle.point(point).name : std::string();
    }
    [[nodiscard]] std::string fitting(TerminalRef end) const {
        if (made.conductor == nullptr) {
            return {};
        }
        const EndFitting fitting = fittings.fitting(fittings.crimp(id, end == wire.from));
        return fitting.note.empty() ? fitting.kind : fitting.kind + " " + fitting.note;
    }
    [[nodiscard]] std::vector<std::string> runs() const {
        std::vector<std::string> out;
        for (const RunId run : route.runs) {
            out.push_back(study.vehicle.run(run).name);
        }
        return out;
    }
};

/// True of a wire that is written the other way round now; it may have one end at another place all
/// the same.
bool is_turned(const Side& before, const Side& now) {
    const auto is_same = [&](TerminalRef was, TerminalRef is) {
        return before.study.vehicle.show(was) == now.study.vehicle.show(is) ? 1 : 0;
    };
    return is_same(before.wire.from, now.wire.to) + is_same(before.wire.to, now.wire.from) >
           is_same(before.wire.from, now.wire.from) + is_same(before.wire.to, now.wire.to);
}

/// True where every wire of a plug has a seal, the plug being the part's own or its housing's.
bool is_sealed(const Vehicle& vehicle, DeviceId id) {
    const Device& device = vehicle.device(id);
    if (device.plug) {
        return device.plug->is_sealed;
    }
    return device.housing.is_valid() && is_sealed(vehicle, device.housing);
}

/// Gathers the reasons of one wire; the one that makes most work decides.
class Judge {
public:
    Judge(const Side& before, const Side& now, Metres cut) : before_(before), now_(now), cut_(cut) {
        judge_make();
        const bool turned = is_turned(before, now);
        judge_end(turned ? before.wire.to : before.wire.from, now.wire.from);
        judge_end(turned ? before.wire.from : before.wire.to, now.wire.to);
        judge_length();
        judge_way(turned);
        if (before.wire.number != now.wire.number) {
            add(WireChange::re_label, fmt::format("its number was {}", before.wire.number));
        }
    }

    [[nodiscard]] WireChange change() const { return change_; }
    [[nodiscard]] std::string why() const { return fmt::format("{}", fmt::join(reasons_, "; ")); }

private:
    void add(WireChange change, std::string reason) {
        change_ = std::max(change_, change);
        reasons_.push_back(std::move(reason));
    }

    void judge_make() {
        const auto differs = [&](const std::string& was, const std::string& is) {
            if (was != is) {
                add(WireChange::cut_again, fmt::format("{} instead of {}", is, was));
            }
        };
        if (before_.wire.retained) {
            add(WireChange::cut_again, "a new wire instead of the old one that stayed");
        }
        differs(before_.size(), now_.size());
        differs(before_.insulation(), now_.insulation());
        if (!now_.wire.colour.empty() && now_.wire.colour != before_.wire.colour) {
            add(WireChange::cut_again,
                before_.wire.colour.empty()
                    ? fmt::format("{}, where no colour was chosen", now_.wire.colour)
                    : fmt::format("{} instead of {}", now_.wire.colour, before_.wire.colour));
        }
    }

    void judge_end(TerminalRef before, TerminalRef now) {
        const std::string was_at = before_.study.vehicle.show(before);
        const std::string at = now_.study.vehicle.show(now);
        const std::string was_place = before_.place(before);
        const std::string place = now_.place(now);
        const std::string was_fitting = before_.fitting(before);
        const std::string fitting = now_.fitting(now);
        if (was_at != at && (was_place != place || place.empty())) {
            const auto in = [](const std::string& name) {
                return name.empty() ? std::string() : " in " + name;
            };
            add(WireChange::cut_again, fmt::format("it ends at {}{} instead of {}{}", at, in(place),
                                                   was_at, in(was_place)));
        } else if (was_at != at) {
            add(WireChange::re_terminate, fmt::format("it ends at {} instead of {}", at, was_at));
        }
        if (was_fitting != fitting) {
            add(WireChange::re_terminate,
                fmt::format("{} at {} instead of {}", fitting, at, was_fitting));
        }
        // A seal does not go over a terminal that is crimped on.
        if (was_at == at && is_sealed(now_.study.vehicle, now.device) &&
            !is_sealed(before_.study.vehicle, before.device)) {
            add(WireChange::re_terminate, fmt::format("a seal goes onto it at {}", at));
        }
    }

    void judge_length() {
        const Metres needed = now_.made.length;
        const double over_m = cut_.value() - needed.value();
        const Metres again = cut_length(needed);
        const double loops_m = service_loops(now_.study).value;
        const std::string figures =
            fmt::format("{:.3f} m is cut and {:.3f} m is needed", cut_.value(), again.value());
        if (over_m < -rounding_m) {
            add(WireChange::cut_again, fmt::format("too short: {}", figures));
        } else if (cut_.value() - again.value() > loops_m + rounding_m) {
            add(WireChange::cut_again,
                fmt::format("too long: {}, and {:.3f} m over is all that the loops at its ends "
                            "take",
                            figures, loops_m));
        } else if (std::abs(cut_.value() - again.value()) > rounding_m) {
            add(WireChange::still_fits, figures);
        }
    }

    void judge_way(bool turned) {
        std::vector<std::string> was = before_.runs();
        const std::vector<std::string> is = now_.runs();
        if (turned) {
            std::ranges::reverse(was);
        }
        if (was != is && !is.empty()) {
            add(WireChange::still_fits, fmt::format("it lies in {} now", fmt::join(is, ", ")));
        }
        if (!now_.wire.twisted.empty() && now_.wire.twisted != before_.wire.twisted) {
            add(WireChange::still_fits, fmt::format("it is of pair {} now", now_.wire.twisted));
        }
        if (now_.wire.twisted.empty() && !before_.wire.twisted.empty()) {
            add(WireChange::still_fits,
                fmt::format("it is of no pair now, it was of {}", before_.wire.twisted));
        }
    }

    const Side& before_;
    const Side& now_;
    Metres cut_;
    WireChange change_ = WireChange::same;
    std::vector<std::string> reasons_;
};

Side side_of(const StudyInput& study, const Sizing& sizing, const EndFittings& fittings,
             std::size_t at) {
    return {study,
            sizing.design.wires[at],
            study.vehicle.wires[at],
            study.routing.wires[at],
            fittings,
            WireId(at)};
}

/// What was cut: as frozen, else what its own file asks for.
Metres length_cut(const Side& side, const FrozenWire* frozen) {
    const bool is_that = frozen != nullptr && side.made.conductor != nullptr &&
                         frozen->size.value == side.made.conductor->size;
    return is_that ? frozen->length : cut_length(side.made.length);
}

WireComparison named(const Side& side) {
    WireComparison out;
    out.number = side.wire.number;
    out.from = side.study.vehicle.show(side.wire.from);
    out.to = side.study.vehicle.show(side.wire.to);
    out.make = side.make();
    return out;
}

WireComparison compare_pair(const Side& before, const Side& now, Metres cut) {
    WireComparison out = named(now);
    if (now.wire.retained) {
        return out;
    }
    const Judge judge(before, now, cut);
    out.change = judge.change();
    out.why = judge.why();
    out.was_number = before.wire.number == now.wire.number ? "" : before.wire.number;
    out.was_make = before.make() == now.make() ? "" : before.make();
    out.cut = cut;
    out.needed = cut_length(now.made.length);
    return out;
}

/// A barrel is crimped once: where another wire is to go into it, or a wire in it is cut anew, all
/// that stay in it are made again. One that is pulled is cut off before the barrel.
class SharedBarrels {
public:
    SharedBarrels(const std::vector<WireComparison>& rows, const EndFittings& before,
                  const EndFittings& now)
        : rows_(rows), before_(before), now_(now) {}

    void judge(const Side& before, const Side& now, WireComparison& row) const {
        const bool turned = is_turned(before, now);
        for (const bool at_from : {true, false}) {
            const Crimp& is = now_.crimp(now.id, at_from);
            const Crimp& was = before_.crimp(before.id, at_from != turned);
            const std::string at = now.study.vehicle.show(is.at);
            if (at != before.study.vehicle.show(was.at)) {
                continue; // the end has moved: it is made again as it is
            }
            std::string with;
            for (const WireId other : is.wires) {
                const Wire& wire = now.study.vehicle.wire(other);
                if (other != now.id && !wire.retained && is_new_in(was, other)) {
                    with += (with.empty() ? "" : ", ") + wire.number;
                }
            }
            if (!with.empty()) {
                row.change = std::max(row.change, WireChange::re_terminate);
                row.why +=
                    fmt::format("{}{} at {} is made again, with {}", row.why.empty() ? "" : "; ",
                                now_.fitting(is).kind, at, with);
            }
        }
    }

private:
    /// `rows_` begins with the wires of the new file, in its order.
    [[nodiscard]] bool is_new_in(const Crimp& was, WireId wire) const {
        const WireComparison& row = rows_[wire.index()];
        return row.change == WireChange::cut_again ||
               std::ranges::find(was.wires, row.before) == was.wires.end();
    }

    const std::vector<WireComparison>& rows_;
    const EndFittings& before_;
    const EndFittings& now_;
};

} // namespace

std::string_view wire_change_name(WireChange change) {
    switch (change) {
    case WireChange::same:
        return "same";
    case WireChange::still_fits:
        return "still-fits";
    case WireChange::re_label:
        return "re-label";
    case WireChange::re_terminate:
        return "re-terminate";
    case WireChange::cut_again:
        return "cut-again";
    case WireChange::added:
        return "added";
    case WireChange::pull:
        return "pull";
    }
    return "same";
}

std::vector<WireComparison> compare_wires(const StudyInput& old_study, const Sizing& old_sizing,
                                          const StudyInput& new_study, const Sizing& new_sizing) {
    const Pairs pairs(old_study.vehicle, new_study.vehicle);
    const EndFittings old_fittings(old_study.vehicle, old_study.catalogue, old_sizing.design);
    const EndFittings new_fittings(new_study.vehicle, new_study.catalogue, new_sizing.design);
    const auto frozen = old_study.vehicle.frozen.by_wire(old_study.vehicle.wires.size());
    std::vector<WireComparison> out;
    for (std::size_t i = 0; i < new_study.vehicle.wires.size(); ++i) {
        const Side now = side_of(new_study, new_sizing, new_fittings, i);
        const std::size_t other = pairs.before_of[i];
        if (other == nobody) {
            WireComparison row = named(now);
            if (!now.wire.retained) {
                row.change = WireChange::added;
                row.needed = cut_length(now.made.length);
            }
            row.now = WireId(i);
            out.push_back(std::move(row));
            continue;
        }
        const Side before = side_of(old_study, old_sizing, old_fittings, other);
        out.push_back(compare_pair(before, now, length_cut(before, frozen[other])));
        out.back().before = WireId(other);
        out.back().now = WireId(i);
    }
    const SharedBarrels barrels(out, old_fittings, new_fittings);
    for (std::size_t i = 0; i < out.size(); ++i) {
        const bool is_made = out[i].before.is_valid() && out[i].change != WireChange::cut_again;
        if (is_made && !new_study.vehicle.wires[i].retained) {
            barrels.judge(side_of(old_study, old_sizing, old_fittings, out[i].before.index()),
                          side_of(new_study, new_sizing, new_fittings, i), out[i]);
        }
    }
    for (std::size_t i = 0; i < old_study.vehicle.wires.size(); ++i) {
        if (pairs.now_of[i] == nobody) {
            const Side before = side_of(old_study, old_sizing, old_fittings, i);
            WireComparison row = named(before);
            row.change = WireChange::pull;
            row.before = WireId(i);
            row.cut = length_cut(before, frozen[i]);
            row.why = before.wire.retained ? "old wiring" : "";
            out.push_back(std::move(row));
        }
    }
    return out;
}

} // namespace loomwright
