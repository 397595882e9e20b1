#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/trace.hpp"
#include "earbudget/measurement/meters/channel_levels.hpp"

namespace earbudget {

/// When a level measured together with its background can be corrected for it (practice of ISO 3744
/// and ISO 1996-2; memory).
struct BackgroundLimits {
    /// From this far above the background on a level is as good as free of it.
    static constexpr LevelDifference no_correction{15.0};
    /// Closer than this the correction is not valid: the level as measured is an upper bound.
    static constexpr LevelDifference not_valid{3.0};
};

inline constexpr Formula formula_of_background{
    "L = 10 lg(10^(L1/10) − 10^(L2/10)) for 3 dB <= L1 − L2 < 15 dB, else as measured; "
    "never below −20 dB",
    "practice of ISO 3744 and ISO 1996-2 (memory, editions not confirmed)"};

/// A level of a recording that a background is taken off.
struct CorrectedLevel {
    enum class Kind { LAeq, LCeq, LZeq, Octave, OctaveA, ThirdOctave };
    Kind kind;
    std::string_view band = {};  ///< mid-band frequency, "63"; empty for what has none
};

/// One level with its background taken off, or left as measured.
struct BackgroundCorrection {
    CorrectedLevel level;
    double measured_dB = 0.0;
    double background_dB = 0.0;
    double result_dB = 0.0;
};

/// What taking a background off did.
struct BackgroundEffect {
    bool corrected = false;                 ///< some level is lower than measured
    std::vector<std::string> upper_bounds;  ///< levels that are upper bounds: "LAeq", "63 Hz", …
    std::vector<std::string> upper_bound_thirds;  ///< one-third-octave bands, likewise
    bool LAeq_is_upper_bound = false;
    /// LAeq as measured above the background's; none where either is missing.
    std::optional<LevelDifference> distance;
    std::vector<BackgroundCorrection> corrections;  ///< of every level that both have
};

/// A mean-square level without its background, 10 lg(10^(L1/10) − 10^(L2/10)).
/// Requires `measured` to be above `background`.
template <quantity::MeanSquare Q>
[[nodiscard]] Level<Q> without_background(Level<Q> measured, Level<Q> background) {
    return measured + difference_of_energy_ratio(1.0 - energy_ratio(background - measured));
}

/// Takes the background off LAeq, LCeq, LZeq and every band, each by the limits above; LAE follows
/// LAeq. Where LAeq is too close nothing is taken off at all, where LCeq is, nothing off LZeq:
/// levels that methods use together must not contradict each other. Maxima, minima, percentiles and
/// peaks stay as measured. Adds a finding BackgroundTooClose where something is an upper bound.
/// Both were measured with one calibration.
BackgroundEffect subtract_background(ChannelLevels& levels, const ChannelLevels& background);

}  // namespace earbudget
