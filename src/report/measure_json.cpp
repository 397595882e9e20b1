#include <cmath>

#include <nlohmann/json.hpp>

#include "report/cautions.hpp"
#include "report/measure_report.hpp"

namespace earbudget::report {

namespace {

using Json = nlohmann::ordered_json;

double to_a_thousandth(double value) { return std::round(value * 1000.0) / 1000.0; }

template <class L>
Json decibels(const std::optional<L>& level) {
    return level ? Json(to_a_thousandth(level->dB())) : Json(nullptr);
}

template <quantity::MeanSquare Q>
Json octaves(const OctaveLevels<Q>& levels) {
    Json json = Json::object();
    for (const OctaveBand band : octave_bands) {
        json[std::string(name_of(band))] = decibels(levels.at(band));
    }
    return json;
}

Json calibration_json(const MeasuredChannel& channel) {
    if (!channel.calibration) return nullptr;
    Json json = {
        {"full_scale_level_dB", to_a_thousandth(channel.calibration->full_scale_level().dB())}};
    if (channel.tone) {
        json["tone_Hz"] = to_a_thousandth(channel.tone->frequency.Hz());
        json["tone_seconds"] = to_a_thousandth(channel.tone->steady.count());
    }
    return json;
}

Json channel_json(const MeasuredChannel& channel) {
    const ChannelLevels& levels = channel.levels;
    Json json = {{"channel", channel.number},
                 {"LAeq_dB", decibels(levels.LAeq)},
                 {"LCeq_dB", decibels(levels.LCeq)},
                 {"LZeq_dB", decibels(levels.LZeq)},
                 {"LAE_dB", decibels(levels.LAE)},
                 {"LCpeak_dB", decibels(levels.LCpeak)},
                 {"LZpeak_dB", decibels(levels.LZpeak)},
                 {"octave_dB", octaves(levels.octave)},
                 {"octave_A_dB", octaves(levels.octave_A)},
                 {"calibration", calibration_json(channel)}};
    json["quality"] = Json::array();
    for (const Finding& finding : levels.findings) {
        json["quality"].push_back({{"code", name_of(finding.code)}, {"text", finding.text}});
    }
    return json;
}

}  // namespace

std::string measure_json(const std::vector<RecordingReport>& recordings) {
    Json json = {{"program", "earbudget"},
                 {"version", EARBUDGET_VERSION},
                 {"command", "measure"},
                 {"recordings", Json::array()}};
    for (const RecordingReport& recording : recordings) {
        const auto& channels = recording.measured.channels;
        Json entry = {{"file", recording.file.path},
                      {"sha256", recording.file.sha256},
                      {"sample_rate_Hz", recording.measured.sample_rate.Hz()},
                      {"seconds", channels.front().levels.duration.count()},
                      {"channels", Json::array()}};
        for (const auto& channel : channels)
            entry["channels"].push_back(channel_json(channel));
        json["recordings"].push_back(std::move(entry));
    }
    json["cautions"] = cautions;
    return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace earbudget::report
