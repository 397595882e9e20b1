#include "earbudget/advice/advise.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "advice/advice_on_days.hpp"
#include "advice/advice_on_peaks.hpp"
#include "advice/advice_on_protection.hpp"
#include "advice/advice_on_time.hpp"
#include "advice/advice_on_wearing.hpp"

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

/// What several cards lack alike is said once.
struct Lacking {
    std::string wears, what;
    std::string alone = {};  ///< what is said of it
    std::string names = {}, where = {};
    std::size_t count = 0;
};

/// What is lacking, of each card instead of by its name.
std::string said_of_any(const Unreached& unreached) {
    std::string text = unreached.text;
    const std::string own = ": " + unreached.name + " ";
    const auto at = text.find(own);
    if (!unreached.protector && at != std::string::npos) text.replace(at, own.size(), ": each ");
    return text;
}

/// What to enter so that a method reaches everything.
void advise_to_complete(const HearingDay& day, std::vector<Advice>& advice) {
    std::vector<Lacking> all;
    for (const Unreached& unreached : day.unreached) {
        const std::string what = said_of_any(unreached);
        const auto same = std::ranges::find_if(all, [&](const Lacking& other) {
            return other.wears == unreached.wears && other.what == what;
        });
        Lacking& lacking =
            same == all.end() ? all.emplace_back(Lacking{unreached.wears, what}) : *same;
        lacking.names += (lacking.names.empty() ? "" : ", ") + unreached.name;
        if (unreached.where) {
            lacking.where +=
                fmt::format("{}{}", lacking.where.empty() ? "" : ", ", unreached.where->text());
        }
        lacking.alone = lacking.count++ == 0 ? unreached.text : what;
    }
    for (const Lacking& lacking : all) {
        advice.push_back(
            {.code = AdviceCode::CompleteData,
             .text = fmt::format(
                 "Complete what decides, {} unreduced at the ear under {}: {}{}.", lacking.names,
                 lacking.wears, lacking.alone,
                 lacking.where.empty() ? std::string() : fmt::format(" ({})", lacking.where))});
    }
}

}  // namespace

std::vector<Advice> advise(const Plan& plan, const HearingDay& day, const DrawnDay& drawn,
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
