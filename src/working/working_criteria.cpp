#include <algorithm>

#include "earbudget/exposure/uncertainty.hpp"
#include "earbudget/limits/judge.hpp"
#include "working/working_steps.hpp"

namespace earbudget {

namespace {

constexpr Formula as_published{"as the criterion states it", ""};

/// The keys of one number of a criterion; none where the result does not print it.
std::vector<std::string> key(const std::string& criterion, const char* number) {
    if (criterion.empty()) return {};
    if (criterion != "worst") return {criterion + "." + number};
    return number == std::string("margin_dB") ? std::vector<std::string>{"worst_margin_dB"}
                                              : std::vector<std::string>{};
}

WorkingStep limit_step(const CriterionResult& result, const std::string& of) {
    const Criterion& criterion = *result.criterion;
    StepOf step("limit of " + criterion.id, key(of, "limit"), as_published);
    if (result.quantity == "peak") {
        step = StepOf("peak limit of " + criterion.id, key(of, "limit"), formula_of_peak_limit);
        step.value("p_Pa", criterion.peak->pressure.Pa());
    } else if (is_dose(criterion.quantity)) {
        step.value("level_dB", criterion.rule.level)
            .value("exchange_dB", criterion.rule.exchange)
            .value("hours", criterion.rule.hours.count())
            .value("threshold_dB", criterion.rule.threshold)
            .value("ceiling_dB", criterion.rule.ceiling);
    }
    WorkingStep done = step.is(result.limit, result.unit);
    done.source = criterion.source + (done.source.empty() ? "" : "; ") + done.source;
    return done;
}

/// The rows as a criterion looks at them, times multiplied by the days that it counts.
struct CriterionRow {
    std::string name;
    ExposurePart part;
};

std::vector<CriterionRow> rows_for(const Plan& plan, const Person& person, const HearingDay& day,
                                   const Criterion& criterion) {
    const double days = criterion.days_counted(day.days_per_week);
    std::vector<CriterionRow> rows;
    for (const HeardRow& row : day.rows) {
        std::vector<ExposurePart> parts;
        add_parts(row, heard_as(criterion), parts);
        for (ExposurePart& part : parts) {
            part.time *= days * static_cast<double>(day.times_a_day(row));
            rows.push_back({words_of(plan, person, row), part});
        }
    }
    return rows;
}

void add_days(const Criterion& criterion, const HearingDay& day, StepOf& step) {
    const double days = criterion.days_counted(day.days_per_week);
    if (days != 1.0) step.value("days_counted", days);
}

WorkingStep dose_step(const CriterionResult& result, const HearingDay& day,
                      const std::vector<CriterionRow>& rows, const std::string& of) {
    const Criterion& criterion = *result.criterion;
    const DoseRule& rule = criterion.rule;
    StepOf step(criterion.id + " of the day", key(of, "value"), formula_of_dose);
    add_days(criterion, day, step);
    step.value("level_dB", rule.level)
        .value("exchange_dB", rule.exchange)
        .value("hours", rule.hours.count())
        .value("threshold_dB", rule.threshold);
    step.columns({"row", "L_dB", "C_s", "T_s", "percent"}).worked({"T_s", "percent"});
    for (const auto& [name, part] : rows) {
        const auto T = part.level ? std::optional(rule.permitted_time(*part.level)) : std::nullopt;
        step.row(name, part.level, part.time, T, dose_percent(std::span(&part, 1), rule));
    }
    return step.is(result.value, result.unit);
}

const Formula& formula_of_value(const Criterion& criterion) {
    if (criterion.quantity == ExposureQuantity::LAeq_loudest) return formula_of_loudest;
    if (criterion.weekly_average) return formula_of_weekly_average;
    return criterion.with_protection ? formula_of_daily_exposure_at_ear : formula_of_daily_exposure;
}

WorkingStep level_step(const Plan& plan, const Person& person, const CriterionResult& result,
                       const HearingDay& day, const std::vector<CriterionRow>& rows,
                       const std::string& of) {
    const Criterion& criterion = *result.criterion;
    if (criterion.quantity == ExposureQuantity::LAeq_1h) {
        StepOf step(criterion.id + " of the day", key(of, "value"), formula_of_highest_average);
        const auto stretch = loudest_stretch(parts_for(criterion, day), averaging_hour);
        if (stretch) {
            add_rows_between(plan, person, day, heard_as(criterion), *stretch, step);
        }
        return step.is(result.value, result.unit);
    }
    StepOf step(criterion.id + " of the day", key(of, "value"), formula_of_value(criterion));
    add_days(criterion, day, step);
    step.columns({"row", "L_dB", "t_s"});
    for (const auto& [name, part] : rows)
        step.row(name, part.level, part.time);
    return step.is(result.value, result.unit);
}

const Formula& formula_of(DoseMargin::By by) {
    switch (by) {
        case DoseMargin::By::Threshold:
            return formula_of_threshold_margin;
        case DoseMargin::By::Ceiling:
            return formula_of_ceiling_margin;
        case DoseMargin::By::Dose:
            break;
    }
    return formula_of_dose_margin;
}

WorkingStep margin_step(const CriterionResult& result, const HearingDay& day,
                        const std::string& of) {
    const Criterion& criterion = *result.criterion;
    const std::string what = "margin to " + criterion.id;
    if (result.quantity == "peak" || !is_dose(criterion.quantity)) {
        return StepOf(what, key(of, "margin_dB"), formula_of_level_margin)
            .value("limit", result.limit)
            .value("value", result.value)
            .is(result.margin, "dB");
    }
    const auto worked =
        dose_margin_worked(parts_for(criterion, day), criterion.rule, criterion.limit());
    StepOf step(what, key(of, "margin_dB"), formula_of(worked ? worked->by : DoseMargin::By::Dose));
    step.value("limit_percent", result.limit).value("exchange_dB", criterion.rule.exchange);
    if (worked && worked->by == DoseMargin::By::Dose) {
        step.value("D_percent", worked->dose_percent);
    } else if (worked) {
        const bool ceiling = worked->by == DoseMargin::By::Ceiling;
        step.value("L_dB", worked->level)
            .value(ceiling ? "ceiling_dB" : "threshold_dB",
                   ceiling ? criterion.rule.ceiling : criterion.rule.threshold);
    }
    return step.is(result.margin, "dB");
}

void work_out_exposure_of(const Plan& plan, const Person& person, const HearingDay& day,
                          const CriterionResult& result, const std::string& of, Working& working) {
    const auto rows = rows_for(plan, person, day, *result.criterion);
    working.push_back(is_dose(result.criterion->quantity)
                          ? dose_step(result, day, rows, of)
                          : level_step(plan, person, result, day, rows, of));
    working.push_back(margin_step(result, day, of));
    work_out_uncertainty(plan, person, day, result, of, working);
}

}  // namespace

void work_out_criterion(const Plan& plan, const Person& person, const HearingDay& day,
                        const CriterionResult& result, const std::string& of, Working& working) {
    const std::size_t first = working.size();
    working.push_back(limit_step(result, of));
    if (result.quantity == "peak") {
        work_out_peak(plan, person, day, result, key(of, "value"), working);
        working.push_back(margin_step(result, day, of));
        work_out_peak_probability(plan, person, day, result, key(of, "probability_over"), working);
    } else {
        work_out_exposure_of(plan, person, day, result, of, working);
    }
    name_topics(first, {result.criterion->id}, working);
}

}  // namespace earbudget
