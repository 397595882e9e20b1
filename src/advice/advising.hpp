#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "earbudget/advice/phrases.hpp"
#include "earbudget/choice/candidates.hpp"
#include "earbudget/limits/assessment.hpp"
#include "earbudget/limits/judge.hpp"
#include "earbudget/limits/shorten.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"

namespace earbudget {

/// Adds the exposure of a day, its rows and their shares to a result.
void add_exposure(const Plan& plan, const ExposureDay& day, PersonResult& result, Trace* trace);

/// Adds what each sequence and each task has of it, and the change that lowers it most.
void add_shares(const Plan& plan, const ExposureDay& day, const Candidates& candidates,
                PersonResult& result, Trace* trace);

/// What advice goes by, and what there is of it already: what is added depends on that.
struct Advising {
    const Plan& plan;
    const ExposureDay& day;
    const MonteCarloDay& drawn;
    const PersonResult& result;  ///< all but its advice
    Candidates& candidates;
    Trace* trace;  ///< null where nobody asks
    const Person& person = *result.person;
    std::vector<Advice> advice = {};

    /// Whether any limit of a kind that decides has this verdict.
    [[nodiscard]] bool has_exposure(Verdict verdict) const;
    [[nodiscard]] bool has_peak(Verdict verdict, bool at_ear) const;

    /// The probability of being over that is accepted, in percent.
    [[nodiscard]] double accepted_percent() const {
        return 100.0 * person.policy.accepted_probability;
    }
    /// Whether nothing better than close can be said, since nobody measured some levels.
    [[nodiscard]] bool close_at_best() const { return !result.unmeasured.empty(); }
    /// Which words say that the limits are kept: within, close for its probability, or since nobody
    /// measured some levels.
    [[nodiscard]] unsigned kept_in_words(bool perhaps_over) const {
        return close_at_best() ? 3U : perhaps_over ? 2U : 1U;
    }
    /// Whether another day keeps every exposure limit, and the peaks there, by the best estimate.
    [[nodiscard]] bool keeps_limits(const Person& as, const ExposureDay& other,
                                    PeakPlace where = PeakPlace::AtEar,
                                    Limits limits = Limits::All) const;

    /// Says why the best estimate is so much larger than what is kept confidently, where it is (so
    /// it is too where that is 0): how uncertain the exposure is that is most probably over, and by
    /// what most.
    void add_why_far_apart(double best_estimate, double confident,
                           std::vector<Message>& says) const;

    /// Leaves how one number of the advice that comes next came about.
    [[nodiscard]] std::vector<std::string> key(std::string_view number) const;
    void leave(WorkingStep step) const;
    /// The same of what the draws give for the accepted probability.
    void leave_confident(const Message& what, std::string_view number, double value,
                         const std::string& unit) const;
};

// Each of one thing, in the file that is named after what it is about.

/// How long and how often (advice_on_time.cpp): the longest time of the row with the largest share,
/// or of all sequences in proportion.
void advise_shortening(Advising& on);

/// On how many days (advice_on_days.cpp): fewer sessions a day, and how many days then hold them;
/// for one session too much, over how many days to divide it.
void advise_fewer_sessions(Advising& on);

/// What to wear and where to be (advice_on_wearing.cpp): that what does not seat is not offered
/// again, and what the protector already worn would do if it were worn all the time; what to wear
/// instead, or in addition, from the catalogue; the loudest other position at which every limit is
/// kept, for who has tasks; how much more reduction than now would keep every limit, and whether
/// anything else that was tried does; a check of the fit, where a poor one would turn the verdict.
void advise_better_wearing(Advising& on);
void advise_protection(Advising& on);
void advise_position(Advising& on);
void advise_reduction(Advising& on);
void advise_fit_check(Advising& on);

}  // namespace earbudget
