#include "report/measure_page.hpp"

#include <fmt/format.h>

#include "earbudget/acoustics/decimal_text.hpp"
#include "report/html/charts.hpp"
#include "report/html/markup.hpp"
#include "report/html/page.hpp"
#include "report/html/parts.hpp"
#include "report/html/table.hpp"
#include "report/measure_cautions.hpp"
#include "report/measure_sentences.hpp"
#include "report/text_style.hpp"

namespace earbudget::report {

namespace {

using namespace html;

template <class L>
std::string decibels(const std::optional<L>& level) {
    return level ? decimal_text(level->dB(), 1) : std::string("none");
}

std::string name_of_channel(const RecordingReport& recording, const MeasuredChannel& channel) {
    const std::string file = shortened(recording.file.path, 60);
    return recording.channels_in_file > 1 ? fmt::format("{}, channel {}", file, channel.number)
                                          : file;
}

/// One line a channel: the answer of a measurement.
std::string answers(const std::vector<RecordingReport>& recordings) {
    std::string items;
    for (const RecordingReport& recording : recordings) {
        for (const MeasuredChannel& channel : recording.measured.channels) {
            const std::size_t findings = channel.levels.findings.size();
            const std::string remark =
                findings == 0 ? std::string("nothing found wrong with the recording")
                              : fmt::format("{} to be read about the recording, below", findings);
            const std::string level = channel.levels.LAeq
                                          ? "LAeq " + decibels(channel.levels.LAeq) + " dB(A)"
                                          : "no level: " + why_no_level_sentence(channel);
            items += answer(!channel.levels.LAeq ? Verdict::Unknown
                            : findings > 0       ? Verdict::Close
                                                 : Verdict::Within,
                            level, name_of_channel(recording, channel) + "; " + remark);
        }
    }
    return element("ul", "answers", "\n" + items) +
           marks_key({"nothing found wrong", "something to be read about it", "no level", ""});
}

std::string levels_table(const std::string& name, const ChannelLevels& levels) {
    Table table(name + ": levels", {{"level"}, {"value", true}, {"what it is"}});
    const auto add = [&](std::string_view level, const std::string& value, std::string_view unit,
                         std::string_view what) {
        table.row({std::string(level), fmt::format("{} {}", value, unit), std::string(what)});
    };
    add("LAeq", decibels(levels.LAeq), "dB(A)", "averaged over the recording");
    add("LCeq", decibels(levels.LCeq), "dB(C)", "averaged over the recording");
    add("LZeq", decibels(levels.LZeq), "dB", "unweighted, without a constant offset");
    add("LAE", decibels(levels.LAE), "dB(A)", "sound exposure level, re 1 s");
    add("LCpeak", decibels(levels.LCpeak), "dB(C)", "highest pressure, between samples too");
    add("LZpeak", decibels(levels.LZpeak), "dB", "the same unweighted");
    add("LAFmax", decibels(levels.LAFmax), "dB(A)", "highest with time weighting F");
    add("LASmax", decibels(levels.LASmax), "dB(A)", "highest with time weighting S");
    for (std::size_t n = 0; n < exceeded_percent.size(); ++n)
        add(fmt::format("LAF{}", exceeded_percent[n]), decibels(levels.LAF_exceeded[n]), "dB(A)",
            fmt::format("exceeded during {} % of the time", exceeded_percent[n]));
    return table.markup();
}

std::string octaves_table(const std::string& name, const ChannelLevels& levels) {
    Table table(name + ": octave bands",
                {{"octave band, Hz"}, {"unweighted, dB", true}, {"A-weighted, dB(A)", true}});
    for (const OctaveBand band : octave_bands)
        table.row({std::string(name_of(band)), decibels(levels.octave.at(band)),
                   decibels(levels.octave_A.at(band))});
    return table.markup();
}

std::string thirds_table(const std::string& name, const ChannelLevels& levels) {
    Table table(name + ": third octave bands",
                {{"third octave band, Hz"}, {"unweighted, dB", true}});
    for (std::size_t n = 0; n < third_octave_count; ++n)
        table.row({std::string(third_octave_names[n]), decibels(levels.third_octave[n])});
    return "<details>\n<summary>Third octave bands</summary>\n" + table.markup() + "</details>\n";
}

std::string runs_table(const std::string& name, const MeasuredChannel& channel, Seconds from) {
    if (channel.runs.empty()) return element("p", "runs: none found");
    Table table(name + ": runs found",
                {{"run"}, {"from, s", true}, {"to, s", true}, {"LAeq, dB(A)", true}, {"use"}});
    for (std::size_t n = 0; n < channel.runs.size(); ++n) {
        const auto& [run, LAeq] = channel.runs[n];
        table.row({fmt::format("{}", n + 1), fmt::format("{:.2f}", (from + run.start).count()),
                   fmt::format("{:.2f}", (from + run.end).count()), decibels(LAeq),
                   std::string(usability_words(run))});
    }
    return table.markup();
}

std::string findings_list(const MeasuredChannel& channel) {
    std::vector<std::string> findings;
    for (const Finding& finding : channel.levels.findings)
        findings.push_back(fmt::format("{}: {}", name_of(finding.code), finding.text));
    return list_of(findings);
}

std::string channel_section(const std::string& id, const RecordingReport& recording,
                            const MeasuredChannel& channel, const PageHead& head) {
    const std::string name = name_of_channel(recording, channel);
    const ChannelLevels& levels = channel.levels;
    std::vector<std::string> how = {
        fmt::format("{}, {:g} Hz, SHA-256 {}…", table_time(levels.duration),
                    recording.measured.sample_rate.Hz(), recording.file.sha256.substr(0, 16))};
    for (auto&& sentence : {calibration_sentence(channel), why_no_level_sentence(channel),
                            background_sentence(channel.background),
                            proposed_uncertainty_sentence(channel.uncertainty)}) {
        if (!sentence.empty()) how.push_back(sentence);
    }
    std::string content = running_line(head) + findings_list(channel);
    if (channel.calibration && levels.LZeq) {
        how.push_back(tones_sentence(channel));
        const Seconds from = recording.from.value_or(Seconds(0.0));
        content += history_figure(id + "-history", name, channel, from);
        if (recording.runs_asked_for) content += runs_table(name, channel, from);
        content += element("div", "pair",
                           "\n" + levels_table(name, levels) + octaves_table(name, levels)) +
                   thirds_table(name, levels);
    }
    return section(id, 2, text(name), content + list_of(how));
}

}  // namespace

std::string measure_page(const std::vector<RecordingReport>& recordings, const Record& record) {
    const bool one = recordings.size() == 1;
    const PageHead head{
        "measure", "Levels of a recording",
        one ? recordings.front().file.path : fmt::format("{} recordings", recordings.size()),
        one ? "one recording" : "several recordings", record.date};
    Contents contents = {{"verdict", "Levels"}};
    std::string sections;
    for (const RecordingReport& recording : recordings) {
        for (const MeasuredChannel& channel : recording.measured.channels) {
            const std::string id = fmt::format("channel-{}", contents.size());
            contents.emplace_back(id, name_of_channel(recording, channel));
            sections += channel_section(id, recording, channel, head);
            sections += working_block(name_of_channel(recording, channel), channel.working);
        }
    }
    contents.emplace_back("record", "Sources and record");
    contents.emplace_back("cautions", "Cautions");
    const std::string main =
        section("verdict", 2, "Levels", answers(recordings) + short_cautions()) + sections +
        record_section(record, rules_of_measuring()) +
        cautions_section({std::string(measure_caution)});
    return page(head, contents, main, foot(record));
}

}  // namespace earbudget::report
