#include <fmt/format.h>

#include "report/cautions.hpp"
#include "report/measure_report.hpp"
#include "report/text_style.hpp"

namespace earbudget::report {

namespace {

template <class L>
std::string decibels(const std::optional<L>& level) {
    return level ? fmt::format("{:.1f}", level->dB()) : std::string("none");
}

std::string calibration_line(const MeasuredChannel& channel) {
    if (!channel.calibration) return "  no calibration, so no decibels\n";
    const double level = channel.calibration->full_scale_level().dB();
    if (!channel.tone) return fmt::format("  full-scale sine {:.2f} dB, as stated\n", level);
    return fmt::format("  full-scale sine {:.2f} dB, from {} of calibrator's tone at {:.1f} Hz\n",
                       level, table_time(channel.tone->steady), channel.tone->frequency.Hz());
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

std::string channel_block(const MeasuredChannel& channel, std::size_t channels) {
    std::string text = channels > 1 ? fmt::format("\n  channel {}\n", channel.number) : "\n";
    for (const Finding& finding : channel.levels.findings) {
        text += wrapped(fmt::format("! {}: {}", name_of(finding.code), finding.text), 2, 4);
    }
    text += calibration_line(channel);
    if (!channel.calibration) return text;
    return text + level_lines(channel.levels) + octave_lines(channel.levels);
}

}  // namespace

std::string measure_text(const std::vector<RecordingReport>& recordings) {
    std::string text;
    for (const RecordingReport& recording : recordings) {
        const auto& channels = recording.measured.channels;
        text += fmt::format("{}{}\n  {}, {:g} Hz, {} channel{}, SHA-256 {}…\n",
                            text.empty() ? "" : "\n", recording.file.path,
                            table_time(channels.front().levels.duration),
                            recording.measured.sample_rate.Hz(), channels.size(),
                            channels.size() == 1 ? "" : "s", recording.file.sha256.substr(0, 16));
        for (const auto& channel : channels)
            text += channel_block(channel, channels.size());
    }
    text += "\nCautions\n";
    text +=
        wrapped("Levels are as good as microphone, calibration and position: state them.", 2, 4);
    for (const std::string_view caution : cautions) {
        text += wrapped(caution, 2, 4);
    }
    return text;
}

}  // namespace earbudget::report
