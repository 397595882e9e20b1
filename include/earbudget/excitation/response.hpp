#pragma once

#include <complex>
#include <cstddef>
#include <optional>
#include <vector>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/trace.hpp"
#include "earbudget/acoustics/units.hpp"
#include "earbudget/excitation/waveform.hpp"

namespace earbudget {

inline constexpr Formula formula_of_response{
    "P(f) = Σ H(f)·G(f) over x, y, z",
    "linear in the gradients, axes independent: Magn Reson Med 2013, PMID 23757158 (abstract)"};

/// What one axis does at one frequency.
struct ResponseLine {
    std::complex<double> Pa_per_T_per_m;
    double coherence = 0.0;  ///< partial: of what the other axes leave, 0 to 1
};

/// What one axis does.
struct AxisResponse {
    /// By multiples of the bin width, from 0 on; none where the drive had no energy, the coherence
    /// was low or the axes could not be told apart.
    std::vector<std::optional<ResponseLine>> lines;
    bool driven = false;     ///< whether any recording's waveform used it
    bool separable = true;   ///< whether it could be told apart from the others
    unsigned time_base = 0;  ///< phases of axes with the same number belong to one time
};

/// The least uncertainty of a prediction, dB: axes together leave 4 to 32 % of the energy
/// unexplained (Magn Reson Med 2013, PMID 23757158), +1.6 to −7.2 dB at worst. Own choice.
inline constexpr LevelDifference least_uncertainty_of_prediction{2.0};
/// That of a response that fewer than three recordings, each held back in turn, tell about. Own
/// choice: what a guessed level has.
inline constexpr LevelDifference uncertainty_of_untried_response{5.0};
inline constexpr std::size_t recordings_for_a_trial = 3;

/// A difference a third-octave band, where there is one.
using ThirdOctaveDifferences = std::array<std::optional<LevelDifference>, third_octave_count>;

/// How far a prediction may be off, k = 1.
struct ResponseUncertainty {
    LevelDifference LAeq = uncertainty_of_untried_response;
    ThirdOctaveDifferences third_octave = {};  ///< none where nothing was compared
};

/// The sound of a scanner for its gradients: pressure in the bore at one place, by axis.
struct ScannerResponse {
    Frequency bin_width{0.0};
    std::array<AxisResponse, gradient_axes> axes;
    ResponseUncertainty uncertainty;
};

/// Magnitude that an unknown line of each of so many bins is not expected to exceed, Pa per T/m:
/// the largest known of the axis within an octave on either side, else of all axes there, else of
/// all that is known. Own choice; 0 where nothing at all is known.
[[nodiscard]] std::vector<double> largest_expected(const ScannerResponse& response,
                                                   std::size_t axis, std::size_t bins);

}  // namespace earbudget
