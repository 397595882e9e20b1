#pragma once

#include <vector>

#include "earbudget/advice/phrases.hpp"
#include "earbudget/choice/candidates.hpp"
#include "earbudget/limits/assessment.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"

namespace earbudget {

// What advise says, each of one thing; what is added to `advice` depends on what it holds already.

/// The probability of being over that is accepted, in percent.
[[nodiscard]] inline double accepted_percent(const Person& person) {
    return 100.0 * person.policy.accepted_probability;
}

/// Two figures this many times apart are not said together without the reason.
inline constexpr double far_apart = 20.0;

/// Whether the figure of the best estimate is so much larger than the confident one; so it is too
/// where the confident one is 0.
[[nodiscard]] constexpr bool are_far_apart(double best_estimate, double confident) {
    return best_estimate > 0.0 && best_estimate >= far_apart * confident;
}

/// Says why they are: how uncertain the exposure is that is most probably over, and by what most.
void add_why_far_apart(const PersonResult& result, std::vector<Message>& says);

/// Fewer sessions a day, and how many days then hold them; for one session too much, over how many
/// days to divide it.
void advise_fewer_sessions(const ExposureDay& day, const MonteCarloDay& drawn,
                           const PersonResult& result, std::vector<Advice>& advice);

/// The loudest other position at which every limit is kept, for who has tasks.
void advise_position(const Plan& plan, const PersonResult& result, std::vector<Advice>& advice);

/// Whether a limit on the peak is over: one on the peak outside, or one on the peak at the ear.
[[nodiscard]] bool exceeds_a_peak(const PersonResult& result, bool at_ear);

/// Which peak to enter or to measure, where a peak limit cannot be decided without.
void advise_on_unknown_peaks(const Plan& plan, const ExposureDay& day, const PersonResult& result,
                             std::vector<Advice>& advice);

/// What a peak above its limit asks for, beside what `advice` holds already.
void advise_on_peaks_over(const PersonResult& result, std::vector<Advice>& advice);

/// What to wear instead, or in addition, from the catalogue.
void advise_protection(const Plan& plan, const ExposureDay& day, const PersonResult& result,
                       Candidates& candidates, bool over_a_peak, std::vector<Advice>& advice);

/// How much more reduction than now would keep every limit, for who is over one, and whether
/// anything else that was tried does.
void advise_reduction(const ExposureDay& day, const MonteCarloDay& drawn,
                      const PersonResult& result, const Candidates& candidates,
                      std::vector<Advice>& advice);

/// The longest time of the row with the largest share, or of all sequences in proportion.
void advise_shortening(const Plan& plan, const ExposureDay& day, const MonteCarloDay& drawn,
                       const PersonResult& result, std::vector<Advice>& advice);

/// That what does not seat is not offered again; what the protector already worn would do if it
/// were worn all the time.
void advise_better_wearing(const Plan& plan, const PersonResult& result,
                           std::vector<Advice>& advice);

/// Whatever is worn near the magnet and holds metal stays outside; before all that is about
/// hearing.
void advise_against_metal(const Plan& plan, const Person& person, std::vector<Advice>& advice);

/// A check of the fit, where a poor one would turn the verdict.
void advise_fit_check(const Plan& plan, const PersonResult& result, std::vector<Advice>& advice);

/// Less protection or a louder intercom, where spoken instructions would be missed: by the
/// intercom's level, else, where the plan says that speech must be heard, by the level at the ear.
void advise_on_speech(const ExposureDay& day, const PersonResult& result,
                      std::vector<Advice>& advice);

}  // namespace earbudget
