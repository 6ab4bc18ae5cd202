// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/spread.hpp"

#include "base/side_by_side.hpp"
#include "study/controller_supply.hpp"
#include "study/spread_sampler.hpp"

#include <algorithm>
#include <array>
#include <atomic>
#include <cmath>
#include <limits>
#include <thread>
#include <utility>

namespace loomwright {
namespace {

constexpr double no_figure = std::numeric_limits<double>::quiet_NaN();
constexpr std::uint64_t samples_at_once = 16;
constexpr std::size_t figures_at_once = 8; ///< a line of the machine's memory

std::size_t to_size(std::uint64_t index) {
    return static_cast<std::size_t>(index);
}

/// What one sample has for a limit, and whether it breaks it.
struct Held {
    double value = no_figure;
    bool is_broken = false;
};

Held held_drop(const Vehicle& vehicle, const SpreadLimit& limit, const StateSolution& solution) {
    const DeviceState& load = solution.devices[limit.device.index()];
    const bool is_battery = vehicle.device(limit.device).as<Battery>() != nullptr;
    if (is_battery ? load.amps >= 0.0 : !load.on) { // a battery is a load while it is charged
        return {};
    }
    double volts = 0.0;
    for (const auto& [from, to] : limit.spans) {
        volts += solution.node_volts[static_cast<std::size_t>(from)] -
                 solution.node_volts[static_cast<std::size_t>(to)];
    }
    return {volts, volts > limit.limit};
}

Held hold(const Network& network, const Vehicle& vehicle, const SpreadLimit& limit,
          const StateSolution& solution) {
    switch (limit.kind) {
    case SpreadLimit::Kind::drop:
        return held_drop(vehicle, limit, solution);
    case SpreadLimit::Kind::controller: {
        const auto& made = *vehicle.device(limit.device).as<Controller>();
        const double volts = controller_supply(network, limit.device, made, solution).volts;
        return {volts, volts < limit.limit};
    }
    case SpreadLimit::Kind::coil: {
        const DeviceState& device = solution.devices[limit.device.index()];
        return {std::abs(device.coil_volts), device.on != limit.is_on};
    }
    case SpreadLimit::Kind::on:
        return {no_figure, !solution.devices[limit.device.index()].on};
    case SpreadLimit::Kind::off:
        return {no_figure, solution.devices[limit.device.index()].on};
    case SpreadLimit::Kind::insulation: {
        const double celsius = solution.wires[limit.wire.index()].conductor_c;
        return {celsius, celsius > limit.limit};
    }
    }
    return {};
}

double figure_of(const SpreadFigure& figure, const StateSolution& solution,
                 const std::vector<double>& limit_values) {
    switch (figure.kind) {
    case SpreadFigure::Kind::wire_amps:
        return solution.wires[figure.index].amps;
    case SpreadFigure::Kind::wire_drop:
        return solution.wires[figure.index].drop_v;
    case SpreadFigure::Kind::wire_c:
        return solution.wires[figure.index].conductor_c;
    case SpreadFigure::Kind::device_volts:
        return solution.devices[figure.index].volts;
    case SpreadFigure::Kind::device_amps:
        return solution.devices[figure.index].amps;
    case SpreadFigure::Kind::limit:
        return limit_values[figure.index];
    }
    return no_figure;
}

/// The value that a share of the sorted samples lies at or below.
double order_statistic(std::vector<double>& values, std::size_t percent) {
    const std::size_t rank = std::max<std::size_t>((values.size() * percent + 99) / 100, 1);
    const auto place = values.begin() + static_cast<std::ptrdiff_t>(rank - 1);
    std::ranges::nth_element(values, place);
    return *place;
}

void take_order(std::vector<double>& values, SpreadValues& out) {
    std::erase_if(values, [](double value) { return std::isnan(value); });
    out.count = values.size();
    if (!values.empty()) {
        out.p50 = order_statistic(values, 50);
        out.p1 = order_statistic(values, 1);
        out.p99 = order_statistic(values, 99);
    }
}

unsigned sampling_threads(const SpreadOrder& order) {
    return order.threads > 0 ? order.threads : std::max(std::thread::hardware_concurrency(), 1U);
}

/// Counts that add up the same in any order.
struct Tally {
    std::vector<std::uint64_t> broken;
    std::uint64_t no_answer = 0;
    std::uint64_t chattering = 0;
    std::uint64_t from_rest = 0;

