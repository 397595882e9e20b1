#include <fmt/format.h>

#include "report/reports.hpp"
#include "report/shared_fields.hpp"

namespace earbudget::report {

namespace {

struct MeasureReport {
    const std::vector<RecordingReport>& recordings;
    const Record& record;
};

/// One channel of a recording; its working may be asked for.
struct ReportedChannel {
    const MeasuredChannel& channel;
    const RecordingReport& recording;
    bool with_working;
};

struct ReportedRecording {
    const RecordingReport& recording;
    bool with_working;

    [[nodiscard]] std::vector<ReportedChannel> channels() const {
        return each_of(recording.measured.channels, [&](const MeasuredChannel& channel) {
            return ReportedChannel{channel, recording, with_working};
        });
    }
};

/// The channel where something is known of its calibration.
struct ReportedCalibration {
    const MeasuredChannel& channel;
};

/// The course of the level, second by second.
struct LevelHistory {
    const ChannelLevels& levels;
};

/// A run, in the time of its file.
struct ReportedRun {
    const MeasuredRun& found;
    Seconds from;
};

std::vector<ReportedRun> runs_of(const ReportedChannel& of) {
    const Seconds from = of.recording.from.value_or(Seconds(0.0));
    return each_of(of.channel.runs, [&](const MeasuredRun& run) { return ReportedRun{run, from}; });
}

std::vector<ReportedRecording> recordings_of(const MeasureReport& of) {
    return each_of(of.recordings, [&](const RecordingReport& recording) {
        return ReportedRecording{recording, of.record.with_working};
    });
}

auto third_octaves(const ChannelLevels& levels) {
    Map<std::optional<LevelZ>> map;
    for (std::size_t n = 0; n < third_octave_count; ++n)
        map.emplace_back(third_octave_names[n], levels.third_octave[n]);
    return map;
}

Note by_third_octave_band(int decimals) {
    return {.means = "by nominal mid-band frequency, Hz",
            .names =
                [] {
                    return std::vector<std::string>(third_octave_names.begin(),
                                                    third_octave_names.end());
                },
            .decimals = decimals};
}

// All of measuring is said to a thousandth.
Note thousandth(std::optional<double> min = std::nullopt) { return rounded_to(3, min); }

}  // namespace

template <>
FieldTable<ChannelLevels> describe() {
    using Of = ChannelLevels;
    FieldTable<Of> rows{
        {"LAeq_dB", &Of::LAeq, thousandth()},     {"LCeq_dB", &Of::LCeq, thousandth()},
        {"LZeq_dB", &Of::LZeq, thousandth()},     {"LAE_dB", &Of::LAE, thousandth()},
        {"LCpeak_dB", &Of::LCpeak, thousandth()}, {"LZpeak_dB", &Of::LZpeak, thousandth()},
        {"LAFmax_dB", &Of::LAFmax, thousandth()}, {"LAFmin_dB", &Of::LAFmin, thousandth()},
        {"LASmax_dB", &Of::LASmax, thousandth()}, {"LASmin_dB", &Of::LASmin, thousandth()}};
    static const auto exceeded =
        each_of(exceeded_percent, [](int percent) { return fmt::format("LAF{}_dB", percent); });
    for (std::size_t n = 0; n < exceeded.size(); ++n)
        rows.add({exceeded[n], [n](const Of& of) { return of.LAF_exceeded[n]; }, thousandth()});
    rows.add({"octave_dB", [](const Of& of) { return all_bands(of.octave); }, by_octave_band(3)});
    rows.add(
        {"octave_A_dB", [](const Of& of) { return all_bands(of.octave_A); }, by_octave_band(3)});
    rows.add({"third_octave_dB", third_octaves, by_third_octave_band(3)});
    return rows;
}

template <>
FieldTable<MeasuredTone> describe() {
    using Of = MeasuredTone;
    return {
        {"Hz", &Of::frequency, thousandth()},
        {"level_dB", &Of::level, thousandth()},
        {"above_noise_dB", &Of::above_noise, thousandth()},
        {"harmonic",
         [](const Of& of) { return of.harmonic > 0 ? std::optional(of.harmonic) : std::nullopt; },
         {.min = 1}}};
}

template <>
FieldTable<ReportedCalibration> describe() {
    using Of = ReportedCalibration;
    return {{"full_scale_level_dB",
             [](const Of& of) {
                 return if_any(of.channel.calibration,
                               [](const auto& known) { return known.full_scale_level(); });
             },
             thousandth()},
            {"drift_dB", [](const Of& of) { return of.channel.drift; }, thousandth()},
            {"tone_Hz",
             [](const Of& of) { return only(if_any(of.channel.tone, &CalibratorTone::frequency)); },
             thousandth()},
            {"tone_seconds",
             [](const Of& of) { return only(if_any(of.channel.tone, &CalibratorTone::steady)); },
             thousandth()}};
}

template <>
FieldTable<MeasuredBackground> describe() {
    using Of = MeasuredBackground;
    return {
        {"LAeq_dB", &Of::LAeq, thousandth()},
        {"corrected", [](const Of& of) { return of.effect.corrected; }},
        {"upper_bounds", [](const Of& of) { return of.effect.upper_bounds; },
         "levels that are upper bounds: LAeq, 63 Hz, …"},
        {"upper_bound_third_octaves", [](const Of& of) { return of.effect.upper_bound_thirds; }},
        {"averaged_seconds", &Of::averaged, thousandth()},
        {"strokes_per_second",
         [](const Of& of) {
             return of.rhythm ? std::optional(1.0 / of.rhythm->period.count()) : std::nullopt;
         },
         thousandth(0.0)}};
}

template <>
FieldTable<UncertaintyPart> describe() {
    return {{"name", &UncertaintyPart::name},
            {"standard_dB", &UncertaintyPart::standard, thousandth(0.0)},
            {"source", &UncertaintyPart::source}};
}

template <>
FieldTable<ProposedUncertainty> describe() {
    return {{"standard_dB", &ProposedUncertainty::combined, thousandth(0.0)},
            {"parts", &ProposedUncertainty::parts}};
}

template <>
FieldTable<LevelHistory> describe() {
    using Of = LevelHistory;
    return {{"step_s", [](const Of&) { return 1; }, {.min = 1, .max = 1}},
            {"last_s", [](const Of& of) { return of.levels.last_second; }, thousandth()},
            {"LAeq_dB", [](const Of& of) { return of.levels.seconds; }, thousandth()}};
}

template <>
FieldTable<ReportedRun> describe() {
    using Of = ReportedRun;
    return {
        {"start_s", [](const Of& of) { return of.from + of.found.run.start; }, thousandth()},
        {"end_s", [](const Of& of) { return of.from + of.found.run.end; }, thousandth()},
        {"LAeq_dB", [](const Of& of) { return of.found.LAeq; }, thousandth()},
        {"long_enough", [](const Of& of) { return of.found.run.long_enough; }},
        {"steady", [](const Of& of) { return of.found.run.steady; }},
        {"begins_before", [](const Of& of) { return of.found.run.begins_before; }},
        {"ends_after", [](const Of& of) { return of.found.run.ends_after; }},
        {"usable", [](const Of& of) { return of.found.run.long_enough && of.found.run.steady; }}};
}

template <>
FieldTable<Finding> describe() {
    return {"#/$defs/finding", {{"code", &Finding::code}, {"text", &Finding::text}}};
}

template <>
FieldTable<ReportedChannel> describe() {
    using Of = ReportedChannel;
    return {
        "#/$defs/channel",
        "levels after background correction where it applies; null where there is none",
        {{"channel", [](const Of& of) { return of.channel.number; }, {.min = 1}},
         {members_of, [](const Of& of) -> const ChannelLevels& { return of.channel.levels; }},
         {"fundamental_Hz", [](const Of& of) { return of.channel.fundamental; }, thousandth()},
         {"tones", [](const Of& of) { return of.channel.tones; }},
         {"calibration",
          [](const Of& of) {
              const bool is_known = of.channel.calibration || of.channel.drift;
              return is_known ? std::optional(ReportedCalibration{of.channel}) : std::nullopt;
          }},
         {"background", [](const Of& of) { return of.channel.background; }},
         {"uncertainty", [](const Of& of) { return of.channel.uncertainty; },
          "standard uncertainty (k = 1), as proposed for a card"},
         {"history", [](const Of& of) { return LevelHistory{of.channel.levels}; }},
         {"runs",
          [](const Of& of) {
              return only_if(of.recording.runs_asked_for, [&] { return runs_of(of); });
          },
          "with --find-runs"},
         {"why_no_level", [](const Of& of) { return of.channel.why_no_level; },
          "the entry of quality for which there is no LAeq, and with it a status of 1"},
         {"quality", [](const Of& of) { return of.channel.levels.findings; }},
         {"working",
          [](const Of& of) { return only_if(of.with_working, [&] { return of.channel.working; }); },
          means_working}}};
}

template <>
FieldTable<ReportedRecording> describe() {
    using Of = ReportedRecording;
    return {"measure.schema.json#/$defs/recording",
            {{members_of, [](const Of& of) { return of.recording.file; }},
             {"sample_rate_Hz", [](const Of& of) { return of.recording.measured.sample_rate; }},
             {"seconds",
              [](const Of& of) { return of.recording.measured.channels.front().levels.duration; }},
             {"channels", &Of::channels, {.filled = true}},
             {"from_s", [](const Of& of) { return only(of.recording.from); }, thousandth()}}};
}

template <>
FieldTable<MeasureReport> describe() {
    using Of = MeasureReport;
    return {"measure.schema.json",
            "earbudget measure --format json: recordings to levels",
            {{members_of, [](const Of&) { return Program{}; }},
             command<Of>("measure"),
             {members_of, [](const Of& of) { return RecordOfFiles{of.record}; }},
             {"sources", [](const Of&) { return rules_of_measuring(); }},
             {"recordings", recordings_of},
             {"cautions",
              [](const Of&) { return measure_cautions; },
              means_cautions,
              {.filled = true}}}};
}

std::string measure_json(const std::vector<RecordingReport>& recordings, const Record& record) {
    return json_of(MeasureReport{recordings, record});
}

const ObjectShape& measure_shape() { return object_shape<MeasureReport>(); }

}  // namespace earbudget::report
