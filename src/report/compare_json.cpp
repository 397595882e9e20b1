#include "report/compare_report.hpp"
#include "report/json_values.hpp"

namespace earbudget::report {

namespace {

using Json = nlohmann::ordered_json;

Json side_json(const CriterionResult* result) {
    if (!result) return nullptr;
    return {{"value", result->value ? Json(*result->value) : Json(nullptr)},
            {"margin_dB", decibels(result->margin)},
            {"verdict", name_of(result->verdict)}};
}

Json side_json(const PersonResult* person) {
    if (!person) return nullptr;
    return {{"wears", person->person->wears},
            {"at_ear_LEX_8h_dB", decibels(person->exposure.at_ear_LEX_8h)},
            {"verdict", name_of(person->verdict)}};
}

Json person_json(const PersonChange& change) {
    Json json = {{"id", change.id},
                 {"before", side_json(change.before)},
                 {"after", side_json(change.after)},
                 {"change_dB", decibels(change.change())},
                 {"criteria", Json::array()}};
    for (const CriterionChange& criterion : change.criteria) {
        const CriterionResult& known = criterion.after ? *criterion.after : *criterion.before;
        json["criteria"].push_back({{"id", known.criterion->id},
                                    {"quantity", known.quantity()},
                                    {"before", side_json(criterion.before)},
                                    {"after", side_json(criterion.after)}});
    }
    return json;
}

}  // namespace

Json compare_json(const Comparison& comparison, const SourceFile& earlier) {
    Json json = {{"plan",
                  {{"title", comparison.before->plan->title},
                   {"file", earlier.path},
                   {"sha256", earlier.sha256}}},
                 {"session_seconds_before", comparison.session_before.count()},
                 {"session_seconds_after", comparison.session_after.count()},
                 {"sequences", Json::array()},
                 {"people", Json::array()}};
    for (const SequenceChange& change : comparison.sequences) {
        json["sequences"].push_back({{"id", change.id},
                                     {"seconds_before", seconds(change.before)},
                                     {"seconds_after", seconds(change.after)},
                                     {"LAeq_before_dB", decibels(change.LAeq_before)},
                                     {"LAeq_after_dB", decibels(change.LAeq_after)}});
    }
    for (const PersonChange& change : comparison.people)
        json["people"].push_back(person_json(change));
    return json;
}

}  // namespace earbudget::report
