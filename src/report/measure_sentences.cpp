#include <algorithm>
#include <cmath>
#include <functional>
#include <span>

#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"
#include "report/sentences.hpp"
#include "report/text_style.hpp"

namespace earbudget::report {

namespace {

/// Without a minus before nothing.
double to_a_hundredth(double decibels) { return std::round(decibels * 100.0) / 100.0 + 0.0; }

std::string what_was_taken_off(const BackgroundEffect& effect) {
    if (effect.LAeq_is_upper_bound) return "too close to take off: LAeq is an upper bound";
    if (effect.corrected) return "taken off where it counts";
    return effect.upper_bounds.empty() ? "too far below to count" : "too close to take off";
}

std::string_view in_short(QualityCode why) {
    switch (why) {
        case QualityCode::DataBeyondTheHeader:
            return "a recording is not whole";
        case QualityCode::Drift:
            return "the calibration drifted";
        case QualityCode::LevelOutOfRange:
            return "too loud to be true";
        case QualityCode::NearNoiseFloor:
            return "silent, or fainter than any microphone hears";
        default:
            return "no calibration";
    }
}

}  // namespace

std::string why_no_level_sentence(const MeasuredChannel& channel) {
    if (!channel.why_no_level) return "";
    return fmt::format("{}, so no {}", in_short(channel.why_no_level->code),
                       channel.levels.LZeq ? "LAeq" : "decibels");
}

std::string calibration_sentence(const MeasuredChannel& channel) {
    if (!channel.calibration) return "";
    const double level = channel.calibration->full_scale_level().dB();
    if (!channel.tone)
        return fmt::format("full-scale sine {:.2f} dB, {}", level, channel.calibrated_how);
    const std::string drift =
        channel.drift ? fmt::format("; {:+.2f} dB afterwards", to_a_hundredth(channel.drift->dB()))
                      : std::string();
    return fmt::format("full-scale sine {:.2f} dB, from {} of calibrator's {:g} dB at {:.1f} Hz{}",
                       level, table_time(channel.tone->steady),
                       channel.calibrator_level.value().dB(), channel.tone->frequency.Hz(), drift);
}

std::string tones_sentence(const MeasuredChannel& channel) {
    constexpr std::size_t most = 10;
    if (channel.tones.empty()) return "tones: none stands out";
    auto tones = channel.tones;
    std::ranges::stable_sort(tones, std::greater{},
                             [](const MeasuredTone& tone) { return tone.level.dB(); });
    const auto words = [](const MeasuredTone& tone) {
        const std::string place = tone.harmonic == 0 ? ""
                                  : tone.harmonic == 1
                                      ? ", fundamental"
                                      : fmt::format(", harmonic {}", tone.harmonic);
        return fmt::format("{:.1f} Hz ({:.1f} dB{})", tone.frequency.Hz(), tone.level.dB(), place);
    };
    const std::string more =
        tones.size() > most ? fmt::format("; and {} fainter", tones.size() - most) : std::string();
    const auto loudest = std::span(tones).first(std::min(most, tones.size()));
    return "tones: " + joined(loudest, "; ", words) + more;
}

std::string background_sentence(const std::optional<MeasuredBackground>& background) {
    if (!background) return "";
    const std::string strokes = background->rhythm
                                    ? fmt::format("whole strokes of the pump, {:.2f} a second",
                                                  1.0 / background->rhythm->period.count())
                                    : std::string("all of it");
    return fmt::format("background {} dB(A), averaged over {} ({}); {}",
                       level_or_none(background->LAeq), table_time(background->averaged), strokes,
                       what_was_taken_off(background->effect));
}

std::string proposed_uncertainty_sentence(const std::optional<ProposedUncertainty>& uncertainty) {
    if (!uncertainty) return "";
    return fmt::format("standard uncertainty of LAeq proposed: {:.2f} dB (k = 1), from: {}",
                       uncertainty->combined().dB(),
                       joined(uncertainty->parts, "; ", [](const UncertaintyPart& part) {
                           return fmt::format("{} {:.2f}", part.name, part.standard.dB());
                       }));
}

std::string_view usability_words(const SequenceRun& run) {
    return !run.long_enough ? "too short to stand for the sequence"
           : !run.steady    ? "not steady: look before you use it"
                            : "can stand for the sequence";
}

}  // namespace earbudget::report
