#include <fmt/format.h>

#include "earbudget/limits/judge.hpp"
#include "earbudget/limits/row_peak.hpp"
#include "working/working_steps.hpp"

namespace earbudget {

namespace {

std::string_view words_of(PeakReduction::Form form) {
    switch (form) {
        case PeakReduction::Form::Usual:
            return "not of low frequency: M − Ks";
        case PeakReduction::Form::LowFrequency:
            return "low frequency: L − Ks − 5 dB";
        case PeakReduction::Form::SmallerOfBoth:
            return "not stated: the smaller of both";
    }
    return "";
}

void work_out_reduction(const std::string& row, const PeakReduction& worn, Working& working) {
    working.push_back(
        StepOf("reduction of the peak of " + row, {}, formula_of_peak_reduction)
            .value("M_dB", worn.M)
            .value("L_dB", worn.L)
            .value("H_M_L", worn.from_octaves ? "computed from octave-band data" : "as stated")
            .value("Ks_dB", worn.Ks)
            .value("low_frequency", words_of(worn.form))
            .is(worn.reduction, "dB"));
}

void work_out_bound(const std::string& row, const PeakBound& bound, Working& working) {
    working.push_back(StepOf("bound on the peak of " + row, {}, formula_of_peak_bound)
                          .value("LAeq_dB", bound.LAeq)
                          .value("above_dB", bound.above)
                          .value("u_dB", bound.u)
                          .value("difference_dB", bound.difference)
                          .value("unweighted_dB", bound.for_unweighted)
                          .is(bound.dB(), "dB"));
}

}  // namespace

void work_out_peak(const Plan& plan, const Person& person, const HearingDay& day,
                   const CriterionResult& result, std::vector<std::string> of, Working& working) {
    const auto peaks = row_peaks(*result.criterion->peak, plan, person, day);
    const bool at_ear = result.criterion->peak->at_ear;
    StepOf step("highest peak for " + result.criterion->id, std::move(of),
                at_ear ? formula_of_highest_peak_at_ear : formula_of_highest_peak);
    step.columns({"row", "LCpeak_dB", "LZpeak_dB", "bound_dB", "reduction_dB"});
    for (const RowPeak& peak : peaks) {
        const HeardRow& row = day.rows[peak.row];
        const std::string name = words_of(plan, person, row);
        if (peak.worn) work_out_reduction(name, *peak.worn, working);
        if (peak.bound) work_out_bound(name, *peak.bound, working);
        const auto bound = peak.bound ? std::optional(peak.bound->dB()) : std::nullopt;
        step.row(name, row.sound->LCpeak, row.sound->LZpeak, bound, peak.reduction);
    }
    working.push_back(step.is(result.value, "dB"));
}

void work_out_peak_probability(const Plan& plan, const Person& person, const HearingDay& day,
                               const CriterionResult& result, std::vector<std::string> of,
                               Working& working) {
    StepOf step("probability of being over the peak limit of " + result.criterion->id,
                std::move(of), formula_of_peak_probability);
    step.value("limit", result.limit).columns({"row", "L_dB", "u_dB"});
    for (const RowPeak& peak : row_peaks(*result.criterion->peak, plan, person, day)) {
        if (!peak.stated_dB) continue;
        step.row(words_of(plan, person, day.rows[peak.row]), peak.at_most_dB(), peak.uncertainty);
    }
    working.push_back(step.is(result.probability_over, ""));
}

}  // namespace earbudget
