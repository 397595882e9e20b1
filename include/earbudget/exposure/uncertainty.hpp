#pragma once

#include <optional>

#include "earbudget/exposure/criterion.hpp"

namespace earbudget {

/// The probability of being over that may not be exceeded for a verdict of "within": 5 %.
inline constexpr double accepted_probability_over = 0.05;

/// Probability that the true exposure is above a criterion, from the standard uncertainties of the
/// parts' levels. The errors are normal and shift all levels together (one instrument, one
/// position), so that the exposure is a rising function of one standard normal variable and its
/// probability exact: no share of the error is averaged away.
///
/// None where a part that holds more than `negligible_share` of the sound energy has no stated
/// uncertainty, or without sound.
[[nodiscard]] std::optional<double> probability_over(const Criterion& criterion,
                                                     ExposureParts parts);

/// The number of standard uncertainties that the shared error exceeds with 5 % probability: an
/// exposure that is within when raised by so much is over with at most that probability.
[[nodiscard]] double confident_deviations();

/// Whether the criterion is exceeded with all levels raised by `deviations` of their uncertainty.
[[nodiscard]] bool is_over_when_raised(const Criterion& criterion, ExposureParts parts,
                                       double deviations);

/// Parts with less than this share of the sound energy may lack an uncertainty.
inline constexpr double negligible_share = 0.01;

/// Whether the uncertainty of every part that matters is stated.
[[nodiscard]] bool has_stated_uncertainty(ExposureParts parts);

}  // namespace earbudget
