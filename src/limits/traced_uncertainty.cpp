#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <tuple>
#include <utility>

#include "earbudget/acoustics/step_phrases.hpp"
#include "earbudget/exposure/dose.hpp"
#include "earbudget/limits/assessment.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"
#include "limits/traced.hpp"

namespace earbudget {

namespace {

const Formula& formula_of_mean(const Criterion& criterion) {
    if (is_dose(criterion.quantity)) return formula_of_mean_dose;
    return criterion.quantity == ExposureQuantity::LAeq_loudest ? formula_of_mean_loudest
                                                                : formula_of_mean_level;
}

/// A row with sound, what it has of the exposure at the mean of every error.
struct MeanRow {
    std::size_t row;
    const Segment* segment;
    Seconds time;  ///< of all sessions and days that count
    MeanAmount amount;
};

bool is_reduced(const Segment& segment, const Criterion& criterion) {
    return segment.protection && criterion.with_protection;
}

std::vector<MeanRow> mean_rows(const ExposureDay& day, const MeanDay& mean,
                               const Criterion& criterion) {
    const double days = criterion.days_counted(day.days_per_week);
    const bool loudest = accumulation_of(criterion.quantity) == Accumulation::Loudest;
    std::vector<MeanRow> rows;
    double all = 0.0;
    for (std::size_t i = 0; i < day.rows.size(); ++i) {
        const auto place = mean.errors->segment_of(i, 0);
        if (!place) continue;
        const Seconds time =
            days * static_cast<double>(day.times_a_day(day.rows[i])) * day.rows[i].time;
        // Of the loudest the first row alone counts, however long.
        const double counted = !loudest ? time.count() : all > 0.0 ? 0.0 : 1.0;
        MeanAmount second = mean.amounts[*place];
        const Segment& segment = mean.errors->segments[*place];
        // Shown as worn all the time with no reduction.
        if (!is_reduced(segment, criterion)) std::swap(second.through, second.without);
        rows.push_back({i, &segment, time, {counted * second.through, counted * second.without}});
        all += rows.back().amount.through + rows.back().amount.without;
    }
    for (MeanRow& row : rows)
        row.amount = {row.amount.through / all, row.amount.without / all};
    return rows;
}

/// How far the exposure is above its limit at the mean of every error, and what each row has of it.
WorkingStep mean_step(const Plan& plan, const Person& person, const ExposureDay& day,
                      const MeanDay& mean, const CriterionResult& result, const std::string& of) {
    const Criterion& criterion = *result.criterion;
    StepOf step(say<StepPhrase::AboveLimitAtMean>(criterion.id),
                {of + ".first_order.above_limit_dB"}, formula_of_mean(criterion));
    if (is_dose(criterion.quantity)) {
        step.value("exchange_dB", criterion.rule.exchange)
            .value("level_dB", criterion.rule.level)
            .value("hours", criterion.rule.hours.count())
            .value("threshold_dB", criterion.rule.threshold);
    }
    step.value("limit", criterion.limit())
        .columns({"row", "L_dB", "R_dB", "w", "unreduced_dB", "t_s", "through", "without"})
        .worked({"through", "without"});
    for (const MeanRow& row : mean_rows(day, mean, criterion)) {
        const auto& protection = row.segment->protection;
        const bool reduced = is_reduced(*row.segment, criterion);
        step.row(words_of(plan, person, day.rows[row.row]), row.segment->outside,
                 reduced ? mean_reduction(*protection) : LevelDifference(0.0),
                 reduced ? protection->fraction_worn : 1.0, row.segment->unreduced, row.time,
                 row.amount.through, row.amount.without);
    }
    return step.is(result.first_order->above_limit, "dB");
}

/// An error in one row of the day, in all its sessions together.
using ErrorInRow = std::tuple<std::size_t, double, double>;  // row, coefficient, size

/// By variable: what it does in each row. Rows alike are one segment, and share what that has.
std::map<std::size_t, std::vector<ErrorInRow>> errors_in_rows(const ExposureDay& day,
                                                              const MeanDay& mean) {
    const DayErrors& errors = *mean.errors;
    std::vector<double> seconds(errors.segments.size(), 0.0);
    std::map<std::pair<std::size_t, std::size_t>, double> of_row;  // segment and row
    for (std::size_t row = 0; row < day.rows.size(); ++row) {
        for (unsigned session = 0; session < day.times_a_day(day.rows[row]); ++session) {
            const auto segment = errors.segment_of(row, session);
            if (!segment) continue;
            seconds[*segment] += day.rows[row].time.count();
            of_row[{*segment, row}] += day.rows[row].time.count();
        }
    }
    std::map<std::size_t, std::map<std::pair<std::size_t, double>, double>> sums;
    for (const Sensitivity& one : mean.slopes) {
        for (auto at = of_row.lower_bound({one.segment, 0});
             at != of_row.end() && at->first.first == one.segment; ++at) {
            sums[one.variable][{at->first.second, one.size}] +=
                one.coefficient * at->second / seconds[one.segment];
        }
    }
    std::map<std::size_t, std::vector<ErrorInRow>> all;
    for (const auto& [variable, rows] : sums) {
        for (const auto& [row, coefficient] : rows)
            all[variable].emplace_back(row.first, coefficient, row.second);
    }
    return all;
}

/// One kind of error: every error of it, those alike together, in every row.
WorkingStep part_step(const Plan& plan, const Person& person, const ExposureDay& day,
                      const MeanDay& mean, const CriterionResult& result, const ErrorShare& part,
                      const std::string& key) {
    std::map<std::vector<ErrorInRow>, unsigned> alike;
    for (const auto& [variable, rows] : errors_in_rows(day, mean)) {
        if (mean.errors->variables[variable].kind == part.kind) ++alike[rows];
    }
    StepOf step(say<StepPhrase::PartOfUncertainty>(result.criterion->id, name_of(part.kind)), {key},
                formula_of_part);
    step.columns({"row", "error", "n", "c", "size"});
    double number = 0.0;
    for (const auto& [rows, times] : alike) {
        ++number;
        for (const auto& [row, coefficient, size] : rows) {
            step.row(words_of(plan, person, day.rows[row]), number, static_cast<double>(times),
                     coefficient, size);
        }
    }
    return step.is(part.standard, "dB");
}

WorkingStep shares_step(const CriterionResult& result, const std::string& of) {
    const auto& parts = result.first_order->parts;
    std::vector<std::string> keys;
    for (std::size_t n = 0; n < parts.size(); ++n)
        keys.push_back(key_of(of + ".first_order.parts", n, "share_percent"));
    StepOf step(say<StepPhrase::SharesOfUncertainty>(result.criterion->id), std::move(keys),
                formula_of_shares_of_parts);
    step.columns({"error", "u_dB", "share_percent"}).worked({"share_percent"});
    for (const ErrorShare& part : parts)
        step.row(name_of(part.kind), part.standard, 100.0 * part.share_of_variance);
    return step.is(say<StepPhrase::InLastColumn>(), "percent");
}

void leave_first_order(const Plan& plan, const Person& person, const ExposureDay& day,
                       const MeanDay& mean, const CriterionResult& result, const std::string& of,
                       Trace& trace) {
    const FirstOrder& first_order = *result.first_order;
    const std::string& id = result.criterion->id;
    trace.leave(mean_step(plan, person, day, mean, result, of));
    for (std::size_t n = 0; n < first_order.parts.size(); ++n) {
        trace.leave(part_step(plan, person, day, mean, result, first_order.parts[n],
                              key_of(of + ".first_order.parts", n, "standard_dB")));
    }
    if (!first_order.parts.empty()) trace.leave(shares_step(result, of));
    StepOf step(say<StepPhrase::FirstOrderUncertainty>(id), {of + ".first_order.standard_dB"},
                formula_of_combined_parts);
    step.columns({"error", "u_dB"});
    for (const ErrorShare& part : first_order.parts)
        step.row(name_of(part.kind), part.standard);
    trace.leave(step.is(first_order.standard, "dB"));
    trace.leave(StepOf(say<StepPhrase::FirstOrderProbability>(id),
                       {of + ".first_order.probability_over"}, formula_of_first_order_probability)
                    .value("x_dB", first_order.above_limit)
                    .value("u_dB", first_order.standard)
                    .is(first_order.probability_over, ""));
}

}  // namespace

void leave_uncertainty(const Plan& plan, const Person& person, const ExposureDay& day,
                       const MeanDay& mean, const CriterionResult& result, const std::string& of,
                       Trace& trace) {
    if (!result.probability_over) return;
    const std::string key = of.empty() ? "" : of + ".";
    const auto keys = [&](const char* name) {
        return of.empty() ? std::vector<std::string>{} : std::vector{key + name};
    };
    trace.leave(monte_carlo_step(plan, say<StepPhrase::Probability>(result.criterion->id),
                                 keys("probability_over"), *result.probability_over, result.draws));
    if (result.not_exceeded) {
        const auto draws = static_cast<double>(result.draws);
        trace.leave(StepOf(say<StepPhrase::NotExceeded>(result.criterion->id),
                           keys("not_exceeded_by_95_percent"), formula_of_not_exceeded)
                        .value("draws_above_at_most", std::floor(0.05 * draws))
                        .value("draws", draws)
                        .is(result.not_exceeded, result.unit()));
    }
    if (result.first_order && mean.errors)
        leave_first_order(plan, person, day, mean, result, of, trace);
}

WorkingStep monte_carlo_step(const Plan& plan, Message what, std::vector<std::string> of,
                             double probability, std::size_t count) {
    const auto draws = static_cast<double>(count);
    return StepOf(std::move(what), std::move(of), formula_of_monte_carlo_probability)
        .value("draws_over", std::round(probability * draws))
        .value("draws", draws)
        .value("seed", plan.draws.seed)
        .is(probability, "");
}

WorkingStep confident_step(const Plan& plan, const Person& person, Message what,
                           std::vector<std::string> of, double result, std::string unit,
                           const Formula& formula) {
    const auto draws = static_cast<double>(std::max(plan.draws.draws, plan.draws.draws_of_times));
    return StepOf(std::move(what), std::move(of), formula)
        .value("accepted_percent", 100.0 * person.policy.accepted_probability)
        .value("draws_over_at_most",
               std::floor(person.policy.accepted_probability * draws + arithmetic_slack))
        .value("draws", draws)
        .value("seed", plan.draws.seed)
        .is(result, std::move(unit));
}

}  // namespace earbudget
