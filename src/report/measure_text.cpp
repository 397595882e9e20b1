#include <algorithm>

#include <fmt/format.h>

#include "earbudget/acoustics/decimal_text.hpp"
#include "earbudget/study/visible_text.hpp"
#include "report/measure_cautions.hpp"
#include "report/measure_report.hpp"
#include "report/measure_sentences.hpp"
#include "report/text_style.hpp"
#include "report/working_report.hpp"

namespace earbudget::report {

namespace {

std::string line(const std::string& sentence) {
    return sentence.empty() ? sentence : wrapped(sentence, 2, 4);
}

std::string level_lines(const ChannelLevels& levels) {
    return fmt::format(
        "  LAeq   {:>6} dB(A)   A-weighted, averaged over the recording\n"
        "  LCeq   {:>6} dB(C)\n"
        "  LZeq   {:>6} dB      unweighted, without a constant offset\n"
        "  LAE    {:>6} dB(A)   sound exposure level, re 1 s\n"
        "  LCpeak {:>6} dB(C)   highest pressure, between samples too\n"
        "  LZpeak {:>6} dB\n",
        level_or_none(levels.LAeq), level_or_none(levels.LCeq), level_or_none(levels.LZeq),
        level_or_none(levels.LAE), level_or_none(levels.LCpeak), level_or_none(levels.LZpeak));
}

std::string time_weighted_lines(const ChannelLevels& levels) {
    std::string text = fmt::format(
        "  LAF    {:>6} to {} dB(A), LAS {} to {} dB(A)\n"
        "  exceeded",
        level_or_none(levels.LAFmin), level_or_none(levels.LAFmax), level_or_none(levels.LASmin),
        level_or_none(levels.LASmax));
    for (std::size_t n = 0; n < exceeded_percent.size(); ++n) {
        text += fmt::format("{} LAF{} {}", n == 0 ? "" : ",", exceeded_percent[n],
                            level_or_none(levels.LAF_exceeded[n]));
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
            values += fmt::format("{:>7}", level_or_none(levels.third_octave[n]));
        }
        text += bands + '\n' + values + '\n';
    }
    return text;
}

std::string run_lines(const MeasuredChannel& channel, Seconds from) {
    if (channel.runs.empty()) return "  runs: none found\n";
    std::string text = "  runs found      from        to    LAeq\n";
    for (std::size_t n = 0; n < channel.runs.size(); ++n) {
        const auto& [run, LAeq] = channel.runs[n];
        text += fmt::format("  {:>4} {:>15.2f} {:>9.2f} {:>7}   {}\n", n + 1,
                            (from + run.start).count(), (from + run.end).count(),
                            level_or_none(LAeq), usability_words(run));
    }
    return text + "  Measure one with --from and --to, in seconds.\n";
}

std::string octave_lines(const ChannelLevels& levels) {
    std::string bands = "  octave band, Hz ";
    std::string unweighted = "  unweighted, dB  ";
    std::string weighted = "  A-weighted, dB  ";
    for (const OctaveBand band : octave_bands) {
        bands += fmt::format("{:>7}", name_of(band));
        unweighted += fmt::format("{:>7}", level_or_none(levels.octave.at(band)));
        weighted += fmt::format("{:>7}", level_or_none(levels.octave_A.at(band)));
    }
    return bands + '\n' + unweighted + '\n' + weighted + '\n';
}

std::string channel_block(const MeasuredChannel& channel, const RecordingReport& recording) {
    const bool several = recording.channels_in_file > 1;
    std::string text = several ? fmt::format("\n  channel {}\n", channel.number) : "\n";
    for (const Finding& finding : channel.levels.findings) {
        text += wrapped(fmt::format("! {}: {}", name_of(finding.code), finding.text), 2, 4);
    }
    for (const auto& sentence : {calibration_sentence(channel), why_no_level_sentence(channel)}) {
        if (!sentence.empty()) text += "  " + sentence + '\n';
    }
    if (!channel.calibration || !channel.levels.LZeq) return text;
    text += line(background_sentence(channel.background));
    if (recording.runs_asked_for) {
        text += run_lines(channel, recording.from.value_or(Seconds(0.0)));
    }
    return text + level_lines(channel.levels) + time_weighted_lines(channel.levels) +
           octave_lines(channel.levels) + third_octave_lines(channel.levels) +
           line(tones_sentence(channel)) + line(proposed_uncertainty_sentence(channel.uncertainty));
}

}  // namespace

std::string measure_text(const std::vector<RecordingReport>& recordings, const Record& record) {
    std::string text;
    for (const RecordingReport& recording : recordings) {
        const auto& channels = recording.measured.channels;
        text += fmt::format(
            "{}{}\n  {}, {:g} Hz, {} channel{}, SHA-256 {}…\n", text.empty() ? "" : "\n",
            visible_text(recording.file.path), table_time(channels.front().levels.duration),
            recording.measured.sample_rate.Hz(), recording.channels_in_file,
            recording.channels_in_file == 1 ? "" : "s", recording.file.sha256.substr(0, 16));
        for (const auto& channel : channels)
            text += channel_block(channel, recording) + working_text(channel.working);
    }
    return text + record_text(record, rules_of_measuring()) + cautions_text(measure_cautions);
}

}  // namespace earbudget::report
