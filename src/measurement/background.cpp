#include "earbudget/measurement/background.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace earbudget {

namespace {

using Limits = BackgroundLimits;

/// Corrects levels one by one and remembers what could not be.
class Subtraction {
  public:
    template <quantity::MeanSquare Q>
    std::optional<Level<Q>> operator()(std::optional<Level<Q>> measured,
                                       const std::optional<Level<Q>>& background) {
        close_ = false;
        if (!measured || !background) return measured;
        const LevelDifference distance = *measured - *background;
        if (distance >= Limits::no_correction) return measured;
        if (distance < Limits::not_valid || leave_all_) {
            close_ = true;
            return measured;
        }
        corrected_ = true;
        // No level below what a microphone hears.
        return std::max(without_background(*measured, *background), Level<Q>(lowest_level_dB));
    }

    /// From here on every level that could be corrected is left as measured, and counts as close.
    void leave_all() { leave_all_ = true; }
    void leave_none() { leave_all_ = false; }

    /// Whether the last level was too close to its background.
    [[nodiscard]] bool close() const { return close_; }
    /// Whether any level was changed.
    [[nodiscard]] bool corrected() const { return corrected_; }

  private:
    bool leave_all_ = false;
    bool close_ = false;
    bool corrected_ = false;
};

template <quantity::MeanSquare Q>
void subtract(Subtraction& subtraction, OctaveLevels<Q>& levels, const OctaveLevels<Q>& background,
              std::vector<std::string>* close) {
    for (const OctaveBand band : octave_bands) {
        const auto level = subtraction(levels.at(band), background.at(band));
        if (level) levels.set(band, *level);
        if (close && subtraction.close()) close->push_back(fmt::format("{} Hz", name_of(band)));
    }
}

Finding too_close(const BackgroundEffect& effect) {
    return {QualityCode::BackgroundTooClose,
            fmt::format("Less than {:.0f} dB above the background, or used together with such a "
                        "level, so that these are upper bounds, as measured: {}. Record closer to "
                        "the source or in a quieter room.",
                        Limits::not_valid.dB(), fmt::join(effect.upper_bounds, ", "))};
}

}  // namespace

BackgroundEffect subtract_background(ChannelLevels& levels, const ChannelLevels& background) {
    BackgroundEffect effect;
    Subtraction subtraction;
    if (levels.LAeq && background.LAeq) effect.distance = *levels.LAeq - *background.LAeq;
    levels.LAeq = subtraction(levels.LAeq, background.LAeq);
    effect.LAeq_is_upper_bound = subtraction.close();
    if (subtraction.close()) effect.upper_bounds.insert(effect.upper_bounds.end(), {"LAeq", "LAE"});
    // Levels that are used together must not contradict each other: LC − LA would come out too low
    // with LA as measured and LC corrected, and LC may not be above LZ.
    if (subtraction.close()) subtraction.leave_all();
    if (levels.LAeq && levels.LAE) levels.LAE = sound_exposure_level(*levels.LAeq, levels.duration);
    levels.LCeq = subtraction(levels.LCeq, background.LCeq);
    if (subtraction.close()) effect.upper_bounds.emplace_back("LCeq");
    const bool Z_too = subtraction.close();
    if (Z_too) subtraction.leave_all();
    levels.LZeq = subtraction(levels.LZeq, background.LZeq);
    if (subtraction.close()) effect.upper_bounds.emplace_back("LZeq");
    if (Z_too && !effect.LAeq_is_upper_bound) subtraction.leave_none();
    subtract(subtraction, levels.octave, background.octave, &effect.upper_bounds);
    subtract(subtraction, levels.octave_A, background.octave_A, nullptr);
    for (std::size_t n = 0; n < third_octave_count; ++n) {
        levels.third_octave[n] = subtraction(levels.third_octave[n], background.third_octave[n]);
        if (subtraction.close()) {
            effect.upper_bound_thirds.push_back(fmt::format("{} Hz", third_octave_names[n]));
        }
    }
    effect.corrected = subtraction.corrected();
    if (!effect.upper_bounds.empty()) levels.findings.push_back(too_close(effect));
    return effect;
}

}  // namespace earbudget
