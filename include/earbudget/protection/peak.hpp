#pragma once

#include <optional>

#include "earbudget/acoustics/formula.hpp"
#include "earbudget/acoustics/level_difference.hpp"
#include "earbudget/protection/protector.hpp"

namespace earbudget {

inline constexpr Formula formula_of_peak_reduction{
    "reduction = M − Ks; of low-frequency noise L − Ks − 5 dB; not stated which: the smaller of "
    "both; at least 0",
    "DGUV Information 212-024, annex 1 (methods from EN 458; editions not confirmed); Ks by TRLV "
    "Lärm part 3, DGUV Regel "
    "112-194; the smaller where not stated and the 0: this program's own"};

/// What is left of a C-weighted peak under a protector, and how it came about.
struct PeakReduction {
    /// Which of the two formulas counts.
    enum class Form { Usual, LowFrequency, SmallerOfBoth };

    LevelDifference M;
    LevelDifference L;
    bool from_octaves = false;  ///< computed by ISO 4869-2 and rounded as a label, not stated
    LevelDifference Ks;         ///< practice deduction of the type, whatever the policy's derating
    Form form = Form::SmallerOfBoth;
    LevelDifference reduction{};  ///< of LC,peak, at least 0
};

/// By how much a well-seated protector that is worn all the time lowers LC,peak. `low_frequency`
/// is whether the noise is stated to be so; none: not stated. H, M and L count as for 84 % of
/// people, stated or computed from octave-band data, since Ks is made for labels.
///
/// None for two worn together, and where H, M and L are neither stated nor to be computed.
[[nodiscard]] std::optional<PeakReduction> peak_reduction(const AttenuationData& worn,
                                                          std::optional<bool> low_frequency);

}  // namespace earbudget
