#pragma once

#include <numbers>
#include <optional>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/exposure/criterion.hpp"

namespace earbudget {

/// Of what adds up by energy, for each decibel: 10^(L/10) = exp(growth·L).
inline constexpr double growth_of_energy = std::numbers::ln10 / 10.0;

/// Over which time LAeq,1h is an average.
inline constexpr Seconds averaging_hour = Hours(1);

/// What is used of a limit, 1 being all of it, may be this much without being over it: the slack is
/// for arithmetic.
inline constexpr double most_permitted = 1.0 + arithmetic_slack;

/// Whether what is used of a limit is more than it permits, of one number or of each of an array.
template <class Used>
[[nodiscard]] auto is_above_limit(const Used& used) {
    return used > most_permitted;
}

/// What is left of limits of which so much is used, below 0 where they are exceeded.
template <class Used>
[[nodiscard]] auto left_of_limit(const Used& used) {
    return most_permitted - used;
}

/// Whether a level is above one that no level may exceed, but for arithmetic.
template <class Quantity>
[[nodiscard]] constexpr bool is_above(Level<Quantity> level, Level<Quantity> highest) {
    return level > highest + level_slack;
}

/// The arithmetic of a criterion: what a day uses of its limit, 1 being all of it. A sum adds up
/// what each second at a level uses of it; of a highest hour and a loudest part it is what their
/// level is of the limit, by energy. Ceilings are apart (forbids).
///
/// The criterion must outlive it.
class ExposureLimit {
  public:
    /// `days`: by what the times of a day are multiplied (Criterion::days_counted).
    explicit ExposureLimit(const Criterion& criterion, double days = 1.0);

    [[nodiscard]] const Criterion& criterion() const { return *criterion_; }
    [[nodiscard]] Accumulation accumulation() const { return accumulation_; }
    [[nodiscard]] bool is_sum() const { return accumulation_ == Accumulation::Sum; }

    /// The same limit on the loudest part: no highest hour uses more of it.
    [[nodiscard]] ExposureLimit of_loudest_part() const;

    /// The same limit without its threshold: what is used of it grows smoothly with levels.
    [[nodiscard]] ExposureLimit without_threshold() const;

    /// What a second at a level uses of a sum; of others, what the level is of the limit. 0 without
    /// sound and below the threshold of a dose.
    [[nodiscard]] double used_by(std::optional<LevelA> level) const;

    /// used_by is used_at_reference·exp(growth·(L − reference)), the threshold apart: levels that
    /// are known as such exponentials, as those of draws, need nothing but this factor.
    static constexpr LevelA reference{85.0};
    [[nodiscard]] double used_at_reference() const { return used_at_reference_; }
    [[nodiscard]] double growth() const { return growth_; }  ///< for each decibel
    [[nodiscard]] const std::optional<LevelA>& threshold() const { return threshold_; }

    /// What the parts of a day use.
    [[nodiscard]] double used(ExposureParts parts) const;

    /// The value of the parts in the criterion's unit; none for a level without sound.
    [[nodiscard]] std::optional<double> value(ExposureParts parts) const;

    /// The value that uses so much, which must be above 0 for a level; and what a value uses.
    [[nodiscard]] double value_of(double used) const;
    [[nodiscard]] double used_at(std::optional<double> value) const;

    /// By how much all levels must rise to use all of it, where so much, above 0, is used; a
    /// threshold is left aside.
    [[nodiscard]] LevelDifference margin_of(double used) const;

    /// The limit of a sum in the unit that its sums are printed in: percent of a dose, or
    /// Σ t·10^(L/10) in seconds.
    [[nodiscard]] double as_sum() const;

    /// Above this no time is permitted: a ceiling, or the limit on the loudest part; none where the
    /// criterion has no such level.
    [[nodiscard]] std::optional<LevelA> highest_permitted() const;
    [[nodiscard]] bool forbids(std::optional<LevelA> level) const;

    /// Whether a level is above the ceiling.
    [[nodiscard]] bool is_above_ceiling(std::optional<LevelA> level) const;

  private:
    const Criterion* criterion_;
    double days_;
    Accumulation accumulation_;
    double growth_;
    double used_at_reference_;
    std::optional<LevelA> threshold_;
};

/// The value that a criterion limits, in its unit; none for a level without sound. The parts are
/// those of a day, their times multiplied by Criterion::days_counted.
[[nodiscard]] std::optional<double> value_of(const Criterion& criterion, ExposureParts parts);

/// By how much all levels may rise together before the criterion is exceeded, or must fall when it
/// is negative, threshold and ceiling counted; none without sound.
[[nodiscard]] std::optional<LevelDifference> margin_of(const Criterion& criterion,
                                                       ExposureParts parts);

/// True when the exposure is above the limit or a level above the ceiling. A value equal to the
/// limit but for arithmetic is within.
[[nodiscard]] bool is_over(const Criterion& criterion, ExposureParts parts);

}  // namespace earbudget
