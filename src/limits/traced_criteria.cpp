#include <cmath>

#include "earbudget/acoustics/step_phrases.hpp"
#include "earbudget/exposure/criterion.hpp"
#include "earbudget/limits/judge.hpp"
#include "limits/traced.hpp"

namespace earbudget {

namespace {

constexpr Formula as_published{"as the criterion states it", ""};

/// The keys of one number of a criterion; none where the result does not print it.
std::vector<std::string> key(const std::string& criterion, const char* number) {
    if (criterion.empty()) return {};
    const bool by_wearing = criterion == "worst by wearing", of_all = criterion == "worst of all";
    if (criterion != "worst" && !by_wearing && !of_all) return {criterion + "." + number};
    std::vector<std::string> keys;
    if (number != std::string("margin_dB")) return keys;
    if (!by_wearing) keys.emplace_back("worst_margin_dB");
    if (by_wearing || of_all) keys.emplace_back("margin_by_wearing_dB");
    return keys;
}

WorkingStep limit_step(const CriterionResult& result, const std::string& of) {
    const Criterion& criterion = *result.criterion;
    StepOf step(say<StepPhrase::Limit>(criterion.id), key(of, "limit"), as_published);
    if (result.is_peak) {
        step = StepOf(say<StepPhrase::PeakLimit>(criterion.id), key(of, "limit"),
                      formula_of_peak_limit);
        step.value("p_Pa", criterion.peak->pressure.Pa());
    } else if (is_dose(criterion.quantity)) {
        step.value("level_dB", criterion.rule.level)
            .value("exchange_dB", criterion.rule.exchange)
            .value("hours", criterion.rule.hours.count())
            .value("threshold_dB", criterion.rule.threshold)
            .value("ceiling_dB", criterion.rule.ceiling);
    }
    WorkingStep done = step.is(result.limit, result.unit());
    done.source = criterion.source + (done.source.empty() ? "" : "; ") + done.source;
    return done;
}

void add_days(const Criterion& criterion, const ExposureDay& day, StepOf& step) {
    const double days = criterion.days_counted(day.days_per_week);
    if (days != 1.0) step.value("days_counted", days);
}

WorkingStep dose_step(const Plan& plan, const Person& person, const CriterionResult& result,
                      const ExposureDay& day, const std::string& of) {
    const Criterion& criterion = *result.criterion;
    const DoseRule& rule = criterion.rule;
    StepOf step(say<StepPhrase::OfTheDay>(criterion.id), key(of, "value"), formula_of_dose);
    add_days(criterion, day, step);
    step.value("level_dB", rule.level)
        .value("exchange_dB", rule.exchange)
        .value("hours", rule.hours.count())
        .value("threshold_dB", rule.threshold);
    step.columns({"row", "L_dB", "C_s", "T_s", "percent"}).worked({"T_s", "percent"});
    const double days = criterion.days_counted(day.days_per_week);
    for_each_part(
        day, exposure_at(criterion), days, [&](const ExposureRow& row, ExposurePart part) {
            const auto T =
                part.level ? std::optional(rule.permitted_time(*part.level)) : std::nullopt;
            step.row(words_of(plan, person, row), part.level, part.time, T,
                     dose_percent(std::span(&part, 1), rule));
        });
    return step.is(result.value, result.unit());
}

const Formula& formula_of_value(const Criterion& criterion) {
    if (criterion.quantity == ExposureQuantity::LAeq_loudest) return formula_of_loudest;
    if (criterion.weekly_average) return formula_of_weekly_average;
    return criterion.with_protection ? formula_of_daily_exposure_at_ear : formula_of_daily_exposure;
}

WorkingStep level_step(const Plan& plan, const Person& person, const CriterionResult& result,
                       const ExposureDay& day, const std::string& of) {
    const Criterion& criterion = *result.criterion;
    if (criterion.quantity == ExposureQuantity::LAeq_1h) {
        StepOf step(say<StepPhrase::OfTheDay>(criterion.id), key(of, "value"),
                    formula_of_highest_average);
        const auto stretch = loudest_stretch(parts_for(criterion, day), averaging_hour);
        if (stretch) {
            add_rows_between(plan, person, day, exposure_at(criterion), *stretch, step);
        }
        return step.is(result.value, "dB(A)");
    }
    StepOf step(say<StepPhrase::OfTheDay>(criterion.id), key(of, "value"),
                formula_of_value(criterion));
    add_days(criterion, day, step);
    return over_rows(plan, person, day, exposure_at(criterion), std::move(step),
                     shown(result.value), "dB(A)", criterion.days_counted(day.days_per_week));
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

WorkingStep margin_step(const CriterionResult& result, const ExposureDay& day,
                        const std::string& of) {
    const Criterion& criterion = *result.criterion;
    const Message what = say<StepPhrase::Margin>(criterion.id);
    if (result.is_peak || !is_dose(criterion.quantity)) {
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

void leave_reduction(const Message& row, const PeakReduction& worn, Trace& trace) {
    trace.leave(StepOf(say<StepPhrase::PeakReduction>(row), {}, formula_of_peak_reduction)
                    .value("M_dB", worn.M)
                    .value("L_dB", worn.L)
                    .value("H_M_L", say<StepPhrase::ComputedFromOctaves>(worn.from_octaves))
                    .value("Ks_dB", worn.Ks)
                    .value("low_frequency", say<StepPhrase::PeakReductionForm>(worn.form))
                    .is(worn.reduction, "dB"));
}

void leave_bound(const Message& row, const PeakBound& bound, Trace& trace) {
    trace.leave(StepOf(say<StepPhrase::PeakBound>(row), {}, formula_of_peak_bound)
                    .value("LAeq_dB", bound.LAeq)
                    .value("above_dB", bound.above)
                    .value("u_dB", bound.u)
                    .value("difference_dB", bound.difference)
                    .value("unweighted_dB", bound.for_unweighted)
                    .is(bound.dB(), "dB"));
}

void leave_peak(const Plan& plan, const Person& person, const ExposureDay& day,
                const std::vector<RowPeak>& peaks, const CriterionResult& result,
                std::vector<std::string> of, Trace& trace) {
    const bool at_ear = result.criterion->peak->at_ear;
    StepOf step(say<StepPhrase::HighestPeak>(result.criterion->id), std::move(of),
                at_ear ? formula_of_highest_peak_at_ear : formula_of_highest_peak);
    step.columns({"row", "LCpeak_dB", "LZpeak_dB", "bound_dB", "reduction_dB"});
    for (const RowPeak& peak : peaks) {
        const ExposureRow& row = day.rows[peak.row];
        const Message name = words_of(plan, person, row);
        if (peak.worn) leave_reduction(name, *peak.worn, trace);
        if (peak.bound) leave_bound(name, *peak.bound, trace);
        const auto bound = peak.bound ? std::optional(peak.bound->dB()) : std::nullopt;
        step.row(name, row.sound->LCpeak, row.sound->LZpeak, bound, peak.reduction);
    }
    trace.leave(step.is(result.value, "dB"));
}

WorkingStep peak_probability_step(const Plan& plan, const Person& person, const ExposureDay& day,
                                  const std::vector<RowPeak>& peaks, const CriterionResult& result,
                                  std::vector<std::string> of) {
    StepOf step(say<StepPhrase::PeakProbability>(result.criterion->id), std::move(of),
                formula_of_peak_probability);
    step.value("limit", result.limit).columns({"row", "L_dB", "u_dB"});
    for (const RowPeak& peak : peaks) {
        if (!peak.stated_dB) continue;
        step.row(words_of(plan, person, day.rows[peak.row]), peak.at_most_dB(), peak.uncertainty);
    }
    return step.is(result.probability_over, "");
}

}  // namespace

double in_tenths(LevelDifference difference) { return std::round(difference.dB() * 10.0) / 10.0; }

void leave_criterion(const Plan& plan, const Person& person, const ExposureDay& day,
                     const MeanDay& mean, const CriterionResult& result, const std::string& of,
                     Trace& trace) {
    const Trace::About about(trace, {result.criterion->id});
    trace.leave(limit_step(result, of));
    trace.leave(is_dose(result.criterion->quantity) ? dose_step(plan, person, result, day, of)
                                                    : level_step(plan, person, result, day, of));
    trace.leave(margin_step(result, day, of));
    leave_uncertainty(plan, person, day, mean, result, of, trace);
}

void leave_peak_criterion(const Plan& plan, const Person& person, const ExposureDay& day,
                          const std::vector<RowPeak>& peaks, const CriterionResult& result,
                          const std::string& of, Trace& trace) {
    const Trace::About about(trace, {result.criterion->id});
    trace.leave(limit_step(result, of));
    leave_peak(plan, person, day, peaks, result, key(of, "value"), trace);
    trace.leave(margin_step(result, day, of));
    trace.leave(
        peak_probability_step(plan, person, day, peaks, result, key(of, "probability_over")));
}

}  // namespace earbudget
