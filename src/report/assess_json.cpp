#include "report/assess_json.hpp"

#include <nlohmann/json.hpp>

#include "earbudget/day/ear_band.hpp"
#include "report/cautions.hpp"
#include "report/course_json.hpp"
#include "report/json_list.hpp"
#include "report/json_values.hpp"
#include "report/methods_json.hpp"
#include "report/people_words.hpp"
#include "report/version.hpp"
#include "report/words/words.hpp"
#include "report/working_report.hpp"

namespace earbudget::report {

namespace {

using Json = nlohmann::ordered_json;

/// How a method was used where not as it is defined, and what that may be wrong by.
void add_form(const Prediction& prediction, const BorrowedSpectrum* borrowed, Json& json) {
    json["method_form"] = name_of(prediction.form);
    json["spectrum_uncertainty_dB"] = prediction.form_uncertainty.dB();
    if (prediction.form == MethodForm::SpectrumLike) json["spectrum_like"] = borrowed->card;
    if (prediction.reduction_by_M) json["reduction_by_M_dB"] = decibels(prediction.reduction_by_M);
}

Json segment_json(const Plan& plan, const Person& person, const SegmentResult& segment) {
    const HeardRow& row = segment.row;
    Json json;
    json["sequence"] = row.sequence ? Json(plan.sequences[*row.sequence].id) : Json(nullptr);
    if (!row.sequence) json["rest"] = true;
    if (row.position) json["position"] = plan.positions[*row.position].id;
    if (row.task) {
        const Task& task = person.tasks[*row.task];
        json["task"] = *row.task;
        if (!task.title.empty()) json["title"] = task.title;
        if (task.position) json["door"] = task.door_open ? "open" : "shut";
        if (task.wears) json["wears"] = *task.wears;
        json["per"] = row.once_a_day ? "day" : "session";
    }
    json["method"] = row.prediction ? Json(name_of(row.prediction->method)) : Json(nullptr);
    if (row.prediction && row.prediction->form != MethodForm::AsDefined) {
        add_form(*row.prediction, row.sound->borrowed.get(), json);
    }
    if (row.is_unreached()) json["unreduced"] = true;
    json["seconds"] = row.time.count();
    json["LAeq_dB"] = decibels(row.outside());
    json["at_ear_LAeq_dB"] = decibels(row.at_ear);
    json["reduction_dB"] = row.sound ? Json(segment.reduction.dB()) : Json(nullptr);
    json["share_percent"] = segment.share_percent;
    json["repeats_left"] = number(segment.repeats_left);
    json["repeats_left_best_estimate"] = number(segment.repeats_left_best_estimate);
    return json;
}

Json exposure_json(const DayExposure& exposure) {
    return {{"seconds", exposure.time.count()},
            {"LAeq_dB", decibels(exposure.LAeq)},
            {"at_ear_LAeq_dB", decibels(exposure.at_ear_LAeq)},
            {"at_ear_LAeq_1h_dB", decibels(exposure.at_ear_LAeq_1h)},
            {"LEX_8h_dB", decibels(exposure.LEX_8h)},
            {"at_ear_LEX_8h_dB", decibels(exposure.at_ear_LEX_8h)},
            {"at_ear_Pa2h", exposure.at_ear_Pa2h}};
}

Json first_order_json(const std::optional<FirstOrder>& first_order) {
    if (!first_order) return nullptr;
    Json parts = Json::array();
    for (const ErrorShare& part : first_order->parts) {
        parts.push_back({{"error", name_of(part.kind)},
                         {"standard_dB", part.standard.dB()},
                         {"share_percent", 100.0 * part.share_of_variance}});
    }
    return {{"above_limit_dB", first_order->above_limit.dB()},
            {"standard_dB", first_order->standard.dB()},
            {"probability_over", first_order->probability_over},
            {"parts", std::move(parts)}};
}

Json criterion_json(const CriterionResult& result) {
    Json json = {{"id", result.criterion->id},
                 {"quantity", result.quantity()},
                 {"value", number(result.value)},
                 {"limit", result.limit},
                 {"unit", result.unit()},
                 {"at_ear", result.at_ear},
                 {"by_bound", result.by_bound},
                 {"margin_dB", decibels(result.margin)},
                 {"probability_over", number(result.probability_over)},
                 {"not_exceeded_by_95_percent", number(result.not_exceeded)},
                 {"first_order", first_order_json(result.first_order)},
                 {"verdict", name_of(result.verdict)},
                 {"kind", name_of(result.criterion->kind)},
                 {"decides", result.decides},
                 {"verdict_poorly_seated",
                  result.with_poor_fit ? Json(name_of(*result.with_poor_fit)) : Json(nullptr)},
                 {"source", result.criterion->source}};
    if (!result.remarks.empty()) json["remark"] = text_of(result.remarks, "; ");
    return json;
}

/// What an advice is applied with, for other programs.
void add_amounts(const Plan& plan, const Advice& advice, Json& json) {
    const bool runs = advice.code == AdviceCode::DropRepeats;
    if (advice.count) json[runs ? "repeat" : "sessions_per_day"] = *advice.count;
    if (advice.confident_count) {
        json[runs ? "confident_repeat" : "confident_sessions_per_day"] = *advice.confident_count;
    }
    if (advice.days) json["days"] = *advice.days;
    if (advice.reduction) {
        json["added_reduction_dB"] = tenths(advice.reduction);
        json["confident_added_reduction_dB"] = tenths(advice.confident_reduction);
    }
    if (advice.position) json["position"] = plan.positions[*advice.position].id;
    if (!advice.wears.empty()) json["wears"] = advice.wears;
}

Json advice_json(const Plan& plan, const PersonResult& person, const Advice& advice) {
    Json json = {{"code", name_of(advice.code)}, {"text", text_of(advice.says, " ")}};
    if (advice.row) {
        const HeardRow& row = person.segments[*advice.row].row;
        json["sequence"] = plan.sequences[*row.sequence].id;
        json["segment"] = *advice.row;
    }
    if (advice.seconds) {
        json["seconds"] = seconds(advice.seconds);
        json["confident_seconds"] = seconds(advice.confident_seconds);
    }
    add_amounts(plan, advice, json);
    return json;
}

Json shares_json(const Plan& plan, const Person& person, const std::vector<Share>& shares) {
    Json json = Json::array();
    for (const Share& share : shares) {
        Json one;
        if (share.task) {
            one["task"] = *share.task;
            one["title"] = person.tasks[*share.task].title;
        } else {
            one["sequence"] =
                share.sequence ? Json(plan.sequences[*share.sequence].id) : Json(nullptr);
        }
        one["share_percent"] = share.percent;
        one["drop_without_it_dB"] = decibels(share.drop);
        json.push_back(std::move(one));
    }
    return json;
}

Json drivers_json(const Plan& plan, const PersonResult& result) {
    Json json = {{"sequences", shares_json(plan, *result.person, result.sequence_shares)},
                 {"tasks", shares_json(plan, *result.person, result.task_shares)}};
    json["largest_change"] = nullptr;
    if (const auto& change = result.largest_change) {
        json["largest_change"] = {{"text", text_of(change->says)}, {"drop_dB", change->drop.dB()}};
    }
    return json;
}

/// At the ear while sequences run, and how useful that is.
Json while_scanning_json(const PersonResult& result) {
    if (!result.while_scanning) return nullptr;
    return {{"at_ear_LAeq_dB", result.while_scanning->dB()},
            {"EN_458", name_of(ear_band(*result.while_scanning))}};
}

Json intercom_json(const std::optional<IntercomAtEar>& intercom) {
    if (!intercom) return nullptr;
    return {{"at_ear_LAeq_dB", intercom->speech.dB()},
            {"residual_dB", decibels(intercom->residual)},
            {"above_residual_dB", decibels(intercom->above_residual())}};
}

Json derating_json(const Derating& derating) {
    if (derating.kind != Derating::Kind::Own) return name_of(derating.kind);
    return {{"dB", derating.own.dB()}};
}

Json person_json(const Plan& plan, const PersonResult& result) {
    const Person& person = *result.person;
    const PredictionRules& rules = person.policy.rules;
    Json json = {{"id", person.id},
                 {"role", name_of(person.role)},
                 {"verdict", name_of(result.verdict)},
                 {"wears", person.wears},
                 {"worn", person.wearing.fraction_of_time},
                 {"fit", person.wearing.poor_fit ? "poor" : "as-rated"},
                 {"method", result.method ? Json(name_of(*result.method)) : Json(nullptr)},
                 {"derating", derating_json(result.derating)},
                 {"policy_derating", derating_json(rules.derating)},
                 {"protection_performance_percent", rules.performance.percent()},
                 {"accepted_probability_percent", 100.0 * person.policy.accepted_probability},
                 {"sessions_per_day", person.sessions_per_day},
                 {"days_per_week", number(person.days_per_week)}};
    json["method_source"] = result.method ? Json(source_of(*result.method)) : Json(nullptr);
    json["derating_source"] = source_of(result.derating.kind);
    json["segments"] = Json::array();
    for (const auto& segment : result.segments) {
        json["segments"].push_back(segment_json(plan, person, segment));
    }
    json["exposure"] = exposure_json(result.exposure);
    json["course"] = course_json(result);
    json["spectrum"] = spectrum_json(plan, result);
    json["visits"] = number(person.visits);
    json["study_at_ear_Pa2h"] = number(result.study_Pa2h);
    json["drivers"] = drivers_json(plan, result);
    json["criteria"] = Json::array();
    for (const auto& criterion : result.criteria) {
        json["criteria"].push_back(criterion_json(criterion));
    }
    json["criteria_by_default"] = person.policy.criteria_by_default;
    json["not_judged"] = result.not_judged;
    json["poorly_seated_LEX_8h_dB"] = decibels(result.poor_fit_LEX_8h);
    json["methods"] = methods_json(result.methods);
    json["while_scanning"] = while_scanning_json(result);
    json["intercom"] = intercom_json(result.intercom);
    json["advice"] = Json::array();
    for (const auto& advice : result.advice) {
        json["advice"].push_back(advice_json(plan, result, advice));
    }
    return json;
}

Json warning_json(const Warning& warning) {
    // Each person's stays apart, since each has a place of its own.
    Json json = {{"code", warning.code()},
                 {"text", (warning.people.empty() ? "" : names_of_people(warning.people) + ": ") +
                              text_of(warning.says)}};
    json["where"] = warning.where ? Json(warning.where->text()) : Json(nullptr);
    json["people"] = warning.people;
    return json;
}

}  // namespace

std::string assess_json(const Assessment& assessment, const SourceFile& plan_file,
                        const Record& record, const std::optional<Earlier>& earlier) {
    Json json = {{"program", "earbudget"},
                 {"version", program_version()},
                 {"command", "assess"},
                 {"plan",
                  {{"title", assessment.plan->title},
                   {"file", plan_file.path},
                   {"sha256", plan_file.sha256}}},
                 {"verdict", name_of(assessment.verdict())}};
    add_record(json, record, rules_of(assessment));
    json["people"] = nullptr;
    if (earlier) json["against"] = compare_json(earlier->comparison, earlier->file);
    json["warnings"] = Json::array();
    for (const auto& warning : assessment.warnings) {
        json["warnings"].push_back(warning_json(warning));
    }
    json["cautions"] = cautions;
    return text_with_list(json, "people", assessment.people.size(), [&](std::size_t n) {
        const PersonResult& person = assessment.people[n];
        Json one = person_json(*assessment.plan, person);
        if (record.with_working) {
            one["working"] =
                working_json(asked_working(record, {person.person->id}, person.working));
        }
        return one;
    });
}

}  // namespace earbudget::report
