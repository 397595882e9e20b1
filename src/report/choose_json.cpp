#include <nlohmann/json.hpp>

#include "report/cautions.hpp"
#include "report/choose_report.hpp"
#include "report/methods_json.hpp"

namespace earbudget::report {

namespace {

using Json = nlohmann::ordered_json;

template <class L>
Json decibels(const std::optional<L>& level) {
    return level ? Json(level->dB()) : Json(nullptr);
}

Json verdict(const std::optional<Verdict>& verdict) {
    return verdict ? Json(name_of(*verdict)) : Json(nullptr);
}

Json ranked_json(const RankedChoice& choice) {
    return {{"wears", choice.wears},
            {"method", choice.method ? Json(name_of(*choice.method)) : Json(nullptr)},
            {"at_ear_LEX_8h_dB", decibels(choice.at_ear_LEX_8h)},
            {"while_scanning_at_ear_LAeq_dB", decibels(choice.while_scanning)},
            {"worst_margin_dB", decibels(choice.worst_margin)},
            {"verdict", name_of(choice.verdict)},
            {"verdict_poorly_seated", verdict(choice.with_poor_fit)},
            {"more_than_useful", choice.more_than_useful},
            {"fits_head_coil", choice.fits_head_coil},
            {"methods", methods_json(choice.methods)},
            {"reason", choice.reason},
            {"notes", choice.notes}};
}

Json person_json(const PersonChoice& choice) {
    Json json = {{"id", choice.person->id}, {"ranking", Json::array()}};
    for (const RankedChoice& ranked : choice.ranking)
        json["ranking"].push_back(ranked_json(ranked));
    const RankedChoice& without = choice.unprotected;
    json["unprotected"] = {{"at_ear_LEX_8h_dB", decibels(without.at_ear_LEX_8h)},
                           {"while_scanning_LAeq_dB", decibels(without.while_scanning)},
                           {"worst_margin_dB", decibels(without.worst_margin)},
                           {"verdict", name_of(without.verdict)}};
    json["peak_verdict"] = verdict(choice.peak);
    json["not_permitted"] = Json::array();
    for (const NotPermitted& refused : choice.not_permitted)
        json["not_permitted"].push_back({{"wears", refused.wears}, {"why", refused.why}});
    json["required_reduction"] = nullptr;
    if (const auto& required = choice.required) {
        json["required_reduction"] = {{"at_ear_dB", decibels(required->at_ear)},
                                      {"SNR_dB", decibels(required->SNR)},
                                      {"NRR_dB", decibels(required->NRR)},
                                      {"every_octave_band_dB", decibels(required->every_band)}};
    }
    return json;
}

}  // namespace

std::string choose_json(const Plan& plan, const std::vector<PersonChoice>& choices,
                        const SourceFile& plan_file) {
    Json json = {
        {"program", "earbudget"},
        {"version", EARBUDGET_VERSION},
        {"command", "choose"},
        {"plan", {{"title", plan.title}, {"file", plan_file.path}, {"sha256", plan_file.sha256}}}};
    json["people"] = Json::array();
    for (const PersonChoice& choice : choices)
        json["people"].push_back(person_json(choice));
    json["cautions"] = cautions;
    return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace earbudget::report
