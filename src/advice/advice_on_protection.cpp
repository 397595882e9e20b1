#include <algorithm>

#include "advice/advice_on.hpp"
#include "choice/required_reduction.hpp"
#include "earbudget/limits/judge.hpp"

namespace earbudget {

namespace {

// The missing reduction that keeps the accepted probability too, no less than `least`.
std::optional<LevelDifference> confident_reduction(const Person& person, const MonteCarloDay& drawn,
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
    return {.code = includes(candidate.wears, person.wears) ? AdviceCode::AddProtection
                                                            : AdviceCode::ChangeProtection,
            .says = {say<AdvicePhrase::WearInstead>(
                candidate.stated_metal_free, names_of(plan.catalogue, candidate.wears),
                part_of_the_time,
                candidate.at_ear ? say<AdvicePhrase::WhileScanning>(*candidate.at_ear) : Message(),
                best.perhaps_over ? say<AdvicePhrase::PerhapsOver>(accepted_percent(person))
                                  : Message(),
                best.perhaps_over, is_estimated_pair(plan, candidate.wears), over_a_peak)},
            .wears = candidate.wears};
}

Message why_no_reduction(const Person& person) {
    const double worn = person.wearing.fraction_of_time;
    return worn < 1.0 ? say<AdvicePhrase::NoReductionPartOfTheTime>(100.0 * worn)
                      : say<AdvicePhrase::NoReductionWould>();
}

// Only who has tried everything can speak of the catalogue.
Message nothing_keeps(const Person& person, const Candidates& candidates) {
    const bool tasks =
        std::ranges::any_of(person.tasks, [](const Task& task) { return task.wears.has_value(); });
    if (candidates.left_out == 0) return say<AdvicePhrase::NothingInCatalogue>(tasks);
    return say<AdvicePhrase::NoneOfTried>(candidates.tried.size(), tasks, candidates.left_out);
}

}  // namespace

void advise_protection(const Plan& plan, const ExposureDay& day, const PersonResult& result,
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

void advise_reduction(const ExposureDay& day, const MonteCarloDay& drawn,
                      const PersonResult& result, const Candidates& candidates,
                      std::vector<Advice>& advice) {
    const Person& person = *result.person;
    if (!is_over_any(person, day, limits_for_protection(person))) return;
    const bool helped = std::ranges::any_of(advice, [](const Advice& other) {
        return other.code == AdviceCode::AddProtection ||
               other.code == AdviceCode::ChangeProtection;
    });
    Advice more{.code = AdviceCode::RequiredProtection};
    if (!helped) more.says.push_back(nothing_keeps(person, candidates));
    more.reduction = missing_reduction(person, day);
    if (!more.reduction) {
        more.says.push_back(why_no_reduction(person));
        advice.push_back(std::move(more));
        return;
    }
    more.confident_reduction = confident_reduction(person, drawn, *more.reduction);
    const bool below_0 = std::ranges::any_of(day.rows, [](const ExposureRow& row) {
        return row.prediction && row.prediction->raised_to_zero;
    });
    more.says.push_back(say<AdvicePhrase::MoreReduction>(*more.reduction, below_0));
    if (more.confident_reduction) {
        more.says.push_back(say<AdvicePhrase::SureReduction>(
            *more.confident_reduction, accepted_percent(person), wears_anything(person)));
    }
    advice.push_back(std::move(more));
}

}  // namespace earbudget
