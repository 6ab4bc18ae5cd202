// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "model/readings.hpp"
#include "study/operating.hpp"
#include "tables/spread_table.hpp"

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace loomwright {

/// What may be otherwise than the vehicle file says.
struct Suspect {
    enum class Kind : std::uint8_t {
        joint,   ///< resistance more in a branch that only conducts, or inside a battery, ohm
        source,  ///< a source gives so many volts more, V (less: negative)
        load,    ///< a load takes a share less, 0..1
        reading, ///< the meter showed so many volts more than there were, V
    };
    Kind kind = Kind::joint;
    int index = 0; ///< branch of the network; of `reading` into the readings
    friend bool operator==(const Suspect&, const Suspect&) = default;
};

/// A suspect with what explains the readings best.
struct SuspectFit {
    Suspect what;
    double value = 0.0; ///< in the unit of its kind
    double low = 0.0;   ///< 95 % of cases lie between `low` and `high`
    double high = 0.0;
    bool is_open = false; ///< of a joint: the readings set no upper limit, `high` means nothing
    double nominal = 0.0; ///< ohm of the branch, volts of the source, amps of the load
    /// Of a joint where it loses most of the states read: into AnswerState, A and W. Of a load: A.
    std::size_t state = 0;
    double amps = 0.0;
    double watts = 0.0;
};

/// One member of the smallest set: suspects that these readings do not tell apart.
struct Culprit {
    std::vector<SuspectFit> one_of; ///< the best first, then in the order of the file
    double sure = 0.0; ///< that it is one of these, among sets of as many members, 0..1
};

/// Another set of as many members.
struct RunnerUp {
    std::vector<Suspect> set;
    double chi_square = 0.0;
    double share = 0.0; ///< of the likelihood of all sets of this size
};

enum class ReadingVerdict : std::uint8_t {
    as_predicted,  ///< as near as meter and prediction allow
    explained,     ///< by a culprit that is no reading
    unexplained,   ///< no joint explains it
    impossible,    ///< no source of the car could make it
    no_prediction, ///< nothing holds the place, or the state has no operating point
};

struct ReadingResult {
    ReadingVerdict verdict = ReadingVerdict::no_prediction;
    double predicted_v = 0.0;
    double off_v = 0.0;        ///< shown less predicted
    double meter_v = 0.0;      ///< standard deviation of the meter
    double prediction_v = 0.0; ///< of the prediction
    double sigmas = 0.0;       ///< off_v in standard deviations of both
    double explained_v = 0.0;  ///< predicted with the culprits in place
    double left_sigmas = 0.0;  ///< what is left, against what the other readings foretell of it
    int culprit = -1;          ///< into MeasureAnswer::culprits: the one that moves it most

    /// False where nothing holds the place: `predicted_v` and what follows from it say nothing.
    [[nodiscard]] bool has_prediction() const {
        return verdict != ReadingVerdict::no_prediction &&
               (verdict != ReadingVerdict::impossible || predicted_v != 0.0 || prediction_v != 0.0);
    }
};

/// The reading that would tell most of what is left apart.
struct NextReading {
    int node = 0;    ///< red probe
    int against = 0; ///< black probe
    std::size_t state = 0;
    struct Foretold {
        SuspectFit culprit;
        double volts = 0.0;
    };
    std::vector<Foretold> foretold; ///< what it would be, by what is wrong
};

/// A state with readings.
struct AnswerState {
    StateId id;
    bool is_solved = false;
    std::string failure; ///< why it has no operating point
};

struct MeasureAnswer {
    std::vector<AnswerState> states;    ///< in the order of the readings
    std::vector<ReadingResult> results; ///< one a reading
    int black_lead = -1;                ///< node that readings without `to` are against
    std::size_t compared = 0;           ///< readings with a prediction
    double chi_square_before = 0.0;     ///< of all residuals as they are
    double chance_before = 1.0; ///< that residuals so large come of meter and tolerances alone
    double chi_square = 0.0;    ///< with the culprits in place
    double chance = 1.0;
    bool is_accepted = false;     ///< `chance` and every reading are within the limits
    bool has_all_suspects = true; ///< else some were left out of every set
    bool has_all_sets = true;     ///< of its suspects, up to the size of the answer: all weighed
    std::vector<Culprit> culprits;
    std::vector<RunnerUp> runners_up;
    std::optional<NextReading> next;
    std::size_t suspects = 0; ///< that some reading can tell of
    std::size_t classes = 0;  ///< of suspects that no reading tells apart
    std::size_t largest_set = 0;
    double limit_sigmas = 3.0; ///< that a reading may be off
};

/// Sets of more members are not tried.
constexpr std::size_t most_culprits = 4;
/// A set is taken whose residuals would be as large or larger in at least this share of cases.
constexpr double least_chance = 0.01;

/// Compares readings with the car as designed, and finds the fewest joints, sources, loads or
/// readings that explain what differs: docs/method/measuring.md.
[[nodiscard]] MeasureAnswer measure(const StudyInput& input, const Design& design,
                                    const SpreadTable& spreads,
                                    std::span<const MeterReading> readings);

} // namespace loomwright
