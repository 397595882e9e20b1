#include "earbudget/decision/advise.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "decision/advice_on_days.hpp"
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

bool exceeds_the_peak(const PersonResult& result) {
    return std::any_of(result.criteria.begin(), result.criteria.end(), [](const auto& criterion) {
        return criterion.decides && criterion.quantity == "peak" &&
               criterion.verdict == Verdict::Over;
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
    const bool over = exceeds_an_exposure_limit(result);
    if (over) advise_better_wearing(plan, result, advice);
    const bool undecided = hangs_on_unreached(result);
    if (undecided) advise_to_complete(day, advice);
    if (over || undecided || is_close_to_an_exposure_limit(result)) {
        advise_protection(plan, day, result, candidates, exceeds_the_peak(result), advice);
    }
    if (over || is_close_to_an_exposure_limit(result)) {
        advise_shortening(plan, day, drawn, result, advice);
    }
    if (over) {
        advise_fewer_sessions(day, drawn, result, advice);
        advise_position(plan, result, advice);
        advise_reduction(day, drawn, result, advice);
    }
    if (exceeds_the_peak(result)) {
        advice.push_back({.code = "measure-again",
                          .text = "A peak is above its limit outside the protector: neither a "
                                  "shorter time nor this computation can mend that. Measure the "
                                  "peak again and do not run the sequence before it is lower."});
    }
    if (!over && !undecided) advise_fit_check(plan, result, advice);
    advise_on_speech(day, result, advice);
    return advice;
}

}  // namespace earbudget
