#pragma once

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/trace.hpp"
#include "earbudget/measurement/calibration/calibrator_tone.hpp"

namespace earbudget {

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

}  // namespace earbudget
