// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/operating.hpp"
#include "tables/spread_table.hpp"

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace loomwright {

/// A limit that each sample is held against.
struct SpreadLimit {
    enum class Kind : std::uint8_t {
        drop,       ///< volts lost on the way to a load that is on, at most `limit`
        controller, ///< volts at a controller's worst live feed, at least `limit`
        coil,       ///< a relay or starter: stands as in the nominal car
        on,         ///< a device that the state expects on
        off,        ///< or off
        insulation, ///< conductor's temperature, at most `limit`
    };
    Kind kind = Kind::drop;
    DeviceId device; ///< invalid for `insulation`
    WireId wire;     ///< of `insulation`
    double limit = 0.0;
    bool is_on = false; ///< of `coil`: pulled in in the nominal car
    std::string source; ///< where the limit comes from
    /// Of `drop`: pairs of nodes whose voltages, the first less the second, add up to it.
    std::vector<std::pair<int, int>> spans;
};

/// A figure whose spread is wanted.
struct SpreadFigure {
    enum class Kind : std::uint8_t {
        wire_amps,
        wire_drop,
        wire_c,
        device_volts,
        device_amps,
        limit, ///< what limit number `index` is held against; nothing for `on` and `off`
    };
    Kind kind = Kind::wire_amps;
    std::size_t index = 0; ///< of the wire, device or limit
};

/// Values of a figure over all samples that have it: those that 1, 50 and 99 % of the samples lie
/// at or below (the ceil(p N)-th smallest of N).
struct SpreadValues {
    std::optional<double> nominal;
    std::uint64_t count = 0; ///< samples that have it; 0: the others mean nothing
    double p1 = 0.0;
    double p50 = 0.0;
    double p99 = 0.0;
};

/// A share told from a count, with the range in which the true one lies in 95 of 100 such cases:
/// E. B. Wilson, J. Am. Stat. Assoc. 22 (1927) 209-212.
struct SpreadShare {
    std::uint64_t count = 0;
    std::uint64_t of = 0;
    double share = 0.0;
    double low = 0.0;
    double high = 1.0;
};
[[nodiscard]] SpreadShare wilson_share(std::uint64_t count, std::uint64_t of);

/// What is asked of a spread study.
struct SpreadOrder {
    std::uint64_t samples = 1000;
    std::uint64_t seed = 1;
    std::vector<SpreadLimit> limits;
    std::vector<SpreadFigure> figures;
    unsigned threads = 0; ///< 0: as many as there are processors
    /// Called now and then on the calling thread with the samples done so far; may be empty.
    std::function<void(std::uint64_t)> progress;
};

/// The samples of one state.
struct SpreadResult {
    StateSolution nominal;
    std::uint64_t samples = 0;
    std::uint64_t seed = 0;
    SpreadShare no_answer; ///< no operating point, chatter left out
    SpreadShare chattering;
    /// By limit: how often it was broken, of the samples that have an answer.
    std::vector<SpreadShare> broken;
    std::vector<std::uint8_t> nominal_broken; ///< by limit
    std::vector<SpreadValues> figures;        ///< in the order of the order's
    std::uint64_t from_rest = 0; ///< samples settled from rest, by the whole heat model
};

/// Percentiles need every value: no more are kept than fit here.
constexpr std::uint64_t spread_memory_limit = std::uint64_t{1} << 30U;
/// The most samples of so many figures whose values fit.
[[nodiscard]] std::uint64_t most_spread_samples(std::size_t figures);

/// Solves samples of states of one car and design again and again.
class SpreadStudy {
public:
    SpreadStudy(const StudyInput& input, const Design& design, SpreadTable table, StateId state);
    ~SpreadStudy();
    SpreadStudy(SpreadStudy&&) noexcept;
    SpreadStudy& operator=(SpreadStudy&&) noexcept;
    SpreadStudy(const SpreadStudy&) = delete;
    SpreadStudy& operator=(const SpreadStudy&) = delete;

    /// The nominal car, as each sample is solved.
    [[nodiscard]] StateSolution nominal() const;
    /// One sample; the same whatever was solved before.
    [[nodiscard]] StateSolution sample(std::uint64_t seed, std::uint64_t index) const;
    /// The same, settled from rest by the whole model whatever it needs: for comparison.
    [[nodiscard]] StateSolution sample_from_rest(std::uint64_t seed, std::uint64_t index) const;

    /// All samples of an order. The order must not ask for more than `most_spread_samples`.
    [[nodiscard]] SpreadResult run(const SpreadOrder& order) const;

private:
    struct Work;
    std::unique_ptr<Work> work_;
};

} // namespace loomwright
