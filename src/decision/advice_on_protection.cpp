#include "decision/advice_on_protection.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "earbudget/decision/candidates.hpp"
#include "earbudget/decision/judge.hpp"

namespace earbudget {

namespace {

std::string names_of(const Plan& plan, const std::vector<std::string>& wears) {
    std::string names;
    for (const std::string& id : wears) {
        names += names.empty() ? "" : " under ";
        names += fmt::format("{} ({})", plan.catalogue.find(id)->protector.title, id);
    }
    return names;
}

// By how much the level at the ear must fall for every limit that counts protectors.
std::optional<LevelDifference> missing_reduction(const Person& person, const HearingDay& day) {
    std::optional<LevelDifference> missing;
    for (const Criterion& criterion : person.policy.criteria) {
        if (!criterion.is_for(person.role) || !criterion.with_protection) continue;
        const auto margin = margin_of(criterion, parts_for(criterion, day));
        if (!margin || *margin >= LevelDifference(0.0)) continue;
        missing = missing ? std::max(*missing, -*margin) : -*margin;
    }
    return missing;
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

Advice wear_instead(const Plan& plan, const Person& person, const Candidate& candidate) {
    return {
        .code = includes(candidate.wears, person.wears) ? "add-protection" : "change-protection",
        .text = fmt::format("Wear {}: {:.1f} dB(A) at the ear while sequences run, within every "
                            "limit{} if fitted as rated{}.",
                            names_of(plan, candidate.wears), candidate.at_ear.value().dB(),
                            candidate.perhaps_over ? ", though not surely," : "",
                            is_estimated_pair(plan, candidate.wears)
                                ? " (estimated, nobody measured this pair)"
                                : ""),
        .wears = candidate.wears};
}

}  // namespace

void advise_protection(const Plan& plan, const HearingDay& day, const PersonResult& result,
                       std::vector<Advice>& advice) {
    const Person& person = *result.person;
    const auto candidates = candidates_for(plan, person);
    const Candidate* best = best_within(candidates);
    const bool helps =
        best && best->at_ear && (result.verdict == Verdict::Over || !best->perhaps_over);
    if (helps) {
        advice.push_back(wear_instead(plan, person, *best));
        return;
    }
    const auto missing = missing_reduction(person, day);
    if (!missing) return;
    advice.push_back(
        {.code = "required-protection",
         .text = fmt::format("Nothing in the catalogue that {} may wear brings the level within "
                             "every limit: {:.1f} dB more reduction than now would.",
                             person.id, missing->dB())});
}

}  // namespace earbudget
