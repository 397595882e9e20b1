#include "earbudget/advice/advise.hpp"

#include <algorithm>

#include "advice/advice_on.hpp"

namespace earbudget {

namespace {

bool exceeds_an_exposure_limit(const PersonResult& result) {
    return std::any_of(result.criteria.begin(), result.criteria.end(), [](const auto& criterion) {
        return criterion.decides && !criterion.is_peak && criterion.verdict == Verdict::Over;
    });
}

bool is_close_to_an_exposure_limit(const PersonResult& result) {
    return std::any_of(result.criteria.begin(), result.criteria.end(), [](const auto& criterion) {
        return criterion.decides && !criterion.is_peak && criterion.verdict == Verdict::Close;
    });
}

/// Peaks at the ear hang on what is worn, as exposures do.
bool is_close_to_a_peak_at_ear(const PersonResult& result) {
    return std::ranges::any_of(result.criteria, [](const CriterionResult& criterion) {
        return criterion.decides && criterion.is_peak && criterion.criterion->peak->at_ear &&
               criterion.verdict == Verdict::Close;
    });
}

/// What several cards lack alike is said once.
struct Lacking {
    const Unreached* first;
    std::vector<Message> sounds = {};
    std::vector<std::string> where = {};
    std::size_t count = 0;
};

/// What to enter so that a method reaches everything.
void advise_to_complete(const ExposureDay& day, std::vector<Advice>& advice) {
    std::vector<Lacking> all;
    for (const Unreached& unreached : day.unreached) {
        const auto same = std::ranges::find_if(all, [&](const Lacking& other) {
            return other.first->wears == unreached.wears &&
                   other.first->why(true) == unreached.why(true);
        });
        Lacking& lacking = same == all.end() ? all.emplace_back(Lacking{&unreached}) : *same;
        lacking.sounds.insert(lacking.sounds.end(), unreached.sounds.begin(),
                              unreached.sounds.end());
        if (unreached.where) lacking.where.push_back(unreached.where->text());
        ++lacking.count;
    }
    for (const Lacking& lacking : all) {
        advice.push_back({.code = AdviceCode::CompleteData,
                          .says = {say<AdvicePhrase::CompleteData>(
                              lacking.sounds, lacking.first->wears,
                              lacking.first->why(/*each=*/lacking.count > 1),
                              !lacking.where.empty(), lacking.where)}});
    }
}

}  // namespace

std::vector<Advice> advise(const Plan& plan, const ExposureDay& day, const MonteCarloDay& drawn,
                           const PersonResult& result, Candidates& candidates) {
    std::vector<Advice> advice;
    advise_against_metal(plan, *result.person, advice);
    advise_on_unknown_peaks(plan, day, result, advice);
    const bool over = exceeds_an_exposure_limit(result);
    const bool undecided = hangs_on_unreached(result);
    const bool over_or_close = over || is_close_to_an_exposure_limit(result);
    const bool over_at_ear = exceeds_a_peak(result, true);
    if (over || over_at_ear) advise_better_wearing(plan, result, advice);
    if (undecided || result.verdict == Verdict::Unknown || result.verdict == Verdict::Close)
        advise_to_complete(day, advice);
    if (over_or_close || undecided || over_at_ear || is_close_to_a_peak_at_ear(result)) {
        advise_protection(plan, day, result, candidates, exceeds_a_peak(result, false), advice);
    }
    if (over_or_close) advise_shortening(plan, day, drawn, result, advice);
    if (over) {
        advise_fewer_sessions(day, drawn, result, advice);
        advise_position(plan, result, advice);
        advise_reduction(day, drawn, result, candidates, advice);
    }
    advise_on_peaks_over(result, advice);
    if (!over && !undecided && !over_at_ear) advise_fit_check(plan, result, advice);
    advise_on_speech(day, result, advice);
    return advice;
}

}  // namespace earbudget
