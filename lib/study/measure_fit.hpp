// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/measure_response.hpp"

#include <numeric>
#include <span>
#include <vector>

namespace loomwright {

/// Scalar product of two columns of whitened readings.
[[nodiscard]] inline double dot(std::span<const double> a, std::span<const double> b) {
    return std::inner_product(a.begin(), a.end(), b.begin(), 0.0);
}

/// Values of a set of suspects that explain readings best.
struct SetFit {
    std::vector<std::size_t> set; ///< into Response::suspects
    std::vector<double> value;    ///< in the unit of each kind
    std::vector<double> low;      ///< 95 % of cases lie between these
    std::vector<double> high;
    std::vector<std::uint8_t> is_open; ///< a joint without an upper limit
    double chi_square = 0.0;
};

/// Fits sets of suspects to readings in a response: equations in measure_fit.cpp. Values are what
/// they are at; the response was made with each suspect at its value in `base` (0 if empty).
class SetFitter {
public:
    /// All of it outlives this. `residual` is whitened.
    SetFitter(const Response& response, std::span<const double> residual, double nominal_v,
              std::span<const double> base = {})
        : response_(response), residual_(residual), nominal_v_(nominal_v), base_(base) {}

    /// The best values; begun from `start`, or from nothing.
    [[nodiscard]] SetFit fit(std::span<const std::size_t> set,
                             std::span<const double> start = {}) const;
    /// Whitened readings that these values make, over those of the response.
    void moved(std::span<const std::size_t> set, std::span<const double> values,
               std::span<double> out) const;

private:
    struct Search;
    [[nodiscard]] double value_of(std::size_t suspect, double place) const;
    [[nodiscard]] double place_of(std::size_t suspect, double value) const;
    [[nodiscard]] double least_place(std::size_t suspect) const;
    [[nodiscard]] double most_place(std::size_t suspect) const;
    [[nodiscard]] double base(std::size_t suspect) const {
        return base_.empty() ? 0.0 : base_[suspect];
    }
    [[nodiscard]] double scale(std::size_t suspect) const;
    [[nodiscard]] double left_of(std::size_t suspect) const;
    [[nodiscard]] double chi_square(std::span<const std::size_t> set,
                                    std::span<const double> places,
                                    std::vector<double>& left) const;
    void slopes(std::span<const std::size_t> set, std::span<const double> places,
                const std::vector<double>& left, std::vector<double>& columns) const;
    void set_limits(std::span<const double> places, const std::vector<double>& columns,
                    SetFit& out) const;

    const Response& response_;
    std::span<const double> residual_;
    double nominal_v_;
    std::span<const double> base_;
};

} // namespace loomwright
