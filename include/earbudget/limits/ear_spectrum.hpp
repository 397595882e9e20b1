#pragma once

#include <optional>
#include <vector>

#include "earbudget/limits/assessment.hpp"

namespace earbudget {

/// The octave bands that are known of a row's sound, and by the octave method what comes through
/// what is worn. At the ear only while worn and well seated, and where the bands sum to the row's
/// level there: other methods, a poor fit and a background that nothing reduces say nothing of
/// bands. Empty without bands.
[[nodiscard]] std::vector<EarBandLevel> ear_spectrum(const ExposureRow& row);

/// Those of the sequence that has most of the day's sound energy at the ear; none where none has
/// any.
[[nodiscard]] std::optional<EarSpectrum> spectrum_with_most_energy(const PersonResult& result);

/// The row of the sequence that has most of the day's sound energy at the ear; null where none has
/// any. Points into the result.
[[nodiscard]] const ExposureRow* row_with_most_energy(const PersonResult& result);

}  // namespace earbudget
