#include "earbudget/choice/choose.hpp"

#include <algorithm>
#include <iterator>

#include "choice/notes.hpp"
#include "earbudget/acoustics/step_phrases.hpp"
#include "earbudget/choice/candidates.hpp"
#include "earbudget/choice/homogeneous_groups.hpp"
#include "earbudget/choice/phrases.hpp"
#include "earbudget/limits/judge.hpp"
#include "earbudget/limits/unmeasured.hpp"
#include "earbudget/study/catalogue.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"
#include "limits/traced.hpp"

namespace earbudget {

namespace {

using Wears = std::vector<std::string>;

/// Why this may not be worn at all; none where it may.
std::optional<Message> forbidden(const Plan& plan, const Person& person, const Wears& wears) {
    for (const std::string& id : wears) {
        const auto& cannot = person.cannot_wear;
        if (std::find(cannot.begin(), cannot.end(), id) != cannot.end()) {
            return say<ChoicePhrase::CannotWear>(id);
        }
        if (auto why = does_not_seat(person, id)) return why;
        if (auto why = metal_forbids(plan, person, plan.catalogue.find(id)->protector)) return why;
    }
    return std::nullopt;
}

/// The highest of these limits: of what is worn in the plan as assess gives it, else by as few
/// draws as leave no doubt of the verdict.
SureProbability highest_probability(const MonteCarloDay& drawn, const Person& person, Limits limits,
                                    bool worn_now) {
    if (!worn_now) return drawn.sure_probability(limits);
    SureProbability highest{0.0, drawn.settings().draws};
    const auto results = drawn.judge();
    for (std::size_t n = 0; n < results.size(); ++n) {
        if (!counts_for(person.policy.criteria[n], person, limits)) continue;
        if (results[n].probability_over > highest.value)
            highest = {results[n].probability_over, results[n].draws};
    }
    return highest;
}

/// Which of them make a choice close, as `assess` finds it limit by limit.
void find_close_ones(const MonteCarloDay& drawn, const Person& person,
                     std::vector<CriterionResult>& judged) {
    for (CriterionResult& result : judged) {
        const auto index = result.criterion - person.policy.criteria.data();
        if (result.verdict == Verdict::Within &&
            drawn.perhaps_over_one(static_cast<std::size_t>(index)))
            result.verdict = Verdict::Close;
    }
}

/// Tells whether the spread between people is the default one.
bool judge_surely(const Plan& plan, const Person& person, const ExposureDay& day, Limits limits,
                  RankedChoice& choice, std::vector<CriterionResult>& judged) {
    const bool any = std::ranges::any_of(person.policy.criteria, [&](const Criterion& criterion) {
        return counts_for(criterion, person, limits);
    });
    const MonteCarloDay drawn(plan, person, day);
    choice.verdict = worst_best_estimate(person, day, limits);
    if (any && choice.verdict == Verdict::Within) {
        const SureProbability sure = highest_probability(drawn, person, limits, choice.worn_now);
        choice.probability_over = sure.value;
        choice.draws = sure.draws;
        choice.verdict =
            verdict_by(false, choice.probability_over, person.policy.accepted_probability);
        if (choice.verdict == Verdict::Close) find_close_ones(drawn, person, judged);
    }
    return drawn.errors().people_spread_by_default;
}

/// The limits on the peak at the ear, which hang on what is worn.
void judge_peak_at_ear(const Plan& plan, const Person& person, const ExposureDay& day,
                       RankedChoice& choice, std::vector<CriterionResult>& judged,
                       const Criterion*& tightest) {
    for (CriterionResult& result : peak_results(plan, person, day, PeakPlace::AtEar)) {
        choice.peak_at_ear = std::max(choice.peak_at_ear, std::optional(result.verdict));
        choice.verdict = std::max(choice.verdict, result.by_probability());
        note_peak(result, choice);
        const bool stated = result.margin && !result.by_bound;
        if (stated && (!choice.margin_by_wearing || *result.margin < *choice.margin_by_wearing)) {
            choice.margin_by_wearing = result.margin;
            tightest = result.criterion;
        }
        judged.push_back(std::move(result));
    }
}

/// Draws are of exposures alone: nothing to say where the peak at the ear is over.
void note_probability(std::optional<Verdict> peak_outside, RankedChoice& choice) {
    if (!choice.probability_over || choice.peak_at_ear == Verdict::Over) return;
    const bool apart =
        std::max(choice.peak_at_ear, peak_outside).value_or(Verdict::Within) != Verdict::Within;
    const double percent = 100.0 * *choice.probability_over;
    choice.notes.push_back(percent < 0.05 ? say<ChoicePhrase::HardlyOver>(apart)
                                          : say<ChoicePhrase::OverWithProbability>(percent, apart));
}

/// By the limits that what is worn changes; leaves how each came out.
void judge_limits(const Plan& plan, const Person& person, const ExposureDay& day,
                  std::optional<Verdict> peak_outside, RankedChoice& choice,
                  std::vector<CriterionResult>& judged) {
    const Limits limits = limits_for_protection(person);
    const Criterion* tightest = nullptr;
    for (const Criterion& criterion : person.policy.criteria) {
        if (!counts_for(criterion, person, limits)) continue;
        CriterionResult result = judge_exposure(criterion, day);
        if (result.margin &&
            (!choice.margin_by_wearing || *result.margin < *choice.margin_by_wearing)) {
            choice.margin_by_wearing = result.margin;
            tightest = &criterion;
        }
        judged.push_back(std::move(result));
    }
    const bool default_spread = judge_surely(plan, person, day, limits, choice, judged);
    const bool undecided = choice.verdict == Verdict::Unknown;
    if (undecided) note_undecided(person, tightest, choice);
    judge_peak_at_ear(plan, person, day, choice, judged, tightest);
    if (!undecided) note_margin(tightest, choice);
    note_probability(peak_outside, choice);
    if (default_spread)
        choice.notes.push_back(say<WarningPhrase::PeopleSpreadByDefault>(people_spread_by_default));
}

/// The tightest of all limits, as `assess` has it, those that nothing worn changes among them; null
/// where none decides.
const CriterionResult* judge_by_all(const Plan& plan, const Person& person, const ExposureDay& day,
                                    std::vector<CriterionResult>& judged,
                                    const std::vector<CriterionResult>& whatever_is_worn,
                                    RankedChoice& choice) {
    const auto unmeasured = unmeasured_in(plan, person, day);
    for (CriterionResult& result : judged)
        if (!result.is_peak) earbudget::limit_by_origin(unmeasured, result);
    if (lacks_limit_of_age(person)) leave_undecided(judged);
    std::vector<const CriterionResult*> limits;
    for (const CriterionResult& result : judged)
        limits.push_back(&result);
    for (const CriterionResult& result : whatever_is_worn)
        limits.push_back(&result);
    const CriterionResult* tightest = tightest_of(limits);
    if (tightest) choice.worst_margin = tightest->margin;
    if (tightest && counts_whatever_is_worn(*tightest, person))
        note_tightest_whatever_is_worn(*tightest, choice);
    return tightest;
}

/// Exposures that count no protectors, where other limits do.
std::vector<CriterionResult> exposures_whatever_is_worn(const Plan& plan, const Person& person,
                                                        const ExposureDay& bare) {
    std::vector<CriterionResult> results;
    const Limits limits = limits_for_protection(person);
    for (const Criterion& criterion : person.policy.criteria) {
        if (decides(criterion, person) && !counts_for(criterion, person, limits))
            results.push_back(judge_exposure(criterion, bare));
    }
    if (results.empty()) return results;
    find_close_ones(MonteCarloDay(plan, person, bare), person, results);
    const auto unmeasured = unmeasured_in(plan, person, bare);
    for (CriterionResult& result : results)
        earbudget::limit_by_origin(unmeasured, result);
    return results;
}

void judge_poor_fit(const Plan& plan, const Person& person, RankedChoice& choice) {
    const ExposureDay day = day_exposure(plan, person, choice.wears,
                                         Wearing{.fraction_of_time = 1.0, .poor_fit = true});
    const Verdict poor = worst_exposure_verdict(plan, person, day, limits_for_protection(person));
    const auto peak = worst_peak_verdict(plan, person, day, PeakPlace::AtEar);
    choice.with_poor_fit = std::max({choice.verdict, poor, peak.value_or(Verdict::Within)});
}

/// Limits that are made for others tell only what is over; nothing is left to them.
void leave_undecided(RankedChoice& choice) {
    choice.verdict = std::max(choice.verdict, Verdict::Unknown);
    choice.made_for_others = choice.verdict == Verdict::Unknown;
    if (!choice.made_for_others) return;
    std::erase_if(choice.notes, [](const Message& note) {
        return note.is(ChoicePhrase::MarginToLimit) ||
               note.is(ChoicePhrase::TightestWhateverIsWorn) || note.is(ChoicePhrase::HardlyOver) ||
               note.is(ChoicePhrase::OverWithProbability);
    });
}

/// Last of all, when nothing makes the verdict worse any more; what no limit is known for is not
/// decided either.
void limit_by_origin(const Plan& plan, const Person& person, const ExposureDay& day,
                     RankedChoice& choice) {
    const auto unmeasured = unmeasured_in(plan, person, day);
    if (lacks_limit_of_age(person)) leave_undecided(choice);
    const bool may_be_limited = !unmeasured.empty() && choice.verdict <= Verdict::Close;
    if (may_be_limited)
        choice.limited_by_origin = earbudget::limit_by_origin(unmeasured, choice.verdict);
    // Poorly seated is no better than as rated.
    if (choice.with_poor_fit)
        choice.with_poor_fit = std::max(*choice.with_poor_fit, choice.verdict);
    if (!may_be_limited) return;
    choice.notes.push_back(say<RemarkPhrase::NotMeasured>(unmeasured));
}

/// Leaves what was judged by the limits that what is worn changes, and by the tightest of all.
void leave_limits(const Plan& plan, const Person& person, const ExposureDay& day,
                  const RankedChoice& choice, const std::vector<CriterionResult>& judged,
                  const CriterionResult* tightest, Trace& trace) {
    const auto leave = [&](const CriterionResult& result, const std::string& key) {
        std::vector<Warning> said_by_assess;
        if (!result.is_peak)
            leave_criterion(plan, person, day, {}, result, key, trace);
        else if (!key.empty())
            static_cast<void>(
                judge_peak(*result.criterion, plan, person, day, said_by_assess, &trace, key));
    };
    bool is_shown = false, tightest_is_shown = !tightest;
    for (const CriterionResult& result : judged) {
        const bool worst = !is_shown && result.margin && result.margin == choice.margin_by_wearing;
        is_shown = is_shown || worst;
        tightest_is_shown = tightest_is_shown || tightest == &result;
        leave(result, tightest == &result ? (worst ? "worst of all" : "worst")
                                          : (worst ? "worst by wearing" : ""));
    }
    if (!tightest_is_shown) leave(*tightest, "worst");
}

/// Leaves LEX,8h, the average while scanning, and how sure it is.
void leave_choice(const Plan& plan, const Person& person, const ExposureDay& day,
                  const RankedChoice& choice, Trace& trace) {
    trace.leave(daily_exposure_step(plan, person, day, say<StepPhrase::DailyExposure>(),
                                    {"at_ear_LEX_8h_dB"}));
    leave_scanning(
        plan, person, day, choice.while_scanning,
        choice.wears.empty() ? "while_scanning_LAeq_dB" : "while_scanning_at_ear_LAeq_dB", trace);
    if (choice.probability_over && choice.draws == 0)
        trace.leave(StepOf(say<StepPhrase::OverALimit>(), {"probability_over"},
                           formula_of_probability_bound)
                        .is(*choice.probability_over, ""));
    else if (choice.probability_over)
        trace.leave(monte_carlo_step(plan, say<StepPhrase::OverALimit>(), {"probability_over"},
                                     *choice.probability_over, choice.draws));
}

/// By all limits in the end, as `assess`.
void add_whatever_is_worn(const std::vector<CriterionResult>& whatever_is_worn,
                          RankedChoice& choice) {
    choice.verdict_by_all = choice.verdict;
    choice.all_limited_by_origin = choice.limited_by_origin;
    for (const CriterionResult& result : whatever_is_worn) {
        choice.verdict_by_all = std::max(choice.verdict_by_all, result.verdict);
        choice.all_limited_by_origin =
            choice.all_limited_by_origin && result.by_probability() == Verdict::Within;
    }
}

RankedChoice judged(const Plan& plan, const Person& person, const Wears& wears,
                    const PersonChoice& found, Tracing tracing) {
    RankedChoice choice{.wears = wears};
    Trace trace;
    Trace* const wanted = tracing == Tracing::On ? &trace : nullptr;
    choice.worn_now = are_same_set(wears, person.wears);
    if (const auto day = day_or_obstacle(plan, person, wears, Wearing{}, wanted)) {
        std::vector<CriterionResult> by_criterion;
        choice.method = day->method;
        choice.at_ear_LEX_8h = daily_exposure_level(day->at_ear());
        choice.while_scanning = level_while_scanning(*day);
        choice.intercom = intercom_at_ear(plan, person, wears, Wearing{}, *day);
        judge_limits(plan, person, *day, found.peak, choice, by_criterion);
        const CriterionResult* tightest =
            judge_by_all(plan, person, *day, by_criterion, found.whatever_is_worn, choice);
        if (wanted && choice.at_ear_LEX_8h) {
            leave_choice(plan, person, *day, choice, trace);
            leave_limits(plan, person, *day, choice, by_criterion, tightest, trace);
        }
        if (!wears.empty()) judge_poor_fit(plan, person, choice);
        note_day(plan, person, *day, choice);
        limit_by_origin(plan, person, *day, choice);
    } else {
        choice.verdict = Verdict::Unknown;
        choice.notes.push_back(
            say<ChoicePhrase::AtPlace>(day.obstacle().position(), day.obstacle().says()));
    }
    add_whatever_is_worn(found.whatever_is_worn, choice);
    const bool any = choice.at_ear_LEX_8h.has_value();
    choice.methods = method_spread(plan, person, wears, Wearing{}, any ? wanted : nullptr);
    if (wanted) choice.working = std::make_shared<const Working>(any ? trace.take() : Working());
    note_comfort(plan, person, choice);
    return choice;
}

Result<PersonChoice> choose_for(const Plan& plan, const Person& person, Tracing tracing) {
    const auto bare = day_or_obstacle(plan, person, {}, Wearing{});
    if (!bare) return bare.obstacle();
    PersonChoice result{.person = &person, .ranking = {}};
    result.peaks_outside = peak_results(plan, person, *bare, PeakPlace::Outside);
    for (const CriterionResult& peak : result.peaks_outside)
        result.peak = std::max(result.peak, std::optional(peak.verdict));
    result.whatever_is_worn = exposures_whatever_is_worn(plan, person, *bare);
    std::ranges::copy(result.peaks_outside, std::back_inserter(result.whatever_is_worn));
    if (lacks_limit_of_age(person)) leave_undecided(result.whatever_is_worn);
    result.unprotected = judged(plan, person, {}, result, tracing);
    const auto may_have = [&](const Protector& protector) {
        return is_for(plan, person, protector);
    };
    for (const Wears& wears : wearable_sets(plan.catalogue, may_have)) {
        if (auto why = forbidden(plan, person, wears)) {
            result.not_permitted.push_back({wears, *std::move(why)});
        } else {
            result.ranking.push_back(judged(plan, person, wears, result, tracing));
        }
    }
    note_whatever_is_worn(plan, person, result);
    rank(result.ranking, person.policy.least_useful);
    if (!result.has_answer() && result.unprotected.verdict == Verdict::Over)
        result.required = required_reduction(plan, person);
    const RankedChoice* answer = result.needs_none() ? nullptr : result.answer();
    result.examples = examples_in(plan, person, answer ? answer->wears : Wears(), *bare);
    if (result.required && tracing == Tracing::On)
        result.required->working =
            working_of(*result.required, person, result.unprotected.margin_by_wearing);
    return result;
}

}  // namespace

bool RankedChoice::is_answer() const {
    return (verdict == Verdict::Within || verdict == Verdict::Close) && fits_head_coil &&
           comfortable;
}

const RankedChoice* PersonChoice::answer() const {
    const auto found = std::ranges::find_if(ranking, &RankedChoice::is_answer);
    return found == ranking.end() ? nullptr : &*found;
}

Verdict PersonChoice::verdict() const {
    if (peak == Verdict::Over || peak == Verdict::Unknown) return *peak;
    if (unprotected.verdict == Verdict::Unknown) return Verdict::Unknown;
    if (unprotected.by_probability() == Verdict::Within && person->role != Role::Participant)
        return unprotected.verdict;
    if (const RankedChoice* best = answer()) return best->verdict;
    if (unprotected.verdict != Verdict::Over) return unprotected.verdict;
    const bool undecided = std::ranges::any_of(ranking, [](const RankedChoice& choice) {
        return choice.verdict == Verdict::Unknown && choice.fits_head_coil && choice.comfortable;
    });
    return undecided ? Verdict::Unknown : Verdict::Over;
}

std::vector<PersonChoice> choose(const Plan& plan, Tracing tracing) {
    return answer_for_everyone(plan.people, [&plan, tracing](const Person& person) {
        return choose_for(plan, person, tracing);
    });
}

}  // namespace earbudget
