#include <algorithm>
#include <cmath>

#include "choice/candidate_order.hpp"
#include "earbudget/acoustics/step_phrases.hpp"
#include "earbudget/choice/choose.hpp"
#include "earbudget/limits/day_budget.hpp"
#include "earbudget/limits/judge.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"
#include "limits/traced.hpp"

namespace earbudget {

namespace {

// The day with that much less under what the person wears, or could wear who wears nothing: added
// to the reduction as it comes out, and held at 0 then. What no method could predict counts
// unreduced, and what a task says is worn stays.
ExposureDay reduced_by(ExposureDay day, const Person& person, LevelDifference more) {
    for (ExposureRow& row : day.rows) {
        const bool bare_by_task = row.task && person.tasks[*row.task].wears && !row.with_protector;
        if (!row.while_worn || (row.with_protector && !row.prediction) || bare_by_task) continue;
        const LevelDifference now =
            row.prediction ? reduction_as_fitted(row.prediction->before_holding(), row.poor_fit)
                           : LevelDifference(0.0);
        const LevelDifference met = std::max(now + more, LevelDifference(0.0));
        row.while_worn = row.with_unreduced(row.sound->LAeq - met);
        row.at_ear = level_over_wearing_time(*row.outside(), *row.while_worn, row.fraction_worn);
    }
    return day;
}

}  // namespace

std::optional<LevelDifference> missing_reduction(const Person& person, const ExposureDay& day) {
    return least_reduction([&](LevelDifference more) {
        return !DayBudget(person, reduced_by(day, person, more), limits_for_protection(person))
                    .is_over();
    });
}

namespace {

/// A protector of which only this is known, x dB of it.
using Described = AttenuationData (*)(LevelDifference);

AttenuationData with_par(LevelDifference x) { return {.ratings = {.PAR = x}}; }
AttenuationData with_snr(LevelDifference x) { return {.ratings = {.SNR = x}}; }
AttenuationData with_nrr(LevelDifference x) { return {.ratings = {.NRR = x}}; }

AttenuationData with_every_band(LevelDifference x) {
    OctaveAttenuation octave;
    for (const OctaveBand band : octave_bands) {
        if (permitted_attenuation_bands().test(index_of(band))) {
            octave.set(band, x, LevelDifference(0.0));
        }
    }
    return {.octave = octave};
}

/// What is asked of a protector.
struct Question {
    Method method;
    Described described;
    Derating derating = {};
    std::optional<ProtectorType> type = std::nullopt;  ///< none: of no type that matters
    bool confident = false;                            ///< else the best estimate is asked for
};

std::optional<LevelDifference> required(const Plan& plan, const Person& person,
                                        const Question& question) {
    PredictionRules rules = person.policy.rules;
    rules.method = question.method;
    rules.performance = ProtectionPerformance();  // at which labels hold
    rules.derating = question.derating;
    const auto worn_with = [&](LevelDifference x) {
        AttenuationData worn = question.described(x);
        worn.type = question.type;
        return worn;
    };
    for (const ExposureRow& row : unprotected_rows(plan, person).or_throw()) {
        if (row.sequence &&
            find_obstacle(question.method, *row.sound, worn_with(LevelDifference(0.0)), rules)) {
            return std::nullopt;
        }
    }
    const Limits limits = limits_for_protection(person);
    return least_reduction([&](LevelDifference x) {
        const ExposureDay day =
            day_exposure_through(plan, person, worn_with(x), question.method, rules);
        if (DayBudget(person, day, limits).is_over()) return false;
        return !question.confident || !perhaps_over(plan, person, day, limits);
    });
}

Derating derating_for(const Person& person, Method method) {
    const Derating& derating = person.policy.rules.derating;
    return is_defined(derating.kind, method) ? derating : Derating{};
}

/// By how much the peak at the ear is above its limit with nothing worn, rounded up to tenths.
std::optional<LevelDifference> required_of_peak(const Plan& plan, const Person& person) {
    const ExposureDay day = day_exposure(plan, person, {}, Wearing{});
    std::vector<Warning> said_by_assess;
    std::optional<LevelDifference> most;
    for (const Criterion& criterion : person.policy.criteria) {
        if (!decides(criterion, person) || !criterion.peak || !criterion.peak->at_ear) continue;
        const auto peak = judge_peak(criterion, plan, person, day, said_by_assess);
        if (!peak || peak->verdict != Verdict::Over) continue;
        const double over = -peak->margin->dB() - level_slack.dB();
        most = std::max(most, std::optional(LevelDifference(0.1 * std::ceil(10.0 * over))));
    }
    return most;
}

}  // namespace

RequiredReduction required_reduction(const Plan& plan, const Person& person) {
    RequiredReduction result;
    result.at_ear = required(plan, person, {.method = Method::Par, .described = with_par});
    result.confident_at_ear =
        required(plan, person, {.method = Method::Par, .described = with_par, .confident = true});
    result.peak_at_ear = required_of_peak(plan, person);
    const auto rating = [&](Method method, Described described, std::optional<ProtectorType> type) {
        return required(plan, person,
                        {.method = method,
                         .described = described,
                         .derating = derating_for(person, method),
                         .type = type});
    };
    // Where nothing depends on it, any type will do.
    const ProtectorType any_type = protector_types.keys().front();
    const auto whatever_type = [&](Method method, Described described) {
        const bool depends = derating_rows[derating_for(person, method).kind].by_type;
        return depends ? std::nullopt : rating(method, described, any_type);
    };
    result.SNR = whatever_type(Method::Snr, with_snr);
    result.NRR = whatever_type(Method::Nrr, with_nrr);
    result.every_band = whatever_type(Method::Octave, with_every_band);
    if (!derating_rows[person.policy.rules.derating.kind].by_type) return result;
    for (const ProtectorType type : protector_types.keys()) {
        if (type == ProtectorType::Pad) continue;  // has no label
        result.by_type.push_back({type, rating(Method::Snr, with_snr, type),
                                  rating(Method::Nrr, with_nrr, type),
                                  rating(Method::Octave, with_every_band, type)});
    }
    return result;
}

Working working_of(const RequiredReduction& required, const Person& person,
                   const std::optional<LevelDifference>& margin) {
    Trace trace;
    const auto add = [&](const Message& what, const std::string& key, const Formula& formula,
                         const std::optional<LevelDifference>& value) {
        if (!value) return;
        StepOf step(what, {"required_reduction." + key}, formula);
        step.value("margin_without_protection_dB", margin)
            .value("derating", name_of(person.policy.rules.derating.kind));
        trace.leave(step.is(in_tenths(*value), "dB"));
    };
    add(say<StepPhrase::NeededAtEar>(), "at_ear_dB", formula_of_required_reduction,
        required.at_ear);
    add(say<StepPhrase::ConfidentlyNeededAtEar>(), "confident_at_ear_dB",
        formula_of_required_reduction, required.confident_at_ear);
    const auto add_ratings = [&](const Message& of, const std::string& key, const auto& ratings) {
        add(say<StepPhrase::RatingNeeded>("SNR", of), key + "SNR_dB", formula_of_required_rating,
            ratings.SNR);
        add(say<StepPhrase::RatingNeeded>("NRR", of), key + "NRR_dB", formula_of_required_rating,
            ratings.NRR);
        add(say<StepPhrase::EveryBandNeeded>(of), key + "every_octave_band_dB",
            formula_of_required_rating, ratings.every_band);
    };
    add_ratings({}, "", required);
    for (std::size_t n = 0; n < required.by_type.size(); ++n) {
        const RequiredByType& type = required.by_type[n];
        add_ratings(say<StepPhrase::OfAType>(name_of(type.type)), key_of("by_type", n, ""), type);
    }
    return trace.take();
}

}  // namespace earbudget
