#include "earbudget/advice/assess.hpp"

#include <algorithm>
#include <set>

#include <fmt/format.h>

#include "advice/advising.hpp"
#include "choice/notes.hpp"
#include "earbudget/acoustics/step_phrases.hpp"
#include "earbudget/choice/candidates.hpp"
#include "earbudget/choice/homogeneous_groups.hpp"
#include "earbudget/choice/work_size.hpp"
#include "earbudget/limits/day_course.hpp"
#include "earbudget/limits/judge.hpp"
#include "earbudget/limits/shorten.hpp"
#include "earbudget/limits/unmeasured.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"
#include "limits/traced.hpp"
#include "review/reviewing.hpp"

namespace earbudget {

bool hangs_on_unreached(const PersonResult& result) {
    // Where no limit is known that is another reason (lacks_limit_of_age).
    return !lacks_limit_of_age(*result.person) &&
           std::ranges::any_of(result.criteria, [](const CriterionResult& criterion) {
               return !criterion.is_peak && criterion.verdict == Verdict::Unknown;
           });
}

Verdict Assessment::verdict() const {
    Verdict worst = people.empty() ? Verdict::Unknown : Verdict::Within;
    for (const PersonResult& person : people)
        worst = std::max(worst, person.verdict);
    return worst;
}

namespace {

constexpr Formula above_the_room{"speech at the ear − residual noise at the ear", "difference"};

/// By one criterion: its exposure limit, then its limit on peaks.
void judge_by(const Criterion& criterion, const Plan& plan, const ExposureDay& day,
              const MonteCarloDay& drawn, const MonteCarloResult& outcome, PersonResult& result,
              std::vector<Warning>& warnings, Trace* trace) {
    const Person& person = *result.person;
    const auto key = [&] {
        return trace ? fmt::format("criteria[{}]", result.criteria.size()) : std::string();
    };
    CriterionResult exposure = judge_exposure(criterion, day);
    exposure.decides = decides(criterion, person);
    MeanDay mean;
    if (!drawn.errors().segments.empty()) {
        add_uncertainty(outcome,
                        first_order(criterion, day, drawn.errors(), trace ? &mean : nullptr),
                        person.policy, exposure);
    }
    limit_by_origin(result.unmeasured, exposure);
    if (trace) leave_criterion(plan, person, day, mean, exposure, key(), *trace);
    result.criteria.push_back(std::move(exposure));
    auto peak = judge_peak(criterion, plan, person, day, warnings, trace, key());
    if (!peak) return;
    if (peak->verdict == Verdict::Unknown && !peak->value)
        result.not_judged.push_back(criterion.id);
    result.criteria.push_back(std::move(*peak));
    result.criteria.back().decides = decides(criterion, person);
}

void judge(const Plan& plan, const ExposureDay& day, const MonteCarloDay& drawn,
           PersonResult& result, std::vector<Warning>& warnings, Trace* trace) {
    const Person& person = *result.person;
    Trace of_criteria;
    result.unmeasured = unmeasured_in(plan, person, day);
    result.examples = examples_in(plan, person, person.wears, day);
    const auto outcomes = drawn.judge();
    result.people_spread_unknown = drawn.errors().people_spread_unknown;
    result.people_spread_by_default = drawn.errors().people_spread_by_default;
    for (std::size_t i = 0; i < outcomes.size(); ++i) {
        const Criterion& criterion = person.policy.criteria[i];
        if (criterion.is_for(person.role))
            judge_by(criterion, plan, day, drawn, outcomes[i], result, warnings,
                     trace ? &of_criteria : nullptr);
    }
    if (trace) {
        leave_mean_reductions(plan, person, day, drawn.errors(), result.criteria, *trace);
        trace->leave(of_criteria.take());
    }
    if (lacks_limit_of_age(person)) leave_undecided(result.criteria);
    result.verdict = result.criteria.empty() ? Verdict::Unknown : Verdict::Within;
    for (const CriterionResult& criterion : result.criteria) {
        if (criterion.decides) result.verdict = std::max(result.verdict, criterion.verdict);
    }
    if (result.criteria.empty()) {
        warnings.push_back(
            warning_for(person, say<WarningPhrase::NoCriterion>(name_of(person.role))));
    }
}

void judge_poor_fit(const Plan& plan, PersonResult& result, Trace* trace) {
    const Person& person = *result.person;
    if (!wears_anything(person)) return;
    const Person seated_poorly = poorly_seated(person);
    const ExposureDay day = day_exposure(plan, seated_poorly);
    result.poor_fit_LEX_8h = daily_exposure_level(day.at_ear());
    if (trace && result.poor_fit_LEX_8h)
        trace->leave(daily_exposure_step(plan, person, day,
                                         say<StepPhrase::DailyExposurePoorlySeated>(),
                                         {"poorly_seated_LEX_8h_dB"}));
    // Never better than well seated.
    std::optional<MonteCarloDay> drawn;
    std::vector<Warning> said_already;
    for (CriterionResult& criterion : result.criteria) {
        criterion.with_poor_fit = criterion.verdict;
        if (criterion.verdict == Verdict::Over) continue;
        if (criterion.is_peak) {
            const auto outside =
                judge_peak(*criterion.criterion, plan, seated_poorly, day, said_already);
            if (outside) criterion.with_poor_fit = std::max(criterion.verdict, outside->verdict);
            if (outside && criterion.criterion->peak->at_ear)
                criterion.value_with_poor_fit = outside->value;
            continue;
        }
        const Verdict poor = exposure_verdict(*criterion.criterion, day);
        if (poor != Verdict::Within) {
            criterion.with_poor_fit = std::max(criterion.verdict, poor);
        } else if (criterion.verdict == Verdict::Within) {
            if (!drawn) drawn.emplace(plan, person, day);
            const auto index = criterion.criterion - person.policy.criteria.data();
            const bool close = drawn->perhaps_over_one(static_cast<std::size_t>(index));
            criterion.with_poor_fit = close ? Verdict::Close : Verdict::Within;
        }
    }
}

/// Whether what is handed out in the place of what does not seat keeps the limits.
void judge_instead(const Plan& plan, PersonResult& result) {
    if (result.person->instead.empty()) return;
    const Person other = wearing_that(*result.person, result.person->instead);
    result.instead = Verdict::Unknown;
    const auto day = day_or_obstacle(plan, other);
    if (!day) return;
    Verdict verdict = worst_exposure_verdict(plan, other, *day);
    verdict = std::max(verdict, worst_peak_verdict(plan, other, *day).value_or(Verdict::Within));
    static_cast<void>(limit_by_origin(result.unmeasured, verdict));
    if (lacks_limit_of_age(other)) verdict = std::max(verdict, Verdict::Unknown);
    result.instead = verdict;
}

/// Whether a limit that decides has this verdict, of any kind or on peaks alone.
bool has(const PersonResult& result, Verdict verdict, bool on_peaks_alone) {
    return std::ranges::any_of(result.criteria, [&](const CriterionResult& criterion) {
        return (criterion.is_peak || !on_peaks_alone) && criterion.decides &&
               criterion.by_probability() == verdict;
    });
}

void set_to_0(std::optional<unsigned>& runs) {
    if (runs) runs = 0U;
}

/// What of speech, and of sequences, comes to the ear.
void add_intercom(const Plan& plan, const ExposureDay& day, PersonResult& result,
                  std::vector<Warning>& warnings, Trace* trace) {
    const Person& person = *result.person;
    result.intercom = intercom_at_ear(plan, person, person.wears, person.wearing, day);
    warn_of_intercom(person, result.intercom, warnings);
    if (person.role == Role::Participant) result.while_scanning = level_while_scanning(day);
    if (!trace) return;
    if (result.intercom && result.intercom->residual) {
        trace->leave(
            StepOf(say<StepPhrase::SpeechAbove>(), {"intercom.above_residual_dB"}, above_the_room)
                .value("speech_dB", result.intercom->speech)
                .value("residual_dB", result.intercom->residual)
                .is(result.intercom->above_residual(), "dB"));
    }
    leave_scanning(plan, person, day, result.while_scanning, "while_scanning.at_ear_LAeq_dB",
                   *trace);
}

/// The runs that keep every limit: none above a peak limit, which no time changes, or too near it.
void add_repeats_left(const Plan& plan, const ExposureDay& day, const MonteCarloDay& drawn,
                      PersonResult& result, Trace* trace) {
    std::vector<LongestTime> longest;
    auto best_estimate = repeats_left(*result.person, day, trace ? &longest : nullptr);
    // Of what cannot be decided no run is known to fit.
    const auto set_to_none = [](std::optional<unsigned>& runs) { runs.reset(); };
    if (result.verdict == Verdict::Unknown) std::ranges::for_each(best_estimate, set_to_none);
    if (has(result, Verdict::Over, true)) std::ranges::for_each(best_estimate, set_to_0);
    auto confident = best_estimate;
    if (has(result, Verdict::Close, true)) {
        std::ranges::for_each(confident, set_to_0);
    } else {
        confident = confident_repeats_left(day, drawn, best_estimate);
    }
    for (std::size_t row = 0; row < result.segments.size(); ++row) {
        result.segments[row].repeats_left = confident[row];
        result.segments[row].repeats_left_best_estimate = best_estimate[row];
    }
    if (trace) leave_repeats(plan, result, day, longest, *trace);
}

/// How far people differ where no octave-band data say.
void warn_of_people(const Person& person, const DayErrors& errors, std::vector<Warning>& warnings) {
    if (errors.people_spread_by_default) {
        warnings.push_back(warning_for(
            person, say<WarningPhrase::PeopleSpreadByDefault>(people_spread_by_default)));
    }
    if (errors.people_spread_unknown)
        warnings.push_back(warning_for(person, say<WarningPhrase::PeopleSpreadUnknown>()));
}

/// Of a large catalogue not everything is tried.
void warn_of_left_out(const Person& person, const Candidates& candidates,
                      std::vector<Warning>& warnings) {
    if (candidates.left_out > 0) {
        warnings.push_back(warning_for(person, say<WarningPhrase::CandidatesLeftOut>(
                                                   candidates.tried.size(), candidates.left_out)));
    }
    if (candidates.not_asked > 0) {
        warnings.push_back(warning_for(person, say<WarningPhrase::CandidatesNotAsked>(
                                                   candidates.asked, candidates.not_asked)));
    }
}

/// How much of an answer is worked out.
enum class Parts { Verdicts, WithoutCourses, All };

/// One person's part of an assessment.
struct Assessed {
    PersonResult result;
    std::vector<Warning> warnings = {};
};

Assessed as_found_for(const Person& person, const Person& first, Assessed assessed) {
    return {as_found_for(person, first, std::move(assessed.result)),
            as_found_for(person, first, std::move(assessed.warnings))};
}

Result<Assessed> assess_person(const Plan& plan, const Person& person,
                               const CandidateBudget& budget, Tracing tracing, Parts parts) {
    Trace steps = Trace::with_rows();
    Trace* const trace = tracing == Tracing::On ? &steps : nullptr;
    const auto exposed = day_or_obstacle(plan, person, trace);
    if (!exposed)
        return Obstacle(exposed.obstacle().position(),
                        say<ObstaclePhrase::ForPerson>(person.id, exposed.obstacle().says()));
    const ExposureDay& day = *exposed;
    const MonteCarloDay drawn(plan, person, day);
    std::vector<Warning> warnings;
    PersonResult result{.person = &person, .method = day.method, .derating = day.derating};
    add_exposure(plan, day, result, trace);
    warn_of_person(plan, person, day, warnings);
    warn_of_people(person, drawn.errors(), warnings);
    judge(plan, day, drawn, result, warnings, trace);
    if (parts == Parts::Verdicts) return Assessed{std::move(result), std::move(warnings)};
    // Nobody within every limit is told to wear something else.
    const bool helps = result.verdict == Verdict::Over || hangs_on_unreached(result) ||
                       has(result, Verdict::Close, false);
    Candidates candidates = helps ? candidates_for(plan, person, budget) : Candidates();
    add_shares(plan, day, candidates, result, trace);
    add_intercom(plan, day, result, warnings, trace);
    judge_poor_fit(plan, result, trace);
    judge_instead(plan, result);
    result.methods = method_spread(plan, person, person.wears, person.wearing, trace);
    add_repeats_left(plan, day, drawn, result, trace);
    result.advice = advise(plan, day, drawn, result, candidates, trace);
    if (trace) result.working = std::make_shared<const Working>(steps.take());
    warn_of_left_out(person, candidates, warnings);
    if (parts == Parts::All) {
        result.course = allowance_course(result);
        result.spectrum = spectrum_with_most_energy(result);
    }
    return Assessed{std::move(result), std::move(warnings)};
}

/// What is the same for everyone is there once.
void add_warning(Warning warning, std::vector<Warning>& warnings) {
    const bool said =
        warning.people.empty() && std::ranges::any_of(warnings, [&](const Warning& other) {
            return other.people.empty() && other.says == warning.says;
        });
    if (!said) warnings.push_back(std::move(warning));
}

/// A gain, calibration or unit gone wrong makes a verdict of nothing.
void warn_of_levels(const Plan& plan, std::vector<Warning>& warnings) {
    std::set<std::size_t> seen;
    for (const TimelineRow& row : plan.timeline) {
        if (!row.sequence || !seen.insert(*row.sequence).second) continue;
        const Sequence& sequence = plan.sequences[*row.sequence];
        const LevelA LAeq = sequence.levels.LAeq;
        if (plan.background && LAeq < plan.background->LAeq) {
            warnings.push_back(
                {say<WarningPhrase::BelowBackground>(sequence.id, LAeq, plan.background->LAeq),
                 sequence.stated_at});
        } else if (LAeq < lowest_published || LAeq > highest_published) {
            warnings.push_back({say<WarningPhrase::LevelRange>(sequence.id, LAeq, lowest_published,
                                                               highest_published),
                                sequence.stated_at});
        }
    }
}

/// What is not known of a timeline that was taken from scans.
void warn_of_scans(const Plan& plan, std::vector<Warning>& warnings) {
    const TimelineRow* first = nullptr;
    const TimelineRow* first_at_most = nullptr;
    std::set<std::string> at_most;
    for (const TimelineRow& row : plan.timeline) {
        if (!row.sequence || !row.duration_from) continue;
        if (!first) first = &row;
        if (row.duration_from != DurationSource::NextStart) continue;
        if (!first_at_most) first_at_most = &row;
        at_most.insert(plan.sequences[*row.sequence].id);
    }
    if (first) warnings.push_back({say<WarningPhrase::TimelineFromScans>(), first->stated_at});
    if (first_at_most) {
        warnings.push_back({say<WarningPhrase::DurationAtMost>(at_most), first_at_most->stated_at});
    }
}

Assessment assess_everyone(const Plan& plan, Tracing tracing, Parts parts) {
    const CandidateBudget budget =
        parts == Parts::Verdicts ? CandidateBudget() : candidate_budget(plan);
    auto assessed = answer_for_everyone(plan.people, [&](const Person& person) {
        return assess_person(plan, person, budget, tracing, parts);
    });
    Assessment assessment{.plan = &plan};
    assessment.people.reserve(assessed.size());
    for (Assessed& one : assessed) {
        assessment.people.push_back(std::move(one.result));
        for (Warning& warning : one.warnings)
            add_warning(std::move(warning), assessment.warnings);
    }
    warn_of_levels(plan, assessment.warnings);
    warn_of_scans(plan, assessment.warnings);
    return assessment;
}

}  // namespace

Assessment assess(const Plan& plan, Tracing tracing, bool with_courses) {
    return assess_everyone(plan, tracing, with_courses ? Parts::All : Parts::WithoutCourses);
}

Assessment assess_verdicts(const Plan& plan) {
    return assess_everyone(plan, Tracing::Off, Parts::Verdicts);
}

}  // namespace earbudget
