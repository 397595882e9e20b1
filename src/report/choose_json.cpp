#include <nlohmann/json.hpp>

#include "report/cautions.hpp"
#include "report/choose_report.hpp"
#include "report/json_list.hpp"
#include "report/json_values.hpp"
#include "report/methods_json.hpp"
#include "report/version.hpp"
#include "report/words/words.hpp"
#include "report/working_report.hpp"

namespace earbudget::report {

namespace {

using Json = nlohmann::ordered_json;

Json verdict(const std::optional<Verdict>& verdict) {
    return verdict ? Json(name_of(*verdict)) : Json(nullptr);
}

Json ranked_json(const RankedChoice& choice) {
    return {{"wears", choice.wears},
            {"method", choice.method ? Json(name_of(*choice.method)) : Json(nullptr)},
            {"at_ear_LEX_8h_dB", decibels(choice.at_ear_LEX_8h)},
            {"while_scanning_at_ear_LAeq_dB", decibels(choice.while_scanning)},
            {"worst_margin_dB", decibels(choice.worst_margin)},
            {"probability_over", number(choice.probability_over)},
            {"verdict", name_of(choice.verdict)},
            {"peak_at_ear_verdict", verdict(choice.peak_at_ear)},
            {"verdict_poorly_seated", verdict(choice.with_poor_fit)},
            {"more_than_useful", choice.more_than_useful},
            {"fits_head_coil", choice.fits_head_coil},
            {"stated_metal_free", choice.stated_metal_free},
            {"comfortable", choice.comfortable},
            {"intercom_above_residual_dB",
             choice.intercom ? decibels(choice.intercom->above_residual()) : Json(nullptr)},
            {"methods", methods_json(choice.methods)},
            {"reason", text_of(choice.reason)},
            {"notes", texts_of(choice.notes)}};
}

Json required_json(const RequiredReduction& required) {
    Json json = {{"at_ear_dB", tenths(required.at_ear)},
                 {"confident_at_ear_dB", tenths(required.confident_at_ear)},
                 {"peak_at_ear_dB", tenths(required.peak_at_ear)},
                 {"SNR_dB", tenths(required.SNR)},
                 {"NRR_dB", tenths(required.NRR)},
                 {"every_octave_band_dB", tenths(required.every_band)},
                 {"by_type", Json::array()}};
    for (const RequiredByType& type : required.by_type) {
        json["by_type"].push_back({{"type", name_of(type.type)},
                                   {"SNR_dB", tenths(type.SNR)},
                                   {"NRR_dB", tenths(type.NRR)},
                                   {"every_octave_band_dB", tenths(type.every_band)}});
    }
    return json;
}

Json person_json(const PersonChoice& choice) {
    Json json = {{"id", choice.person->id}, {"ranking", Json::array()}};
    for (const RankedChoice& ranked : choice.ranking)
        json["ranking"].push_back(ranked_json(ranked));
    const RankedChoice& without = choice.unprotected;
    json["unprotected"] = {{"at_ear_LEX_8h_dB", decibels(without.at_ear_LEX_8h)},
                           {"while_scanning_LAeq_dB", decibels(without.while_scanning)},
                           {"worst_margin_dB", decibels(without.worst_margin)},
                           {"probability_over", number(without.probability_over)},
                           {"verdict", name_of(without.verdict)}};
    json["peak_verdict"] = verdict(choice.peak);
    json["not_permitted"] = Json::array();
    for (const NotPermitted& refused : choice.not_permitted)
        json["not_permitted"].push_back({{"wears", refused.wears}, {"why", text_of(refused.why)}});
    json["notes"] = texts_of(choice.notes);
    json["required_reduction"] = choice.required ? required_json(*choice.required) : Json(nullptr);
    return json;
}

void add_working(const PersonChoice& choice, const Record& record, Json& json) {
    const std::vector<std::string> ids{choice.person->id};
    const auto working = [&](const RankedChoice& ranked) {
        return working_json(asked_working(record, ids, ranked.working));
    };
    for (std::size_t place = 0; place < choice.ranking.size(); ++place)
        json["ranking"][place]["working"] = working(choice.ranking[place]);
    json["unprotected"]["working"] = working(choice.unprotected);
    if (choice.required) {
        json["working"] = working_json(asked_working(record, ids, choice.required->working));
    }
}

}  // namespace

std::string choose_json(const Plan& plan, const std::vector<PersonChoice>& choices,
                        const Record& record) {
    const SourceFile& plan_file = record.inputs.front();
    Json json = {
        {"program", "earbudget"},
        {"version", program_version()},
        {"command", "choose"},
        {"plan", {{"title", plan.title}, {"file", plan_file.path}, {"sha256", plan_file.sha256}}}};
    add_record(json, record, rules_of(choices));
    json["people"] = nullptr;
    json["cautions"] = cautions;
    return text_with_list(json, "people", choices.size(), [&](std::size_t n) {
        Json one = person_json(choices[n]);
        if (record.with_working) add_working(choices[n], record, one);
        return one;
    });
}

}  // namespace earbudget::report
