#include "decision/advice_on_protection.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "decision/least_reduction.hpp"
#include "earbudget/decision/accepted_words.hpp"
#include "earbudget/decision/day_budget.hpp"

namespace earbudget {

namespace {

// The day with that much less under what the person wears, or could wear who wears nothing: added
// to the reduction as it comes out, and held at 0 then. What no method could predict counts
// unreduced, and what a task says is worn stays.
HearingDay reduced_by(HearingDay day, const Person& person, LevelDifference more) {
    for (HeardRow& row : day.rows) {
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

// How much more reduction than now keeps every exposure limit, to the next tenth of a decibel; none
// where no reduction that people can get would.
std::optional<LevelDifference> missing_reduction(const Person& person, const HearingDay& day) {
    return least_reduction([&](LevelDifference more) {
        return DayBudget(person, reduced_by(day, person, more), limits_for_protection(person))
            .is_over();
    });
}

// The same that keeps the accepted probability, no less than `least`.
std::optional<LevelDifference> confident_reduction(const Person& person, const DrawnDay& drawn,
                                                   LevelDifference least) {
    return least_reduction([&](LevelDifference more) {
        return more < least || drawn.perhaps_over({.added = more}, limits_for_protection(person));
    });
}

bool includes(const std::vector<std::string>& wears, const std::vector<std::string>& others) {
    return std::all_of(others.begin(), others.end(), [&wears](const std::string& id) {
        return std::find(wears.begin(), wears.end(), id) != wears.end();
    });
}

bool is_estimated_pair(const Plan& plan, const std::vector<std::string>& wears) {
    const auto& pairs = plan.catalogue.pairs;
    return wears.size() == 2 &&
           std::none_of(pairs.begin(), pairs.end(), [&wears](const MeasuredPair& pair) {
               return includes(wears, {pair.plug, pair.earmuff});
           });
}

Advice wear_instead(const Plan& plan, const Person& person, const BestCandidate& best,
                    bool over_a_peak) {
    const Candidate& candidate = *best.candidate;
    const bool part_of_the_time = person.wearing.fraction_of_time < 1.0;
    return {
        .code = includes(candidate.wears, person.wears) ? "add-protection" : "change-protection",
        .text = fmt::format(
            "{} {}{}: {}within every exposure limit{} if fitted as rated{}{}.",
            // First, so that no shortened text leaves it out.
            candidate.stated_metal_free ? "Wear" : "Once known to be free of metal, wear",
            names_of(plan.catalogue, candidate.wears), part_of_the_time ? " all the time" : "",
            candidate.at_ear ? fmt::format("{:.1f} dB(A) at the ear while sequences run, ",
                                           candidate.at_ear->dB())
                             : std::string(),
            best.perhaps_over ? fmt::format(", though with a probability of being over above {},",
                                            percent_of_accepted(person.policy))
                              : std::string(),
            is_estimated_pair(plan, candidate.wears) ? " (estimated, nobody measured this pair)"
                                                     : "",
            over_a_peak ? "; the peak outside stays above its limit" : ""),
        .wears = candidate.wears};
}

std::string why_no_reduction(const Person& person) {
    if (person.wearing.fraction_of_time < 1.0) {
        return fmt::format("No reduction would, while protection is worn {:.0f} % of the time.",
                           100.0 * person.wearing.fraction_of_time);
    }
    return "No reduction would: the limit does not count protectors, or is too far away.";
}

}  // namespace

void advise_protection(const Plan& plan, const HearingDay& day, const PersonResult& result,
                       Candidates& candidates, bool over_a_peak, std::vector<Advice>& advice) {
    const Person& person = *result.person;
    const Limits limits = limits_for_protection(person);
    const bool over = is_over_any(person, day, limits) ||
                      worst_peak_verdict(plan, person, day, PeakPlace::AtEar) == Verdict::Over;
    // Above an action value alone no protector helps.
    if (!over && is_over_any(person, day)) return;
    const auto best = best_within(plan, person, candidates);
    if (best && (over || !best->perhaps_over)) {
        advice.push_back(wear_instead(plan, person, *best, over_a_peak));
    }
}

void advise_reduction(const HearingDay& day, const DrawnDay& drawn, const PersonResult& result,
                      std::vector<Advice>& advice) {
    const Person& person = *result.person;
    if (!is_over_any(person, day, limits_for_protection(person))) return;
    const bool helped = std::ranges::any_of(advice, [](const Advice& other) {
        return other.code == "add-protection" || other.code == "change-protection";
    });
    std::string text;
    if (!helped) {
        const bool tasks = std::ranges::any_of(
            person.tasks, [](const Task& task) { return task.wears.has_value(); });
        text = fmt::format(
            "Nothing in the catalogue that may be worn is known to keep every exposure limit{}. ",
            tasks ? ", with what the tasks say is worn during them" : "");
    }
    const auto missing = missing_reduction(person, day);
    if (!missing) {
        advice.push_back({.code = "required-protection", .text = text + why_no_reduction(person)});
        return;
    }
    const auto confident = confident_reduction(person, drawn, *missing);
    const bool below_0 = std::ranges::any_of(day.rows, [](const HeardRow& row) {
        return row.prediction && row.prediction->raised_to_zero;
    });
    text += fmt::format("{:.1f} dB more reduction than {} would keep them.", missing->dB(),
                        below_0 ? "the method gives now, which is below 0," : "now");
    if (confident) {
        text +=
            fmt::format(" {:.1f} dB keeps {}{}.", confident->dB(), words_of_accepted(person.policy),
                        wears_anything(person) ? "" : ", as this person really gets it");
    }
    advice.push_back({.code = "required-protection",
                      .text = text,
                      .reduction = missing,
                      .confident_reduction = confident});
}

}  // namespace earbudget
