#include <nlohmann/json.hpp>

#include "report/cautions.hpp"
#include "report/json_list.hpp"
#include "report/json_values.hpp"
#include "report/review_json_parts.hpp"
#include "report/review_report.hpp"
#include "report/version.hpp"
#include "report/words/words.hpp"
#include "report/working_report.hpp"

namespace earbudget::report {

namespace {

using Json = nlohmann::ordered_json;

Json reason_json(const std::optional<PermittedTime>& time, const Message& undecidable) {
    if (!undecidable.empty()) return text_of(undecidable);
    return time && !time->reason.empty() ? Json(text_of(time->reason)) : Json(nullptr);
}

Json peak_json(const CriterionResult& peak) {
    return {{"criterion", peak.criterion->id},
            {"value_dB", number(peak.value)},
            {"limit_dB", peak.limit},
            {"limit_at_ear", peak.criterion->peak->at_ear},
            {"by_bound", peak.by_bound},
            {"probability_over", number(peak.probability_over)},
            {"verdict", name_of(peak.verdict)},
            {"decides", peak.decides},
            {"remark", text_of(peak.remarks, "; ")}};
}

Json permitted_json(const ReviewedChoice& choice, const PermittedByCriterion& by,
                    unsigned sessions) {
    const Json a_day = seconds_json(by.best);
    return {{"wears", choice.wears},
            {"criterion", by.criterion->id},
            {"decides", by.decides},
            {"seconds_per_day", a_day},
            {"seconds_per_session",
             a_day.is_null() ? Json(nullptr) : Json(a_day.get<double>() / sessions)},
            {"state", by.best ? name_of(by.best->kind) : "unknown"},
            {"reason", reason_json(by.best, choice.undecidable)},
            {"peak_at_ear", by.peak ? peak_json(*by.peak) : Json(nullptr)},
            {"confident_seconds_per_day", seconds_json(by.confident)},
            {"confident_state", state_json(by.confident)},
            {"seconds_per_day_poorly_seated", seconds_json(by.poorly_seated)},
            {"state_poorly_seated", state_json(by.poorly_seated)}};
}

Json permitted_list(const SequenceReview& review, const ReviewTerms& terms) {
    Json list = Json::array();
    for (const ReviewedChoice& choice : review.choices) {
        if (choice.undecidable.empty()) {
            for (const PermittedByCriterion& by : choice.permitted)
                list.push_back(permitted_json(choice, by, terms.sessions_per_day));
            continue;
        }
        for (const Criterion& criterion : terms.policy.criteria) {
            list.push_back(
                permitted_json(choice, {.criterion = &criterion}, terms.sessions_per_day));
        }
    }
    return list;
}

Json choices_json(const SequenceReview& review) {
    Json list = Json::array();
    for (const ReviewedChoice& choice : review.choices) {
        list.push_back(
            {{"wears", choice.wears},
             {"method", choice.method ? Json(name_of(*choice.method)) : Json(nullptr)},
             {"method_source", choice.method ? Json(source_of(*choice.method)) : Json(nullptr)},
             {"at_ear_LAeq_dB", decibels(choice.at_ear)},
             {"at_ear_LAeq_poorly_seated_dB", decibels(choice.poorly_seated_at_ear)},
             {"fits_head_coil", choice.can_be_worn},
             {"notes", texts_of(choice.notes)}});
    }
    return list;
}

Json peaks_json(const SequenceReview& review) {
    Json list = Json::array();
    for (const CriterionResult& peak : review.peaks)
        list.push_back(peak_json(peak));
    return list;
}

Json checks_json(const std::vector<ReviewCheck>& checks) {
    Json list = Json::array();
    for (const ReviewCheck& check : checks) {
        list.push_back({{"code", name_of(check.code)},
                        {"state", name_of(check.state)},
                        {"text", text_of(check.says)},
                        {"to_do", text_of(check.to_do)}});
    }
    return list;
}

Json file_json(const SourceFile& file) { return {{"file", file.path}, {"sha256", file.sha256}}; }

Json card_json(const ReviewReport& report, const ReviewedCard& card) {
    const SequenceReview& review = card.review;
    Json json = {{"id", review.sequence.id}, {"title", review.sequence.title}};
    json.update(file_json(card.file));
    json["recommendation"] = {{"code", name_of(review.recommendation.code)},
                              {"text", text_of(review.recommendation.says)},
                              {"conditions", texts_of(review.recommendation.conditions)}};
    json["levels"] = levels_json(review.sequence.levels);
    json["origin"] = origin_json(review.sequence.origin);
    json["peaks"] = peaks_json(review);
    json["permitted"] = permitted_list(review, *report.terms);
    json["choices"] = choices_json(review);
    json["not_permitted"] = texts_of(review.not_permitted);
    json["checks"] = checks_json(review.checks);
    json["against"] = report.against ? against_json(card, *report.against) : Json(nullptr);
    if (report.record.with_working) {
        json["working"] =
            working_json(asked_working(report.record, {review.sequence.id}, review.working));
    }
    return json;
}

}  // namespace

std::string review_json(const ReviewReport& report) {
    Json json = {{"program", "earbudget"}, {"version", program_version()}, {"command", "review"}};
    add_record(json, report.record, rules_of(report));
    json["protectors"] = report.protectors ? file_json(*report.protectors) : Json(nullptr);
    json["terms"] = review_terms_json(*report.terms);
    json["sequences"] = nullptr;
    json["cautions"] = cautions;
    return text_with_list(json, "sequences", report.cards.size(),
                          [&](std::size_t n) { return card_json(report, report.cards[n]); });
}

}  // namespace earbudget::report
