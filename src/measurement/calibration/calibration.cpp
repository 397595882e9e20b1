#include "earbudget/measurement/calibration/calibration.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

#include <fmt/format.h>

#include "earbudget/acoustics/units.hpp"
#include "earbudget/measurement/meters/channel_reading.hpp"

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

namespace {

using EffectLimits = BackgroundLimits;

using Kind = CorrectedLevel::Kind;

/// Whether a level may be corrected, or must stay as measured beside another that is too close.
enum class Correction { Permitted, LeftOut };

/// Corrects levels one by one and remembers what was done.
class Subtraction {
  public:
    template <quantity::MeanSquare Q>
    std::optional<Level<Q>> operator()(std::optional<Level<Q>> measured,
                                       const std::optional<Level<Q>>& background,
                                       Correction correction, CorrectedLevel level) {
        is_bound_ = false;
        if (!measured || !background) return measured;
        const Level<Q> result = lowered(*measured, *background, correction);
        done_.push_back({level, measured->dB(), background->dB(), result.dB()});
        return result;
    }

    /// Whether the last level stayed as measured and is an upper bound.
    [[nodiscard]] bool is_bound() const { return is_bound_; }
    /// What a level that may not contradict the last one is to be given.
    [[nodiscard]] Correction for_its_company() const {
        return is_bound_ ? Correction::LeftOut : Correction::Permitted;
    }
    /// Whether any level was changed.
    [[nodiscard]] bool corrected() const { return corrected_; }
    /// What was done to each level.
    [[nodiscard]] std::vector<BackgroundCorrection>& done() { return done_; }

  private:
    template <quantity::MeanSquare Q>
    Level<Q> lowered(Level<Q> measured, Level<Q> background, Correction correction) {
        const LevelDifference distance = measured - background;
        if (distance >= EffectLimits::no_correction) return measured;
        if (distance < EffectLimits::not_valid || correction == Correction::LeftOut) {
            is_bound_ = true;
            return measured;
        }
        corrected_ = true;
        // No level below what a microphone hears.
        return std::max(without_background(measured, background), Level<Q>(lowest_level_dB));
    }

    bool is_bound_ = false;
    bool corrected_ = false;
    std::vector<BackgroundCorrection> done_;
};

template <quantity::MeanSquare Q>
void subtract(Subtraction& subtraction, OctaveLevels<Q>& levels, const OctaveLevels<Q>& background,
              Correction correction, std::vector<std::string>* bounds) {
    for (const OctaveBand band : octave_bands) {
        const auto level = subtraction(levels.at(band), background.at(band), correction,
                                       {bounds ? Kind::Octave : Kind::OctaveA, name_of(band)});
        if (level) levels.set(band, *level);
        if (bounds && subtraction.is_bound()) {
            bounds->push_back(fmt::format("{} Hz", name_of(band)));
        }
    }
}

Message too_close(const BackgroundEffect& effect) {
    if (effect.distance && *effect.distance < -EffectLimits::not_valid)
        return say<FindingPhrase::LouderBackground>(-*effect.distance);
    return say<FindingPhrase::UpperBounds>(EffectLimits::not_valid, effect.upper_bounds);
}

}  // namespace

BackgroundEffect subtract_background(ChannelLevels& levels, const ChannelLevels& background) {
    BackgroundEffect effect;
    Subtraction subtraction;
    if (levels.LAeq && background.LAeq) effect.distance = *levels.LAeq - *background.LAeq;
    levels.LAeq = subtraction(levels.LAeq, background.LAeq, Correction::Permitted, {Kind::LAeq});
    effect.LAeq_is_upper_bound = subtraction.is_bound();
    if (effect.LAeq_is_upper_bound) effect.upper_bounds = {"LAeq", "LAE"};
    if (levels.LAeq && levels.LAE) levels.LAE = sound_exposure_level(*levels.LAeq, levels.duration);
    // LC − LA would come out too low with LA as measured and LC corrected; LC may not be above LZ.
    const Correction with_LA = subtraction.for_its_company();
    levels.LCeq = subtraction(levels.LCeq, background.LCeq, with_LA, {Kind::LCeq});
    if (subtraction.is_bound()) effect.upper_bounds.emplace_back("LCeq");
    levels.LZeq =
        subtraction(levels.LZeq, background.LZeq, subtraction.for_its_company(), {Kind::LZeq});
    if (subtraction.is_bound()) effect.upper_bounds.emplace_back("LZeq");
    subtract(subtraction, levels.octave, background.octave, with_LA, &effect.upper_bounds);
    subtract(subtraction, levels.octave_A, background.octave_A, with_LA, nullptr);
    for (std::size_t n = 0; n < third_octave_count; ++n) {
        levels.third_octave[n] = subtraction(levels.third_octave[n], background.third_octave[n],
                                             with_LA, {Kind::ThirdOctave, third_octave_names[n]});
        if (subtraction.is_bound()) {
            effect.upper_bound_thirds.push_back(fmt::format("{} Hz", third_octave_names[n]));
        }
    }
    effect.corrected = subtraction.corrected();
    effect.corrections = std::move(subtraction.done());
    if (!effect.upper_bounds.empty())
        levels.findings.push_back({QualityCode::BackgroundTooClose, too_close(effect)});
    return effect;
}

}  // namespace earbudget
