#include "earbudget/working/working.hpp"

#include <cmath>

#include <fmt/format.h>

#include "earbudget/limits/allowance_course.hpp"
#include "earbudget/limits/judge.hpp"
#include "working/working_steps.hpp"

namespace earbudget {

double in_tenths(LevelDifference difference) { return std::round(difference.dB() * 10.0) / 10.0; }

std::string key_of(std::string_view list, std::size_t index, std::string_view key) {
    return fmt::format("{}[{}].{}", list, index, key);
}

void name_topics(std::size_t from, const std::vector<std::string>& ids, Working& working) {
    for (std::size_t n = from; n < working.size(); ++n) {
        auto& about = working[n].about;
        about.insert(about.end(), ids.begin(), ids.end());
    }
}

std::vector<std::string> topics_of(const Plan& plan, const HeardRow& row) {
    if (!row.sequence) return {};
    return {plan.sequences[*row.sequence].id};
}

std::string words_of(const Plan& plan, const Person& person, const HeardRow& row) {
    const Task* task = row.task ? &person.tasks[*row.task] : nullptr;
    std::string words = row.sequence   ? plan.sequences[*row.sequence].id
                        : !task        ? "rest"
                        : task->levels ? "noise of its own"
                                       : "background";
    if (task && !task->title.empty()) words = fmt::format("{}, {}", task->title, words);
    if (row.position) words += fmt::format(" at {}", plan.positions[*row.position].id);
    return words;
}

Working working_of(const Plan& plan, const PersonResult& result) {
    Working working;
    const Person& person = *result.person;
    const HearingDay day = day_of(result);
    work_out_levels(plan, person, person.wears, day, RowKeys::Segments, working);
    work_out_exposure(plan, result, day, working);
    work_out_mean_reductions(plan, result, day, working);
    for (std::size_t n = 0; n < result.criteria.size(); ++n) {
        work_out_criterion(plan, person, day, result.criteria[n], fmt::format("criteria[{}]", n),
                           working);
    }
    work_out_outcomes(plan, result, working);
    work_out_advice(plan, result, day, working);
    return working;
}

Working working_of(const Plan& plan, const Person& person, const RankedChoice& choice) {
    Working working;
    if (!choice.at_ear_LEX_8h) return working;
    const HearingDay day = hear(plan, person, choice.wears, Wearing{});
    work_out_levels(plan, person, choice.wears, day, RowKeys::None, working);
    working.push_back(
        daily_exposure_step(plan, person, day, "LEX,8h at the ear", {"at_ear_LEX_8h_dB"}));
    work_out_scanning(
        plan, person, day.rows, choice.while_scanning,
        choice.wears.empty() ? "while_scanning_LAeq_dB" : "while_scanning_at_ear_LAeq_dB", working);
    if (choice.probability_over) {
        working.push_back(StepOf("probability of being over a limit", {"probability_over"},
                                 formula_of_drawn_probability)
                              .value("draws_over", std::round(*choice.probability_over *
                                                              static_cast<double>(choice.draws)))
                              .value("draws", static_cast<double>(choice.draws))
                              .value("seed", static_cast<double>(plan.draws.seed))
                              .is(choice.probability_over, ""));
    }
    const Limits limits = limits_for_protection(person);
    bool worst_is_shown = false;
    for (const Criterion& criterion : person.policy.criteria) {
        if (!counts_for(criterion, person, limits)) continue;
        const CriterionResult result = judge_exposure(criterion, day);
        // The tightest is the one that the ranking shows.
        const bool worst = !worst_is_shown && result.margin && result.margin == choice.worst_margin;
        worst_is_shown = worst_is_shown || worst;
        work_out_criterion(plan, person, day, result, worst ? "worst" : "", working);
    }
    work_out_methods(plan, person, choice.wears, Wearing{}, choice.methods, working);
    return working;
}

Working working_of(const Person& person, const RequiredReduction& required,
                   const RankedChoice& unprotected) {
    Working working;
    const auto add = [&](const std::string& what, const std::string& key, const Formula& formula,
                         const std::optional<LevelDifference>& value) {
        if (!value) return;
        StepOf step(what, {"required_reduction." + key}, formula);
        step.value("margin_without_protection_dB", unprotected.worst_margin)
            .value("derating", name_of(person.policy.rules.derating.kind));
        working.push_back(step.is(in_tenths(*value), "dB"));
    };
    add("reduction needed at the ear", "at_ear_dB", formula_of_required_reduction, required.at_ear);
    add("confident reduction needed at the ear", "confident_at_ear_dB",
        formula_of_required_reduction, required.confident_at_ear);
    const auto add_ratings = [&](const std::string& of, const std::string& key,
                                 const auto& ratings) {
        add("SNR needed" + of, key + "SNR_dB", formula_of_required_rating, ratings.SNR);
        add("NRR needed" + of, key + "NRR_dB", formula_of_required_rating, ratings.NRR);
        add("reduction needed in every octave band" + of, key + "every_octave_band_dB",
            formula_of_required_rating, ratings.every_band);
    };
    add_ratings("", "", required);
    for (std::size_t n = 0; n < required.by_type.size(); ++n) {
        const RequiredByType& type = required.by_type[n];
        add_ratings(fmt::format(" of a {}", name_of(type.type)), key_of("by_type", n, ""), type);
    }
    return working;
}

}  // namespace earbudget
