#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <vector>

#include "earbudget/exposure/limit.hpp"
#include "earbudget/uncertainty/day_errors.hpp"
#include "uncertainty/monte_carlo_limits.hpp"

namespace earbudget {

[[nodiscard]] constexpr double squared(double value) { return value * value; }

/// What the probability of being over a limit is at most, whatever the errors have in common, without
/// any draw: of most days that are far within, all that is asked.
///
/// Markov's inequality for powers: for k ≥ 1 and what is used X = Σ tᵢ·rᵢ of a limit of 1,
///
///   P(X > 1) ≤ E[Xᵏ] ≤ Aᵏ⁻¹ · Σ tᵢ·r̄ᵢ·E[(rᵢ/r̄ᵢ)ᵏ],   A = Σ tᵢ·r̄ᵢ,
///
/// the second since the k-th power of a weighted mean is at most the mean of the powers. Each rate
/// is a sum of energies with normal errors in decibels, to which the same applies once more, down to
/// the octave bands that reach the ear; of those E[exp(κ·x)] = exp(κ²σ²/2). Every k gives a bound; the
/// smallest of some counts. What lowers a rate (a reduction held at 0, a threshold) is left out. A
/// loudest part is over with at most the sum of the probabilities of all parts; an hour holds of each
/// part no more than fits in it. (Derived; the inequalities from memory.)
class ProbabilityBounds {
  public:
    /// The errors must outlive this.
    ProbabilityBounds(const DayErrors& errors, std::vector<ExposureLimit> limits);

    /// Of one limit, with a reduction on top of what is worn or could be; at most 1.
    [[nodiscard]] double most(std::size_t limit, const SegmentTimes& times,
                              LevelDifference added) const;

    /// Of any of the segments alone, as a limit on the loudest part asks.
    [[nodiscard]] double most_of_loudest_part(std::size_t limit) const;

  private:
    static constexpr std::size_t powers = 7;
    using Powers = std::array<double, powers>;

    /// A level as a rate: what it is on average, for any fixed errors, and E[(rate/mean)ᵏ].
    struct Rate {
        double mean = 0.0;
        Powers moments = {};
    };
    /// What a segment adds in a second, outside and under what is worn; one growth.
    struct Rates {
        Rate outside, worn;
        Powers held = {};  ///< the moments of `worn` with its reduction held at 0
        double time_with = 0.0, time_without = 1.0;  ///< of the mean
        Powers with = {}, without = {};              ///< moments of those parts of the time
        Powers duration = {};
        bool added_counts = false;  ///< a reduction on top lowers all that is under the protector
    };
    struct OfGrowth {
        double growth;
        std::vector<Rates> of_segments;
    };

    [[nodiscard]] Rates rates_of(const Segment& segment, double growth) const;
    [[nodiscard]] const OfGrowth& of_growth(double growth) const;
    /// What segments use of a limit but for its factor.
    struct Amount {
        double mean = 0.0;
        Powers moments = {};  ///< times the mean
    };
    void add(const Rates& rates, bool at_ear, double seconds, double added, Amount& amount) const;
    [[nodiscard]] static double over(const ExposureLimit& limit, const Amount& amount);
    [[nodiscard]] double above_ceiling(const ExposureLimit& limit, const std::vector<Rates>& rates,
                                       const std::vector<double>& seconds, double added) const;

    const DayErrors& errors_;
    std::vector<ExposureLimit> limits_;
    mutable std::vector<OfGrowth> growths_;
};

}  // namespace earbudget
