#include <fmt/format.h>

#include "report/reports.hpp"
#include "report/shared_fields.hpp"
#include "report/third_octave_fields.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

namespace {

struct MeasureReport {
    const std::vector<RecordingReport>& recordings;
    const Record& record;
};

/// The channel where something is known of its calibration.
struct ReportedCalibration {
    const MeasuredChannel& channel;
};

/// The course of the level, second by second.
struct LevelHistory {
    const ChannelLevels& levels;
};

/// A time in the file that is measured.
Seconds in_file(Seconds time, const Outer& in) {
    return in.the<RecordingReport>().from.value_or(Seconds(0.0)) + time;
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
        rows.add({{exceeded[n], [n](const Of& of) { return of.LAF_exceeded[n]; }, thousandth()}});
    rows.add(
        {{"octave_dB", [](const Of& of) { return all_bands(of.octave); }, by_octave_band(3)},
         {"octave_A_dB", [](const Of& of) { return all_bands(of.octave_A); }, by_octave_band(3)},
         {"third_octave_dB", [](const Of& of) { return all_third_octaves(of.third_octave); },
          by_third_octave_band(3)}});
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
             return if_any(of.rhythm,
                           [](const auto& rhythm) { return 1.0 / rhythm.period.count(); });
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
FieldTable<MeasuredRun> describe() {
    using Of = MeasuredRun;
    return {{"start_s", [](const Of& of, const Outer& in) { return in_file(of.run.start, in); },
             thousandth()},
            {"end_s", [](const Of& of, const Outer& in) { return in_file(of.run.end, in); },
             thousandth()},
            {"LAeq_dB", &Of::LAeq, thousandth()},
            {"long_enough", [](const Of& of) { return of.run.long_enough; }},
            {"steady", [](const Of& of) { return of.run.steady; }},
            {"begins_before", [](const Of& of) { return of.run.begins_before; }},
            {"ends_after", [](const Of& of) { return of.run.ends_after; }},
            {"usable", [](const Of& of) { return of.run.long_enough && of.run.steady; }}};
}

template <>
FieldTable<Finding> describe() {
    return {
        "#/$defs/finding",
        {{"code", &Finding::code}, {"text", [](const Finding& of) { return text_of(of.says); }}}};
}

template <>
FieldTable<MeasuredChannel> describe() {
    using Of = MeasuredChannel;
    return {
        "#/$defs/channel",
        "levels after background correction where it applies; null where there is none",
        {{"channel", &Of::number, {.min = 1}},
         {members_of, &Of::levels},
         {"fundamental_Hz", &Of::fundamental, thousandth()},
         {"tones", &Of::tones},
         {"calibration",
          [](const Of& of) {
              const bool is_known = of.calibration || of.drift;
              return is_known ? std::optional(ReportedCalibration{of}) : std::nullopt;
          }},
         {"background", &Of::background},
         {"uncertainty", &Of::uncertainty, "standard uncertainty (k = 1), as proposed for a card"},
         {"history", [](const Of& of) { return LevelHistory{of.levels}; }},
         {"runs",
          [](const Of& of, const Outer& in) {
              return only_if(in.the<RecordingReport>().runs_asked_for, [&] { return of.runs; });
          },
          "with --find-runs"},
         {"why_no_level", &Of::why_no_level,
          "the entry of quality for which there is no LAeq, and with it a status of 1"},
         {"quality", [](const Of& of) { return of.levels.findings; }},
         {"working",
          [](const Of& of, const Outer& in) {
              return only_if(in.the<MeasureReport>().record.with_working,
                             [&] { return of.working; });
          },
          means_working}}};
}

template <>
FieldTable<RecordingReport> describe() {
    using Of = RecordingReport;
    return {"measure.schema.json#/$defs/recording",
            {{members_of, &Of::file},
             {"sample_rate_Hz", [](const Of& of) { return of.measured.sample_rate; }},
             {"seconds", [](const Of& of) { return of.measured.channels.front().levels.duration; }},
             {"channels", [](const Of& of) -> const auto& {return of.measured.channels;
}
, { .filled = true }
}  // namespace earbudget::report
, {
    "from_s", [](const Of& of) { return only(of.from); }, thousandth()
}
}
}
;
}

template <>
FieldTable<MeasureReport> describe() {
    using Of = MeasureReport;
    return {"measure.schema.json", "earbudget measure --format json: recordings to levels",
            {{members_of, [](const Of&) { return Program{}; }}, command<Of>("measure"),
             {members_of, [](const Of& of) { return RecordOfFiles{of.record}; }},
             {"sources", [](const Of&) { return rules_of_measuring(); }},
             {"recordings", [](const Of& of) -> const auto& {return of.recordings;
}
}
, {
    "cautions", [](const Of&) { return measure_cautions; }, means_cautions, { .filled = true }
}
}
}
;
}

std::string measure_json(const std::vector<RecordingReport>& recordings, const Record& record) {
    return json_of(MeasureReport{recordings, record});
}

const ObjectShape& measure_shape() { return object_shape<MeasureReport>(); }

}  // namespace earbudget::report
