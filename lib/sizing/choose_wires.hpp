// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sizing/ampacity.hpp"
#include "sizing/judged.hpp"
#include "sizing/protect.hpp"

#include <cstddef>
#include <map>
#include <optional>
#include <utility>
#include <vector>

namespace loomwright {

/// The sizes an `auto` wire may get, and which of them each demand alone asks for. An index equal
/// to the number of options means that none will do.
struct WireChoice {
    std::vector<const Conductor*> options; ///< rising area; empty: the size is given
    std::size_t by_ampacity = 0;
    std::size_t by_fuse = 0;
    std::size_t by_least = 0;
    std::size_t by_drop = 0;
    std::size_t floor = 0;                    ///< of earlier rounds,
    Reason floor_reason = Reason::least_size; ///< and what asked for it
    std::size_t picked = 0;
    bool is_share = false; ///< not found as the bundle stands: picked by its share of the heat
    /// All but the options and the floor, which stand for a whole round.
    void take_picks(const WireChoice& other) {
        by_ampacity = other.by_ampacity;
        by_fuse = other.by_fuse;
        by_least = other.by_least;
        by_drop = other.by_drop;
        picked = other.picked;
        is_share = other.is_share;
    }
    /// Before sizes grow for drops: they will grow from here as they grew from there.
    [[nodiscard]] bool grows_as(const WireChoice& other) const {
        return picked == other.picked && is_found() == other.is_found();
    }
    [[nodiscard]] bool is_auto() const { return !options.empty(); }
    [[nodiscard]] bool is_found() const {
        return by_ampacity < options.size() && by_fuse < options.size() &&
               by_least < options.size();
    }
};

/// What a fuse, or a source that limits itself, asks of a wire.
struct FeedDemand {
    DeviceId device; ///< the protective device with the largest rating; invalid: none
    const FuseFamily* family = nullptr;
    double rating_a = 0.0; ///< of all that feed it together
    DeviceBand band;       ///< of the device at that rating, in its place
    double self_limited_a = 0.0;
    double beside_a = 0.0; ///< of it at the same end as the devices, added to what they pass
    const Conductor* link = nullptr; ///< the thickest fusible link that feeds it; nullptr: none
    std::optional<LetThrough> link_passes; ///< by its slow side, in its place; nothing: not known

    /// What a size that is chosen behind the link is held to: four AWG numbers, and what it lets
    /// through in a short. What melts at a multiple of its wire's ampacity guards against no
    /// overload. True where there is no link.
    [[nodiscard]] bool link_suits(const Conductor& conductor, const Insulation& insulation) const;
};

/// What one round of choosing looks at.
struct RoundInput {
    const StudyInput& study;
    const Design& solved; ///< that the states were solved with
    const Sizing& sizing; ///< solved states and their drops; runs as they now stand
    const WireLoads& loads;
    const std::vector<FeedDemand>& demands; ///< by WireId
    WirePlaces& places;
};

/// The options of every wire, none for those whose size is given.
[[nodiscard]] std::vector<WireChoice> wire_options(const StudyInput& input);
/// What one pass of a round chose, before sizes grew for drops, by the loadings it saw.
struct ChosenBefore {
    std::vector<RunLoading> runs; ///< empty: there was no pass before
    std::vector<WireChoice> choices;
};
/// Finds what ampacity, fuse and least size ask of every `auto` wire and picks the largest. A wire
/// all of whose runs are loaded as they were in the pass before is chosen as it was there. True
/// when all will grow as they grew in that pass.
[[nodiscard]] bool choose_wires(const RoundInput& round, ChosenBefore& before,
                                std::vector<WireChoice>& choices);
/// Which demand decided a choice.
[[nodiscard]] Reason deciding_reason(const WireChoice& choice);
/// Which demand asked for a choice that later rounds do not go below.
[[nodiscard]] Reason reason_of_floor(const WireChoice& choice);

/// What feeds ask. A device that stands before many wires has its band looked up once.
class FeedDemands {
public:
    explicit FeedDemands(const StudyInput& input) : input_(input) {}
    [[nodiscard]] FeedDemand of(const Design& design, const WireFeed& feed);

private:
    const DeviceBand& band_of(DeviceId device, double rating_a);
    const std::optional<LetThrough>& let_through_of(DeviceId link);

    const StudyInput& input_;
    std::map<std::pair<std::size_t, double>, DeviceBand> bands_;   ///< by device and rating
    std::map<std::size_t, std::optional<LetThrough>> let_through_; ///< by link
};
[[nodiscard]] FeedDemand feed_demand(const StudyInput& input, const Design& design,
                                     const WireFeed& feed);
/// True when the conductor is protected as the demand asks.
[[nodiscard]] bool meets_feed(const StudyInput& input, const FeedDemand& demand,
                              const Conductor& conductor, const Insulation& insulation,
                              const Ampacity& ampacity);

} // namespace loomwright
