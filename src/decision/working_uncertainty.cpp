#include <cmath>

#include "decision/working_steps.hpp"
#include "earbudget/decision/drawn_day.hpp"

namespace earbudget {

namespace {

void work_out_first_order(const CriterionResult& result, const std::string& of, Working& working) {
    const FirstOrder& first_order = *result.first_order;
    const std::string what = result.criterion->id + " by first order";
    StepOf step("standard uncertainty of " + what, {of + ".first_order.standard_dB"},
                formula_of_combined_parts);
    step.columns({"error", "u_dB", "share_percent"});
    for (const ErrorShare& part : first_order.parts)
        step.row(name_of(part.kind), part.standard, 100.0 * part.share_of_variance);
    working.push_back(step.is(first_order.standard, "dB"));
    if (!(first_order.standard.dB() > 0.0)) return;
    working.push_back(StepOf("probability of being over " + what,
                             {of + ".first_order.probability_over"},
                             formula_of_first_order_probability)
                          .value("x_dB", first_order.above_limit)
                          .value("u_dB", first_order.standard)
                          .is(first_order.probability_over, ""));
}

}  // namespace

void work_out_uncertainty(const Plan& plan, const CriterionResult& result, const std::string& of,
                          Working& working) {
    if (!result.probability_over) return;
    const std::string key = of.empty() ? "" : of + ".";
    const auto keys = [&](const char* name) {
        return of.empty() ? std::vector<std::string>{} : std::vector{key + name};
    };
    const auto draws = static_cast<double>(plan.draws.draws);
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
    if (result.first_order) work_out_first_order(result, of, working);
}

WorkingStep confident_step(const Plan& plan, const Person& person, std::string what,
                           std::vector<std::string> of, double result, std::string unit) {
    const auto draws = static_cast<double>(plan.draws.draws);
    return StepOf(std::move(what), std::move(of), formula_of_confident)
        .value("accepted_percent", 100.0 * person.policy.accepted_probability)
        .value("draws_over_at_most", std::floor(person.policy.accepted_probability * draws + 1e-9))
        .value("draws", draws)
        .value("seed", static_cast<double>(plan.draws.seed))
        .is(result, std::move(unit));
}

}  // namespace earbudget
