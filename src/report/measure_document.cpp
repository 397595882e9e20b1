#include <fmt/format.h>

#include "report/assess_words.hpp"
#include "report/drawings/plot.hpp"
#include "report/html/markup.hpp"
#include "report/reports.hpp"
#include "report/sentences.hpp"
#include "report/text_style.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

namespace {

std::string name_of_channel(const RecordingReport& recording, const MeasuredChannel& channel) {
    const std::string file = html::shortened(recording.file.path, 60);
    return recording.channels_in_file > 1 ? fmt::format("{}, channel {}", file, channel.number)
                                          : file;
}

/// One line a channel: the answer of a measurement.
Answers answers_of(const std::vector<RecordingReport>& recordings) {
    Answers answers{.all = {},
                    .marks = {"nothing found wrong", "something to be read about it", "no level"}};
    for (const RecordingReport& recording : recordings) {
        for (const MeasuredChannel& channel : recording.measured.channels) {
            const std::size_t findings = channel.levels.findings.size();
            const std::string remark =
                findings == 0 ? std::string("nothing found wrong with the recording")
                              : fmt::format("{} finding{} about the recording to be read, below",
                                            findings, findings == 1 ? "" : "s");
            const std::string level =
                channel.levels.LAeq
                    ? fmt::format("LAeq {} dB(A)", level_or_none(channel.levels.LAeq))
                    : "no level: " + why_no_level_sentence(channel);
            answers.all.push_back({!channel.levels.LAeq ? Verdict::Unknown
                                   : findings > 0       ? Verdict::Close
                                                        : Verdict::Within,
                                   level, name_of_channel(recording, channel) + "; " + remark});
        }
    }
    return answers;
}

Table levels_table(const std::string& name, const ChannelLevels& levels) {
    Table table{name + ": levels",
                {{.key = "level", .title = "level"},
                 {"value", "value"},
                 {.key = "what", .title = "what it is", .number = false}}};
    const auto add = [&](std::string level, const auto& value, std::string_view unit,
                         std::string what) {
        Cell cell = decibel_cell(value, "none");
        if (value) cell.unit = unit;
        table.rows.push_back({{std::move(level), std::move(cell), std::move(what)}});
    };
    add("LAeq", levels.LAeq, "dB(A)", "A-weighted, averaged over the recording");
    add("LCeq", levels.LCeq, "dB(C)", "averaged over the recording");
    add("LZeq", levels.LZeq, "dB", "unweighted, without a constant offset");
    add("LAE", levels.LAE, "dB(A)", "sound exposure level, re 1 s");
    add("LCpeak", levels.LCpeak, "dB(C)", "highest pressure, between samples too");
    add("LZpeak", levels.LZpeak, "dB", "the same unweighted");
    add("LAFmax", levels.LAFmax, "dB(A)", "highest with time weighting F");
    add("LAFmin", levels.LAFmin, "dB(A)", "lowest with time weighting F");
    add("LASmax", levels.LASmax, "dB(A)", "highest with time weighting S");
    add("LASmin", levels.LASmin, "dB(A)", "lowest with time weighting S");
    for (std::size_t n = 0; n < exceeded_percent.size(); ++n)
        add(fmt::format("LAF{}", exceeded_percent[n]), levels.LAF_exceeded[n], "dB(A)",
            fmt::format("exceeded during {} % of the time", exceeded_percent[n]));
    return table;
}

Table octaves_table(const std::string& name, const ChannelLevels& levels) {
    Table table{.name = name + ": octave bands",
                .columns = {{"Hz", "octave band", "Hz"},
                            {"octave", "unweighted", "dB"},
                            {"octave_A", "A-weighted", "dB(A)"}},
                .across = true};
    for (const OctaveBand band : octave_bands)
        table.rows.push_back(
            {{std::string(name_of(band)), decibel_cell(levels.octave.at(band), "none"),
              decibel_cell(levels.octave_A.at(band), "none")}});
    return table;
}

Table thirds_table(const std::string& name, const ChannelLevels& levels) {
    Table table{
        .name = name + ": third octave bands",
        .columns = {{"Hz", "third octave band", "Hz"}, {"third_octave", "unweighted", "dB"}},
        .across = true};
    for (std::size_t n = 0; n < third_octave_count; ++n)
        table.rows.push_back(
            {{std::string(third_octave_names[n]), decibel_cell(levels.third_octave[n], "none")}});
    return table;
}

void add_runs(const std::string& name, const MeasuredChannel& channel, Seconds from,
              std::vector<Block>& blocks) {
    if (channel.runs.empty()) {
        blocks.push_back({Paragraph{"runs: none found"}});
        return;
    }
    Table table{name + ": runs found",
                {{.key = "run", .title = "runs found"},
                 {"start_s", "from", "s", 2},
                 {"end_s", "to", "s", 2},
                 {"LAeq_dB", "LAeq", "dB(A)"},
                 {.key = "use", .title = "use", .number = false}}};
    for (std::size_t n = 0; n < channel.runs.size(); ++n) {
        const auto& [run, LAeq] = channel.runs[n];
        table.rows.push_back(
            {{fmt::format("{}", n + 1), (from + run.start).count(), (from + run.end).count(),
              decibel_cell(LAeq, "none"), std::string(usability_words(run))}});
    }
    blocks.push_back({std::move(table)});
    blocks.push_back({Paragraph{"Measure one with --from and --to, in seconds."}});
}

/// Levels, bands and what is read from them, where there are decibels.
void add_levels(const std::string& id, const std::string& name, const RecordingReport& recording,
                const MeasuredChannel& channel, std::vector<Block>& blocks) {
    const Seconds from = recording.from.value_or(Seconds(0.0));
    blocks.push_back({Figure{[id, name, &channel, from] {
        return history_figure(id + "-history", name, channel, from);
    }}});
    if (recording.runs_asked_for) add_runs(name, channel, from, blocks);
    blocks.push_back({Beside{
        "pair", {{{levels_table(name, channel.levels)}, {octaves_table(name, channel.levels)}}}}});
    blocks.push_back({Folded{"Third octave bands", {{thirds_table(name, channel.levels)}}}});
}

Section channel_section(const std::string& id, const RecordingReport& recording,
                        const MeasuredChannel& channel) {
    const std::string name = name_of_channel(recording, channel);
    const ChannelLevels& levels = channel.levels;
    Section section{.id = id, .heading = name, .blocks = {}, .of_one = true};
    std::vector<std::string> findings;
    for (const Finding& finding : levels.findings)
        findings.push_back(fmt::format("{}: {}", name_of(finding.code), text_of(finding.says)));
    section.blocks.push_back({sentences(findings, true)});
    const bool has_levels = channel.calibration && levels.LZeq;
    if (has_levels) add_levels(id, name, recording, channel, section.blocks);
    section.blocks.push_back({sentences(
        {fmt::format("{}, {:g} Hz, {} channel{}, SHA-256 {}…", table_time(levels.duration),
                     recording.measured.sample_rate.Hz(), recording.channels_in_file,
                     recording.channels_in_file == 1 ? "" : "s",
                     recording.file.sha256.substr(0, 16)),
         calibration_sentence(channel), why_no_level_sentence(channel),
         background_sentence(channel.background),
         proposed_uncertainty_sentence(channel.uncertainty),
         has_levels ? tones_sentence(channel) : ""})});
    return section;
}

}  // namespace

Document measure_document(const std::vector<RecordingReport>& recordings, const Record& record) {
    const bool one = recordings.size() == 1;
    Document document{.head = {"measure", "Levels of a recording",
                               one ? recordings.front().file.path
                                   : fmt::format("{} recordings", recordings.size()),
                               one ? "one recording" : "several recordings", record.date}};
    document.sections.push_back(
        {"verdict", "Levels", {{answers_of(recordings)}, {ShortCautions()}}});
    for (const RecordingReport& recording : recordings) {
        for (const MeasuredChannel& channel : recording.measured.channels) {
            const std::string id = fmt::format("channel-{}", document.sections.size());
            document.sections.push_back(channel_section(id, recording, channel));
            document.sections.back().blocks.push_back({Steps{
                name_of_channel(recording, channel), [&channel] { return channel.working; }}});
        }
    }
    add_record_and_cautions(record, rules_of_measuring(), {std::string(measure_caution)}, document);
    return document;
}

}  // namespace earbudget::report