    void add(const Tally& other) {
        for (std::size_t i = 0; i < broken.size(); ++i) {
            broken[i] += other.broken[i];
        }
        no_answer += other.no_answer;
        chattering += other.chattering;
        from_rest += other.from_rest;
    }
};

/// One run through all samples of an order.
class SpreadRun {
public:
    SpreadRun(const StudyInput& input, const SpreadNominal& nominal, const SpreadOrder& order)
        : input_(input), nominal_(nominal), order_(order),
          values_(to_size(order.samples) * order.figures.size(), no_figure) {}

    [[nodiscard]] SpreadResult run() {
        const unsigned threads = sampling_threads(order_);
        std::vector<Tally> tallies(threads);
        side_by_side(threads - 1, [&](std::size_t number) { solve_samples(number, tallies); });
        SpreadResult out;
        out.samples = order_.samples;
        out.seed = order_.seed;
        Tally& sum = tallies.front();
        for (std::size_t i = 1; i < tallies.size(); ++i) {
            sum.add(tallies[i]);
        }
        out.no_answer = wilson_share(sum.no_answer, order_.samples);
        out.chattering = wilson_share(sum.chattering, order_.samples);
        out.from_rest = sum.from_rest;
        const std::uint64_t answered = order_.samples - sum.no_answer - sum.chattering;
        for (const std::uint64_t count : sum.broken) {
            out.broken.push_back(wilson_share(count, answered));
        }
        take_nominal(out);
        take_orders(out, threads);
        return out;
    }

private:
    void solve_samples(std::size_t number, std::vector<Tally>& tallies) {
        SpreadSampler sampler(nominal_);
        Tally tally{.broken = std::vector<std::uint64_t>(order_.limits.size(), 0)};
        std::vector<double> held;
        for (std::uint64_t first = next_.fetch_add(samples_at_once); first < order_.samples;
             first = next_.fetch_add(samples_at_once)) {
            const std::uint64_t last = std::min(first + samples_at_once, order_.samples);
            for (std::uint64_t index = first; index < last; ++index) {
                keep(sampler.sample(order_.seed, index), index, tally, held);
            }
            if (number == 0 && order_.progress) {
                order_.progress(std::min(next_.load(), order_.samples));
            }
        }
        tally.from_rest = sampler.from_rest_count();
        tallies[number] = std::move(tally);
    }

    void keep(const StateSolution& solution, std::uint64_t index, Tally& tally,
              std::vector<double>& held) {
        if (!solution.converged) {
            ++(solution.chattering.empty() ? tally.no_answer : tally.chattering);
            return;
        }
        held.assign(order_.limits.size(), no_figure);
        for (std::size_t i = 0; i < order_.limits.size(); ++i) {
            const Held here = hold(input_.network, input_.vehicle, order_.limits[i], solution);
            held[i] = here.value;
            tally.broken[i] += here.is_broken ? 1U : 0U;
        }
        double* row = values_.data() + to_size(index) * order_.figures.size();
        for (const SpreadFigure& figure : order_.figures) {
            *row++ = figure_of(figure, solution, held);
        }
    }

    void take_nominal(SpreadResult& out) const {
        out.nominal = SpreadSampler(nominal_).nominal();
        out.nominal_broken.assign(order_.limits.size(), 0);
        out.figures.resize(order_.figures.size());
        if (!out.nominal.converged) {
            return;
        }
        std::vector<double> held;
        for (std::size_t i = 0; i < order_.limits.size(); ++i) {
            const Held here = hold(input_.network, input_.vehicle, order_.limits[i], out.nominal);
            held.push_back(here.value);
            out.nominal_broken[i] = here.is_broken ? 1 : 0;
        }
        for (std::size_t i = 0; i < order_.figures.size(); ++i) {
            const double value = figure_of(order_.figures[i], out.nominal, held);
            if (!std::isnan(value)) {
                out.figures[i].nominal = value;
            }
        }
    }

