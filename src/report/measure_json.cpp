#include <cmath>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "report/json_text.hpp"
#include "report/measure_report.hpp"
#include "report/version.hpp"
#include "report/working_report.hpp"

namespace earbudget::report {

namespace {

using Json = nlohmann::ordered_json;

double to_a_thousandth(double value) { return std::round(value * 1000.0) / 1000.0 + 0.0; }

template <class L>
Json json_dB(const std::optional<L>& level) {
    return level ? Json(to_a_thousandth(level->dB())) : Json(nullptr);
}

template <quantity::MeanSquare Q>
Json octaves(const OctaveLevels<Q>& levels) {
    Json json = Json::object();
    for (const OctaveBand band : octave_bands) {
        json[std::string(name_of(band))] = json_dB(levels.at(band));
    }
    return json;
}

Json third_octaves(const ChannelLevels& levels) {
    Json json = Json::object();
    for (std::size_t n = 0; n < third_octave_count; ++n)
        json[std::string(third_octave_names[n])] = json_dB(levels.third_octave[n]);
    return json;
}

Json calibration_json(const MeasuredChannel& channel) {
    if (!channel.calibration && !channel.drift) return nullptr;
    Json json = Json::object();
    json["full_scale_level_dB"] =
        channel.calibration ? Json(to_a_thousandth(channel.calibration->full_scale_level().dB()))
                            : Json(nullptr);
    json["drift_dB"] = channel.drift ? Json(to_a_thousandth(channel.drift->dB())) : Json(nullptr);
    if (channel.tone) {
        json["tone_Hz"] = to_a_thousandth(channel.tone->frequency.Hz());
        json["tone_seconds"] = to_a_thousandth(channel.tone->steady.count());
    }
    return json;
}

Json tones_json(const MeasuredChannel& channel) {
    Json json = Json::array();
    for (const MeasuredTone& tone : channel.tones) {
        json.push_back({{"Hz", to_a_thousandth(tone.frequency.Hz())},
                        {"level_dB", to_a_thousandth(tone.level.dB())},
                        {"above_noise_dB", to_a_thousandth(tone.above_noise.dB())},
                        {"harmonic", tone.harmonic > 0 ? Json(tone.harmonic) : Json(nullptr)}});
    }
    return json;
}

Json background_json(const std::optional<MeasuredBackground>& background) {
    if (!background) return nullptr;
    const auto& rhythm = background->rhythm;
    return {{"LAeq_dB", json_dB(background->LAeq)},
            {"corrected", background->effect.corrected},
            {"upper_bounds", background->effect.upper_bounds},
            {"upper_bound_third_octaves", background->effect.upper_bound_thirds},
            {"averaged_seconds", to_a_thousandth(background->averaged.count())},
            {"strokes_per_second",
             rhythm ? Json(to_a_thousandth(1.0 / rhythm->period.count())) : Json(nullptr)}};
}

Json uncertainty_json(const std::optional<ProposedUncertainty>& uncertainty) {
    if (!uncertainty) return nullptr;
    Json parts = Json::array();
    for (const UncertaintyPart& part : uncertainty->parts) {
        parts.push_back({{"name", part.name},
                         {"standard_dB", to_a_thousandth(part.standard.dB())},
                         {"source", part.source}});
    }
    return {{"standard_dB", to_a_thousandth(uncertainty->combined().dB())},
            {"parts", std::move(parts)}};
}

Json history_json(const ChannelLevels& levels) {
    Json values = Json::array();
    for (const auto& level : levels.seconds)
        values.push_back(json_dB(level));
    return {{"step_s", 1},
            {"last_s", to_a_thousandth(levels.last_second.count())},
            {"LAeq_dB", std::move(values)}};
}

Json runs_json(const MeasuredChannel& channel, Seconds from) {
    Json json = Json::array();
    for (const MeasuredRun& found : channel.runs) {
        json.push_back({{"start_s", to_a_thousandth((from + found.run.start).count())},
                        {"end_s", to_a_thousandth((from + found.run.end).count())},
                        {"LAeq_dB", json_dB(found.LAeq)},
                        {"long_enough", found.run.long_enough},
                        {"steady", found.run.steady},
                        {"begins_before", found.run.begins_before},
                        {"ends_after", found.run.ends_after},
                        {"usable", found.run.long_enough && found.run.steady}});
    }
    return json;
}

void add_time_weighted(Json& json, const ChannelLevels& levels) {
    json["LAFmax_dB"] = json_dB(levels.LAFmax);
    json["LAFmin_dB"] = json_dB(levels.LAFmin);
    json["LASmax_dB"] = json_dB(levels.LASmax);
    json["LASmin_dB"] = json_dB(levels.LASmin);
    for (std::size_t n = 0; n < exceeded_percent.size(); ++n)
        json[fmt::format("LAF{}_dB", exceeded_percent[n])] = json_dB(levels.LAF_exceeded[n]);
}

Json finding_json(const Finding& finding) {
    return {{"code", name_of(finding.code)}, {"text", finding.text}};
}

Json channel_json(const MeasuredChannel& channel, const RecordingReport& recording) {
    const ChannelLevels& levels = channel.levels;
    Json json = {{"channel", channel.number},          {"LAeq_dB", json_dB(levels.LAeq)},
                 {"LCeq_dB", json_dB(levels.LCeq)},    {"LZeq_dB", json_dB(levels.LZeq)},
                 {"LAE_dB", json_dB(levels.LAE)},      {"LCpeak_dB", json_dB(levels.LCpeak)},
                 {"LZpeak_dB", json_dB(levels.LZpeak)}};
    add_time_weighted(json, levels);
    json["octave_dB"] = octaves(levels.octave);
    json["octave_A_dB"] = octaves(levels.octave_A);
    json["third_octave_dB"] = third_octaves(levels);
    json["fundamental_Hz"] =
        channel.fundamental ? Json(to_a_thousandth(channel.fundamental->Hz())) : Json(nullptr);
    json["tones"] = tones_json(channel);
    json["calibration"] = calibration_json(channel);
    json["background"] = background_json(channel.background);
    json["uncertainty"] = uncertainty_json(channel.uncertainty);
    json["history"] = history_json(levels);
    if (recording.runs_asked_for) {
        json["runs"] = runs_json(channel, recording.from.value_or(Seconds(0.0)));
    }
    json["why_no_level"] =
        channel.why_no_level ? finding_json(*channel.why_no_level) : Json(nullptr);
    json["quality"] = Json::array();
    for (const Finding& finding : levels.findings)
        json["quality"].push_back(finding_json(finding));
    return json;
}

void add_working(const std::vector<MeasuredChannel>& channels, Json& json) {
    for (std::size_t n = 0; n < channels.size(); ++n)
        json[n]["working"] = working_json(channels[n].working);
}

}  // namespace

std::string measure_json(const std::vector<RecordingReport>& recordings, const Record& record) {
    Json json = {{"program", "earbudget"}, {"version", program_version()}, {"command", "measure"}};
    add_record(json, record, rules_of_measuring());
    json["recordings"] = Json::array();
    for (const RecordingReport& recording : recordings) {
        const auto& channels = recording.measured.channels;
        Json entry = {{"file", recording.file.path},
                      {"sha256", recording.file.sha256},
                      {"sample_rate_Hz", recording.measured.sample_rate.Hz()},
                      {"seconds", channels.front().levels.duration.count()},
                      {"channels", Json::array()}};
        if (recording.from) entry["from_s"] = to_a_thousandth(recording.from->count());
        for (const auto& channel : channels)
            entry["channels"].push_back(channel_json(channel, recording));
        if (record.with_working) add_working(channels, entry["channels"]);
        json["recordings"].push_back(std::move(entry));
    }
    json["cautions"] = measure_cautions;
    return json_text(std::move(json));
}

}  // namespace earbudget::report
