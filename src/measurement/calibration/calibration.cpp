#include "earbudget/measurement/calibration/calibration.hpp"

#include <cmath>
#include <numbers>
#include <stdexcept>

#include "earbudget/acoustics/units.hpp"

namespace earbudget {

Calibration::Calibration(LevelZ full_scale_sine) : full_scale_sine_(full_scale_sine) {
    if (!std::isfinite(full_scale_sine.dB())) {
        throw std::invalid_argument("a full-scale level that is not a number");
    }
}

Calibration Calibration::from_tone(LevelFS recorded, LevelZ produced) {
    return Calibration(LevelZ(produced.dB() - recorded.dB()));
}

Calibration Calibration::from_sensitivity(double millivolts_per_pascal, double full_scale_volts) {
    const auto usable = [](double x) { return std::isfinite(x) && x > 0.0; };
    if (!usable(millivolts_per_pascal) || !usable(full_scale_volts)) {
        throw std::invalid_argument("a sensitivity or full-scale voltage that is not above zero");
    }
    const double volts_rms = full_scale_volts / std::numbers::sqrt2;
    const Pressure pressure(volts_rms / (millivolts_per_pascal / 1000.0));
    return Calibration(level_of<quantity::Unweighted>(pressure));
}

}  // namespace earbudget
