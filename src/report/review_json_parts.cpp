#include "report/review_json_parts.hpp"

#include "earbudget/review/compare_cards.hpp"
#include "report/json_values.hpp"

namespace earbudget::report {

namespace {

using Json = nlohmann::ordered_json;

template <quantity::MeanSquare Q>
Json octave_json(const OctaveLevels<Q>& levels) {
    Json json = Json::object();
    for (const OctaveBand band : octave_bands) {
        if (const auto level = levels.at(band)) json[std::string(name_of(band))] = level->dB();
    }
    return json;
}

Json criterion_json(const Criterion& criterion) {
    return {{"id", criterion.id},
            {"quantity", name_of(criterion.quantity)},
            {"limit", criterion.limit()},
            {"at_ear", criterion.with_protection},
            {"kind", name_of(criterion.kind)},
            {"when_above", criterion.when_above},
            {"source", criterion.source},
            {"remark", criterion.remark}};
}

}  // namespace

Json seconds_json(const std::optional<PermittedTime>& time) {
    return time ? Json(time->a_day.count()) : Json(nullptr);
}

Json state_json(const std::optional<PermittedTime>& time) {
    return time ? Json(name_of(time->kind)) : Json(nullptr);
}

Json levels_json(const SoundLevels& levels) {
    const auto LC = levels.c_weighted_level();
    return {{"LAeq_dB", levels.LAeq.dB()},
            {"LCeq_dB", decibels(LC)},
            {"LC_minus_LA_dB", LC ? Json(c_minus_a(*LC, levels.LAeq).dB()) : Json(nullptr)},
            {"LCpeak_dB", decibels(levels.LCpeak)},
            {"LZpeak_dB", decibels(levels.LZpeak)},
            {"uncertainty_dB", decibels(levels.uncertainty)},
            {"octave_dB", octave_json(levels.octave)},
            {"octave_A_dB", octave_json(levels.a_weighted_octaves())},
            {"spectrum_like", levels.borrowed ? Json(levels.borrowed->card) : Json(nullptr)},
            {"low_frequency", levels.low_frequency ? Json(*levels.low_frequency) : Json(nullptr)}};
}

Json origin_json(const Origin& origin) {
    return {{"how", origin.how},
            {"who", origin.who},
            {"when", origin.when},
            {"where", origin.where},
            {"subject", origin.subject},
            {"timing", origin.timing},
            {"instrument", origin.instrument},
            {"instrument_class",
             origin.instrument_class ? Json(*origin.instrument_class) : Json(nullptr)},
            {"calibration", origin.calibration},
            {"background", origin.background},
            {"uncertainty", origin.uncertainty},
            {"recording", origin.recording},
            {"recording_sha256", origin.recording_sha256}};
}

Json against_json(const ReviewedCard& now, const ReviewedCard& before) {
    Json json = {{"file", before.file.path}, {"sha256", before.file.sha256}};
    json["id"] = before.review.sequence.id;
    json["levels"] = Json::array();
    for (const LevelChange& change : level_changes(before.review.sequence, now.review.sequence)) {
        json["levels"].push_back({{"level", change.name},
                                  {"before_dB", number(change.before)},
                                  {"now_dB", number(change.now)},
                                  {"difference_dB", number(change.difference())}});
    }
    json["permitted"] = Json::array();
    for (const TimeChange& change : time_changes(before.review, now.review)) {
        json["permitted"].push_back(
            {{"wears", change.wears},
             {"criterion", change.criterion->id},
             {"seconds_per_day_before", seconds_json(change.before)},
             {"state_before", state_json(change.before)},
             {"seconds_per_day_now", seconds_json(change.now)},
             {"state_now", state_json(change.now)},
             {"confident_seconds_per_day_before", seconds_json(change.confident_before)},
             {"confident_seconds_per_day_now", seconds_json(change.confident_now)}});
    }
    return json;
}

Json review_terms_json(const ReviewTerms& terms) {
    const PredictionRules& rules = terms.policy.rules;
    Json json = {{"for", terms.role == Role::Staff ? "staff" : name_of(terms.age)},
                 {"role", name_of(terms.role)},
                 {"method", rules.method ? Json(name_of(*rules.method)) : Json("best")},
                 {"derating", name_of(rules.derating.kind)},
                 {"derating_source", source_of(rules.derating.kind)},
                 {"protection_performance", rules.performance.percent()},
                 {"accepted_probability_percent", 100.0 * terms.policy.accepted_probability},
                 {"sessions_per_day", terms.sessions_per_day},
                 {"days_per_week", terms.days_per_week},
                 {"least_seconds_per_day", terms.least_time.count()},
                 {"criteria", Json::array()}};
    if (rules.derating.kind == Derating::Kind::Own) json["derating_dB"] = rules.derating.own.dB();
    for (const Criterion& criterion : terms.policy.criteria)
        json["criteria"].push_back(criterion_json(criterion));
    return json;
}

}  // namespace earbudget::report
