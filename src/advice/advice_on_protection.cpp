#include "advice/advice_on_protection.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "choice/missing_reduction.hpp"
#include "earbudget/day/accepted_words.hpp"
#include "earbudget/limits/judge.hpp"

namespace earbudget {

namespace {

// The missing reduction that keeps the accepted probability too, no less than `least`.
std::optional<LevelDifference> confident_reduction(const Person& person, const DrawnDay& drawn,
                                                   LevelDifference least) {
    return least_reduction([&](LevelDifference more) {
        return more >= least && !drawn.perhaps_over({.added = more}, limits_for_protection(person));
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
        .code = includes(candidate.wears, person.wears) ? AdviceCode::AddProtection
                                                        : AdviceCode::ChangeProtection,
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

// Only who has tried everything can speak of the catalogue.
std::string nothing_keeps(const Person& person, const Candidates& candidates) {
    const bool tasks =
        std::ranges::any_of(person.tasks, [](const Task& task) { return task.wears.has_value(); });
    const std::string keep =
        fmt::format("is known to keep every exposure limit{}",
                    tasks ? ", with what the tasks say is worn during them" : "");
    if (candidates.left_out == 0)
        return fmt::format("Nothing in the catalogue that may be worn {}. ", keep);
    return fmt::format("None of the {} tried of what may be worn {}; {} were not tried. ",
                       candidates.tried.size(), keep, candidates.left_out);
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
                      const Candidates& candidates, std::vector<Advice>& advice) {
    const Person& person = *result.person;
    if (!is_over_any(person, day, limits_for_protection(person))) return;
    const bool helped = std::ranges::any_of(advice, [](const Advice& other) {
        return other.code == AdviceCode::AddProtection ||
               other.code == AdviceCode::ChangeProtection;
    });
    std::string text = helped ? "" : nothing_keeps(person, candidates);
    const auto missing = missing_reduction(person, day);
    if (!missing) {
        advice.push_back(
            {.code = AdviceCode::RequiredProtection, .text = text + why_no_reduction(person)});
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
    advice.push_back({.code = AdviceCode::RequiredProtection,
                      .text = text,
                      .reduction = missing,
                      .confident_reduction = confident});
}

}  // namespace earbudget
