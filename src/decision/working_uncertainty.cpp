#include <algorithm>
#include <cmath>

#include "decision/working_steps.hpp"
#include "earbudget/decision/drawn_day.hpp"

namespace earbudget {

namespace {

const Formula& formula_of_mean(const Criterion& criterion) {
    if (is_dose(criterion.quantity)) return formula_of_mean_dose;
    return criterion.quantity == ExposureQuantity::LAeq_loudest ? formula_of_mean_loudest
                                                                : formula_of_mean_level;
}

/// How far the exposure is above its limit at the mean of every error.
WorkingStep mean_step(const Plan& plan, const Person& person, const HearingDay& day,
                      const CriterionResult& result, const std::string& of) {
    const Criterion& criterion = *result.criterion;
    StepOf step(criterion.id + " above its limit at the mean of every error",
                {of + ".first_order.above_limit_dB"}, formula_of_mean(criterion));
    if (is_dose(criterion.quantity)) {
        step.value("exchange_dB", criterion.rule.exchange)
            .value("level_dB", criterion.rule.level)
            .value("hours", criterion.rule.hours.count())
            .value("threshold_dB", criterion.rule.threshold);
    }
    step.value("limit", criterion.limit())
        .columns({"row", "L_dB", "R_dB", "w", "unreduced_dB", "t_s"});
    const DayErrors errors = errors_of_day(plan, person, day);
    const double days = criterion.days_counted(day.days_per_week);
    for (std::size_t i = 0; i < day.rows.size(); ++i) {
        const auto place = errors.segment_of(i, 0);
        if (!place) continue;
        const Segment& segment = errors.segments[*place];
        const auto& protection = segment.protection;
        const bool reduced = protection && criterion.with_protection;
        const double times = days * static_cast<double>(day.times_a_day(day.rows[i]));
        step.row(words_of(plan, person, day.rows[i]), segment.outside,
                 reduced ? mean_reduction(*protection) : LevelDifference(0.0),
                 reduced ? protection->fraction_worn : 1.0, segment.unreduced,
                 times * day.rows[i].time);
    }
    return step.is(result.first_order->above_limit, "dB");
}

WorkingStep parts_step(const CriterionResult& result, const std::string& of) {
    const auto& parts = result.first_order->parts;
    std::vector<std::string> keys;
    for (std::size_t n = 0; n < parts.size(); ++n) {
        keys.push_back(key_of(of + ".first_order.parts", n, "standard_dB"));
        keys.push_back(key_of(of + ".first_order.parts", n, "share_percent"));
    }
    StepOf step("parts of the uncertainty of " + result.criterion->id, std::move(keys),
                formula_of_parts);
    step.columns({"error", "u_dB", "share_percent"});
    for (const ErrorShare& part : parts)
        step.row(name_of(part.kind), part.standard, 100.0 * part.share_of_variance);
    return step.is("in the last two columns", "dB");
}

void work_out_first_order(const Plan& plan, const Person& person, const HearingDay& day,
                          const CriterionResult& result, const std::string& of, Working& working) {
    const FirstOrder& first_order = *result.first_order;
    const std::string what = result.criterion->id + " by first order";
    working.push_back(mean_step(plan, person, day, result, of));
    if (!first_order.parts.empty()) working.push_back(parts_step(result, of));
    StepOf step("standard uncertainty of " + what, {of + ".first_order.standard_dB"},
                formula_of_combined_parts);
    step.columns({"error", "u_dB"});
    for (const ErrorShare& part : first_order.parts)
        step.row(name_of(part.kind), part.standard);
    working.push_back(step.is(first_order.standard, "dB"));
    working.push_back(StepOf("probability of being over " + what,
                             {of + ".first_order.probability_over"},
                             formula_of_first_order_probability)
                          .value("x_dB", first_order.above_limit)
                          .value("u_dB", first_order.standard)
                          .is(first_order.probability_over, ""));
}

}  // namespace

void work_out_uncertainty(const Plan& plan, const Person& person, const HearingDay& day,
                          const CriterionResult& result, const std::string& of, Working& working) {
    if (!result.probability_over) return;
    const std::string key = of.empty() ? "" : of + ".";
    const auto keys = [&](const char* name) {
        return of.empty() ? std::vector<std::string>{} : std::vector{key + name};
    };
    const auto draws = static_cast<double>(result.draws);
    working.push_back(StepOf("probability of being over " + result.criterion->id,
                             keys("probability_over"), formula_of_drawn_probability)
                          .value("draws_over", std::round(*result.probability_over * draws))
                          .value("draws", draws)
                          .value("seed", static_cast<double>(plan.draws.seed))
                          .is(result.probability_over, ""));
    if (result.not_exceeded) {
        working.push_back(StepOf(result.criterion->id + ", not exceeded by 95 % of people",
                                 keys("not_exceeded_by_95_percent"), formula_of_not_exceeded)
                              .value("draws_above_at_most", std::floor(0.05 * draws))
                              .value("draws", draws)
                              .is(result.not_exceeded, result.unit));
    }
    if (result.first_order) work_out_first_order(plan, person, day, result, of, working);
}

WorkingStep confident_step(const Plan& plan, const Person& person, std::string what,
                           std::vector<std::string> of, double result, std::string unit,
                           const Formula& formula) {
    const auto draws = static_cast<double>(std::max(plan.draws.draws, plan.draws.draws_of_times));
    return StepOf(std::move(what), std::move(of), formula)
        .value("accepted_percent", 100.0 * person.policy.accepted_probability)
        .value("draws_over_at_most",
               std::floor(person.policy.accepted_probability * draws + arithmetic_slack))
        .value("draws", draws)
        .value("seed", static_cast<double>(plan.draws.seed))
        .is(result, std::move(unit));
}

}  // namespace earbudget
