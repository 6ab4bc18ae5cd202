// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/chart.hpp"

#include <string>
#include <utility>
#include <vector>

namespace loomwright::draw {

struct Tick {
    double value = 0.0;
    std::string label;
};

/// Where values stand on an axis, with the places that are numbered.
class Scale {
public:
    Scale(ChartScale kind, double low, double high) : kind_(kind), low_(low), high_(high) {}

    /// 0 at the low end, 1 at the high end; beyond both outside of the axis.
    [[nodiscard]] double share(double value) const;
    [[nodiscard]] bool can_show(double value) const;
    [[nodiscard]] ChartScale kind() const { return kind_; }
    [[nodiscard]] double low() const { return low_; }
    [[nodiscard]] double high() const { return high_; }

    /// At most `most` places (but no fewer than two) at round numbers, from low to high.
    [[nodiscard]] std::vector<Tick> ticks(std::size_t most) const;
    /// Places between the decades of a logarithmic axis, for ticks without numbers; none where it
    /// has more than so many decades.
    [[nodiscard]] std::vector<double> minor_ticks(int most_decades = 6) const;
    /// The labels are in units of ten to this power.
    [[nodiscard]] int power() const;

private:
    [[nodiscard]] std::vector<Tick> linear_ticks(std::size_t most) const;
    [[nodiscard]] std::vector<Tick> logarithmic_ticks(std::size_t most) const;

    ChartScale kind_;
    double low_;
    double high_;
};

/// True for a value that an axis of this kind can hold.
[[nodiscard]] bool is_shown(ChartScale kind, double value);

/// The axis for these values; widened to round numbers where `is_rounded`, else as wide as they
/// are.
[[nodiscard]] Scale scale_for(const ChartAxis& axis, const std::vector<double>& values,
                              bool is_rounded);

/// "Battery current, A", with the power of ten where the labels leave it out.
[[nodiscard]] std::string axis_title(const ChartAxis& axis, const Scale& scale);

} // namespace loomwright::draw
