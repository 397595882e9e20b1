#include <algorithm>
#include <cmath>
#include <functional>
#include <span>

#include <fmt/format.h>

#include "report/cautions.hpp"
#include "report/measure_report.hpp"
#include "report/text_style.hpp"
#include "report/working_report.hpp"

namespace earbudget::report {

namespace {

template <class L>
std::string decibels(const std::optional<L>& level) {
    return level ? fmt::format("{:.1f}", level->dB()) : std::string("none");
}

/// Without a minus before nothing.
double to_a_hundredth(double decibels) { return std::round(decibels * 100.0) / 100.0 + 0.0; }

std::string calibration_line(const MeasuredChannel& channel) {
    if (!channel.calibration) return "  no calibration, so no decibels\n";
    const double level = channel.calibration->full_scale_level().dB();
    if (!channel.tone)
        return fmt::format("  full-scale sine {:.2f} dB, {}\n", level, channel.calibrated_how);
    const std::string drift =
        channel.drift ? fmt::format("; {:+.2f} dB afterwards", to_a_hundredth(channel.drift->dB()))
                      : std::string();
    return fmt::format("  full-scale sine {:.2f} dB, from {} of calibrator's tone at {:.1f} Hz{}\n",
                       level, table_time(channel.tone->steady), channel.tone->frequency.Hz(),
                       drift);
}

std::string level_lines(const ChannelLevels& levels) {
    return fmt::format(
        "  LAeq   {:>6} dB(A)   A-weighted, averaged over the recording\n"
        "  LCeq   {:>6} dB(C)\n"
        "  LZeq   {:>6} dB      unweighted, without a constant offset\n"
        "  LAE    {:>6} dB(A)   sound exposure level, re 1 s\n"
        "  LCpeak {:>6} dB(C)   highest pressure, between samples too\n"
        "  LZpeak {:>6} dB\n",
        decibels(levels.LAeq), decibels(levels.LCeq), decibels(levels.LZeq), decibels(levels.LAE),
        decibels(levels.LCpeak), decibels(levels.LZpeak));
}

std::string time_weighted_lines(const ChannelLevels& levels) {
    std::string text = fmt::format(
        "  LAF    {:>6} to {} dB(A), LAS {} to {} dB(A)\n"
        "  exceeded",
        decibels(levels.LAFmin), decibels(levels.LAFmax), decibels(levels.LASmin),
        decibels(levels.LASmax));
    for (std::size_t n = 0; n < exceeded_percent.size(); ++n) {
        text += fmt::format("{} LAF{} {}", n == 0 ? "" : ",", exceeded_percent[n],
                            decibels(levels.LAF_exceeded[n]));
    }
    return text + " dB(A)\n";
}

std::string third_octave_lines(const ChannelLevels& levels) {
    constexpr std::size_t in_line = 11;
    std::string text;
    for (std::size_t begin = 0; begin < third_octave_count; begin += in_line) {
        std::string bands = "  third octave, Hz";
        std::string values = "  unweighted, dB  ";
        for (std::size_t n = begin; n < std::min(begin + in_line, third_octave_count); ++n) {
            bands += fmt::format("{:>7}", third_octave_names[n]);
            values += fmt::format("{:>7}", decibels(levels.third_octave[n]));
        }
        text += bands + '\n' + values + '\n';
    }
    return text;
}

std::string tone_lines(const MeasuredChannel& channel) {
    constexpr std::size_t most = 10;
    if (channel.tones.empty()) return "  tones: none stands out\n";
    auto tones = channel.tones;
    std::ranges::stable_sort(tones, std::greater{},
                             [](const MeasuredTone& tone) { return tone.level.dB(); });
    std::string list;
    for (const MeasuredTone& tone : std::span(tones).first(std::min(most, tones.size()))) {
        const std::string place = tone.harmonic == 0 ? ""
                                  : tone.harmonic == 1
                                      ? ", fundamental"
                                      : fmt::format(", harmonic {}", tone.harmonic);
        list += fmt::format("{}{:.1f} Hz ({:.1f} dB{})", list.empty() ? "" : "; ",
                            tone.frequency.Hz(), tone.level.dB(), place);
    }
    const std::string more =
        tones.size() > most ? fmt::format("; and {} fainter", tones.size() - most) : std::string();
    return wrapped("tones: " + list + more, 2, 4);
}

std::string what_was_taken_off(const BackgroundEffect& effect) {
    if (effect.LAeq_is_upper_bound) return "too close to take off: LAeq is an upper bound";
    if (effect.corrected) return "taken off where it counts";
    return effect.upper_bounds.empty() ? "too far below to count" : "too close to take off";
}

std::string background_lines(const std::optional<MeasuredBackground>& background) {
    if (!background) return "";
    const std::string strokes = background->rhythm
                                    ? fmt::format("whole strokes of the pump, {:.2f} a second",
                                                  1.0 / background->rhythm->period.count())
                                    : std::string("all of it");
    return wrapped(fmt::format("background {} dB(A), averaged over {} ({}); {}",
                               decibels(background->LAeq), table_time(background->averaged),
                               strokes, what_was_taken_off(background->effect)),
                   2, 4);
}

std::string uncertainty_lines(const std::optional<ProposedUncertainty>& uncertainty) {
    if (!uncertainty) return "";
    std::string list;
    for (const UncertaintyPart& part : uncertainty->parts) {
        list += fmt::format("{}{} {:.2f}", list.empty() ? "" : "; ", part.name, part.standard.dB());
    }
    return wrapped(fmt::format("standard uncertainty of LAeq proposed: {:.2f} dB (k = 1), from: {}",
                               uncertainty->combined().dB(), list),
                   2, 4);
}

std::string run_lines(const MeasuredChannel& channel, Seconds from) {
    if (channel.runs.empty()) return "  runs: none found\n";
    std::string text = "  runs found      from        to    LAeq\n";
    for (std::size_t n = 0; n < channel.runs.size(); ++n) {
        const auto& [run, LAeq] = channel.runs[n];
        const char* note = !run.long_enough ? "too short to stand for the sequence"
                           : !run.steady    ? "not steady: look before you use it"
                                            : "can stand for the sequence";
        text +=
            fmt::format("  {:>4} {:>15.2f} {:>9.2f} {:>7}   {}\n", n + 1,
                        (from + run.start).count(), (from + run.end).count(), decibels(LAeq), note);
    }
    return text + "  Measure one with --from and --to, in seconds.\n";
}

std::string octave_lines(const ChannelLevels& levels) {
    std::string bands = "  octave band, Hz ";
    std::string unweighted = "  unweighted, dB  ";
    std::string weighted = "  A-weighted, dB  ";
    for (const OctaveBand band : octave_bands) {
        bands += fmt::format("{:>7}", name_of(band));
        unweighted += fmt::format("{:>7}", decibels(levels.octave.at(band)));
        weighted += fmt::format("{:>7}", decibels(levels.octave_A.at(band)));
    }
    return bands + '\n' + unweighted + '\n' + weighted + '\n';
}

std::string channel_block(const MeasuredChannel& channel, const RecordingReport& recording) {
    const bool several = recording.channels_in_file > 1;
    std::string text = several ? fmt::format("\n  channel {}\n", channel.number) : "\n";
    for (const Finding& finding : channel.levels.findings) {
        text += wrapped(fmt::format("! {}: {}", name_of(finding.code), finding.text), 2, 4);
    }
    text += calibration_line(channel);
    if (!channel.calibration || !channel.levels.LZeq) return text;
    text += background_lines(channel.background);
    if (recording.runs_asked_for) {
        text += run_lines(channel, recording.from.value_or(Seconds(0.0)));
    }
    return text + level_lines(channel.levels) + time_weighted_lines(channel.levels) +
           octave_lines(channel.levels) + third_octave_lines(channel.levels) + tone_lines(channel) +
           uncertainty_lines(channel.uncertainty);
}

}  // namespace

std::string measure_text(const std::vector<RecordingReport>& recordings, const Record& record) {
    std::string text;
    for (const RecordingReport& recording : recordings) {
        const auto& channels = recording.measured.channels;
        text += fmt::format(
            "{}{}\n  {}, {:g} Hz, {} channel{}, SHA-256 {}…\n", text.empty() ? "" : "\n",
            recording.file.path, table_time(channels.front().levels.duration),
            recording.measured.sample_rate.Hz(), recording.channels_in_file,
            recording.channels_in_file == 1 ? "" : "s", recording.file.sha256.substr(0, 16));
        for (const auto& channel : channels)
            text += channel_block(channel, recording) +
                    (record.with_working ? working_text(working_of(channel)) : "");
    }
    text += record_text(record, rules_of_measuring());
    text += "\nCautions\n";
    text +=
        wrapped("Levels are as good as microphone, calibration and position: state them.", 2, 4);
    for (const std::string_view caution : cautions) {
        text += wrapped(caution, 2, 4);
    }
    return text;
}

}  // namespace earbudget::report
