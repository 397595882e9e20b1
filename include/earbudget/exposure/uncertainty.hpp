#pragma once

#include <optional>

#include "earbudget/acoustics/formula.hpp"
#include "earbudget/exposure/criterion.hpp"

namespace earbudget {

/// The probability of being over that may not be exceeded for a verdict of "within": 5 %.
inline constexpr double accepted_probability_over = 0.05;

/// Whether a probability is above that, not merely by its arithmetic.
[[nodiscard]] constexpr bool is_above_accepted(double probability) {
    return probability > accepted_probability_over + 1e-9;
}

inline constexpr Formula formula_of_probability{
    "P = Φ(−z), where the value reaches the limit with every level raised to Li + z·ui",
    "ISO/IEC Guide 98-3 (memory), one normal error shared by all levels; derived"};

/// Probability that the true exposure is above a criterion, from the standard uncertainties of the
/// parts' levels. The errors are normal and shift all levels together (one instrument, one
/// position), so that the exposure is a rising function of one standard normal variable and its
/// probability exact: no share of the error is averaged away.
///
/// None where parts without a stated uncertainty matter (has_stated_uncertainty), or without sound.
[[nodiscard]] std::optional<double> probability_over(const Criterion& criterion,
                                                     ExposureParts parts);

/// The same with the z it comes from, by which number of its standard uncertainties each level must
/// rise for the criterion to be exceeded.
struct WorkedProbability {
    double probability;
    std::optional<double> deviations;  ///< none: beyond ±6, where the probability is 0 or 1
};
[[nodiscard]] std::optional<WorkedProbability> probability_over_worked(const Criterion& criterion,
                                                                       ExposureParts parts);

/// The number of standard uncertainties that the shared error exceeds with 5 % probability: an
/// exposure that is within when raised by so much is over with at most that probability.
[[nodiscard]] double confident_deviations();

/// Whether the criterion is exceeded with all levels raised by `deviations` of their uncertainty.
[[nodiscard]] bool is_over_when_raised(const Criterion& criterion, ExposureParts parts,
                                       double deviations);

/// Parts with less than this share may lack an uncertainty: of the dose or the sound energy of the
/// day, or of that which the limit permits, whichever is larger; of LAeq_loudest the sound power.
inline constexpr double negligible_share = 0.01;

/// Whether the uncertainty of every part that matters to the criterion is stated; true without
/// sound.
[[nodiscard]] bool has_stated_uncertainty(const Criterion& criterion, ExposureParts parts);

}  // namespace earbudget
