#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/trace.hpp"
#include "earbudget/measurement/calibration/calibrator_tone.hpp"

namespace earbudget {

struct ChannelLevels;  // measurement/meters/channel_reading.hpp

inline constexpr Formula formula_of_calibration{
    "full-scale level = calibrator's level − level of its tone re full scale",
    "IEC 60942:2017 (calibrator; memory); definition"};
inline constexpr Formula formula_of_stated_calibration{
    "full-scale level as stated, or from sensitivity: 20 lg(U/√2 / S / 20 µPa), U peak volts at "
    "full scale, S in V/Pa",
    "definition of sensitivity"};

/// What a digital level means in air.
class Calibration {
  public:
    /// From the level of a full-scale sine. Throws std::invalid_argument unless it is finite.
    explicit Calibration(LevelZ full_scale_sine);

    /// From a calibrator's recorded tone and the level that the calibrator produces.
    [[nodiscard]] static Calibration from_tone(LevelFS recorded, LevelZ produced);

    /// From the sensitivity of the microphone in mV/Pa and the peak voltage at full scale.
    /// Throws std::invalid_argument unless both are finite and above zero.
    [[nodiscard]] static Calibration from_sensitivity(double millivolts_per_pascal,
                                                      double full_scale_volts);

    /// Root-mean-square level of a full-scale sine.
    [[nodiscard]] LevelZ full_scale_level() const { return full_scale_sine_; }

    /// The one place where a level of a recording becomes a level in air. `Quantity` is what
    /// was measured: quantity::AWeighted, quantity::CWeightedPeak, …
    template <class Quantity>
    [[nodiscard]] Level<Quantity> level(LevelFS recorded) const {
        return Level<Quantity>(full_scale_sine_.dB() + recorded.dB());
    }

  private:
    LevelZ full_scale_sine_;
};

inline constexpr Formula formula_of_drift{"drift = tone after − tone before",
                                          "ISO 9612:2009 (memory)"};

/// How much higher the calibrator's tone was recorded after a measurement than before.
[[nodiscard]] inline LevelDifference drift_between(const CalibratorTone& before,
                                                   const CalibratorTone& after) {
    return after.level - before.level;
}

/// Whether a drift is within what is accepted; to a hundredth of a decibel, in which it is stated.
[[nodiscard]] inline bool is_accepted_drift(LevelDifference drift) {
    constexpr double half_a_hundredth = 0.005;
    return drift.dB() <= greatest_drift.dB() + half_a_hundredth &&
           drift.dB() >= -greatest_drift.dB() - half_a_hundredth;
}

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
