#include "earbudget/decision/advise.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "decision/advice_on_days.hpp"
#include "decision/advice_on_peaks.hpp"
#include "decision/advice_on_protection.hpp"
#include "decision/advice_on_time.hpp"
#include "decision/advice_on_wearing.hpp"

namespace earbudget {

namespace {

bool exceeds_an_exposure_limit(const PersonResult& result) {
    return std::any_of(result.criteria.begin(), result.criteria.end(), [](const auto& criterion) {
        return criterion.decides && criterion.quantity != "peak" &&
               criterion.verdict == Verdict::Over;
    });
}

bool is_close_to_an_exposure_limit(const PersonResult& result) {
    return std::any_of(result.criteria.begin(), result.criteria.end(), [](const auto& criterion) {
        return criterion.decides && criterion.quantity != "peak" &&
               criterion.verdict == Verdict::Close;
    });
}

/// Peaks at the ear hang on what is worn, as exposures do.
bool is_close_to_a_peak_at_ear(const PersonResult& result) {
    return std::ranges::any_of(result.criteria, [](const CriterionResult& criterion) {
        return criterion.decides && criterion.quantity == "peak" &&
               criterion.criterion->peak->at_ear && criterion.verdict == Verdict::Close;
    });
}

/// What to enter so that a method reaches everything.
void advise_to_complete(const HearingDay& day, std::vector<Advice>& advice) {
    for (const Unreached& unreached : day.unreached) {
        const auto& where = unreached.where;
        std::string text =
            fmt::format("Complete what decides, {} unreduced at the ear under {}: {}{}.",
                        unreached.name, unreached.wears, unreached.text,
                        where ? fmt::format(" ({})", where->text()) : std::string());
        advice.push_back({.code = "complete-data", .text = std::move(text)});
    }
}

}  // namespace

std::vector<Advice> advise(const Plan& plan, const HearingDay& day, const DrawnDay& drawn,
                           const PersonResult& result, const std::vector<Candidate>& candidates) {
    std::vector<Advice> advice;
    advise_against_metal(plan, *result.person, advice);
    advise_on_unknown_peaks(plan, day, result, advice);
    const bool over = exceeds_an_exposure_limit(result);
    const bool undecided = hangs_on_unreached(result);
    const bool over_or_close = over || is_close_to_an_exposure_limit(result);
    const bool over_at_ear = exceeds_a_peak(result, true);
    if (over || over_at_ear) advise_better_wearing(plan, result, advice);
    if (undecided) advise_to_complete(day, advice);
    if (over_or_close || undecided || over_at_ear || is_close_to_a_peak_at_ear(result)) {
        advise_protection(plan, day, result, candidates, exceeds_a_peak(result, false), advice);
    }
    if (over_or_close) advise_shortening(plan, day, drawn, result, advice);
    if (over) {
        advise_fewer_sessions(day, drawn, result, advice);
        advise_position(plan, result, advice);
        advise_reduction(day, drawn, result, advice);
    }
    advise_on_peaks_over(result, advice);
    if (!over && !undecided && !over_at_ear) advise_fit_check(plan, result, advice);
    advise_on_speech(day, result, advice);
    return advice;
}

}  // namespace earbudget