    /// The samples stand row by row: some columns at once, so that a line of memory is read once.
    void take_orders(SpreadResult& out, unsigned threads) const {
        const std::size_t width = order_.figures.size();
        std::atomic<std::size_t> next{0};
        side_by_side(threads - 1, [&](std::size_t /*thread*/) {
            std::array<std::vector<double>, figures_at_once> columns;
            for (std::size_t first = next.fetch_add(figures_at_once); first < width;
                 first = next.fetch_add(figures_at_once)) {
                const std::size_t count = std::min(figures_at_once, width - first);
                for (auto& column : columns) {
                    column.clear();
                }
                for (std::size_t row = first; row < values_.size(); row += width) {
                    for (std::size_t k = 0; k < count; ++k) {
                        columns.at(k).push_back(values_[row + k]);
                    }
                }
                for (std::size_t k = 0; k < count; ++k) {
                    take_order(columns.at(k), out.figures[first + k]);
                }
            }
        });
    }

    const StudyInput& input_;
    const SpreadNominal& nominal_;
    const SpreadOrder& order_;
    std::vector<double> values_; ///< by sample, then by figure
    std::atomic<std::uint64_t> next_{0};
};

} // namespace

SpreadShare wilson_share(std::uint64_t count, std::uint64_t of) {
    constexpr double z = 1.959963984540054; ///< 97.5 % of a normal distribution lie below
    SpreadShare out{.count = count, .of = of};
    if (of == 0) {
        return out;
    }
    const auto n = static_cast<double>(of);
    const double p = static_cast<double>(count) / n;
    const double middle = (p + z * z / (2.0 * n)) / (1.0 + z * z / n);
    const double half =
        z * std::sqrt(p * (1.0 - p) / n + z * z / (4.0 * n * n)) / (1.0 + z * z / n);
    out.share = p;
    out.low = count == 0 ? 0.0 : middle - half;
    out.high = count == of ? 1.0 : middle + half;
    return out;
}

std::uint64_t most_spread_samples(std::size_t figures) {
    return spread_memory_limit / (sizeof(double) * std::max<std::size_t>(figures, 1));
}

struct SpreadStudy::Work {
    Work(const StudyInput& study, const Design& design, SpreadTable spreads, StateId state)
        : input(study), table(std::move(spreads)), plan(planned(study, design)),
          nominal(plan, table, state) {}

    static StudyPlan planned(const StudyInput& input, const Design& design) {
        StudyPlan out(input);
        out.set_design(design);
        return out;
    }

    StudyInput input;
    SpreadTable table;
    StudyPlan plan;
    SpreadNominal nominal;
};

SpreadStudy::SpreadStudy(const StudyInput& input, const Design& design, SpreadTable table,
                         StateId state)
    : work_(std::make_unique<Work>(input, design, std::move(table), state)) {}
SpreadStudy::~SpreadStudy() = default;
SpreadStudy::SpreadStudy(SpreadStudy&&) noexcept = default;
SpreadStudy& SpreadStudy::operator=(SpreadStudy&&) noexcept = default;

StateSolution SpreadStudy::nominal() const {
    return SpreadSampler(work_->nominal).nominal();
}

StateSolution SpreadStudy::sample(std::uint64_t seed, std::uint64_t index) const {
    return SpreadSampler(work_->nominal).sample(seed, index);
}

StateSolution SpreadStudy::sample_from_rest(std::uint64_t seed, std::uint64_t index) const {
    return SpreadSampler(work_->nominal).sample_from_rest(seed, index);
}

SpreadResult SpreadStudy::run(const SpreadOrder& order) const {
    return SpreadRun(work_->input, work_->nominal, order).run();
}

} // namespace loomwright
