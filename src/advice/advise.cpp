#include <algorithm>
#include <cmath>

#include "advice/advising.hpp"
#include "earbudget/advice/assess.hpp"
#include "earbudget/computing/add_once.hpp"
#include "earbudget/limits/row_peak.hpp"
#include "earbudget/limits/unmeasured.hpp"
#include "limits/traced.hpp"

namespace earbudget {

bool Advising::has_exposure(Verdict verdict) const {
    return std::ranges::any_of(result.criteria, [&](const CriterionResult& criterion) {
        return criterion.decides && !criterion.is_peak && criterion.by_probability() == verdict;
    });
}

bool Advising::has_peak(Verdict verdict, bool at_ear) const {
    return std::ranges::any_of(result.criteria, [&](const CriterionResult& criterion) {
        return criterion.decides && criterion.is_peak && criterion.by_probability() == verdict &&
               criterion.criterion->peak->at_ear == at_ear;
    });
}

bool Advising::keeps_limits(const Person& as, const ExposureDay& other, PeakPlace where,
                            Limits limits) const {
    return !is_over_any(as, other, limits) &&
           worst_peak_verdict(plan, as, other, where) != Verdict::Over;
}

std::vector<std::string> Advising::key(std::string_view number) const {
    return {key_of("advice", advice.size(), number)};
}

void Advising::leave(WorkingStep step) const {
    if (trace) trace->leave(std::move(step));
}

void Advising::leave_confident(const Message& what, std::string_view number, double value,
                               const std::string& unit) const {
    if (trace) trace->leave(confident_step(plan, person, what, key(number), value, unit));
}

void Advising::add_why_far_apart(double best_estimate, double confident,
                                 std::vector<Message>& says) const {
    constexpr double far_apart = 20.0;  // own choice
    if (!(best_estimate > 0.0 && best_estimate >= far_apart * confident)) return;
    const CriterionResult* deciding = nullptr;
    for (const CriterionResult& criterion : result.criteria) {
        if (!criterion.first_order || criterion.first_order->parts.empty()) continue;
        // Far from normal, where a standard uncertainty says nothing.
        if (criterion.probability_over &&
            disagree(*criterion.probability_over, criterion.first_order->probability_over)) {
            continue;
        }
        if (!deciding || criterion.probability_over > deciding->probability_over)
            deciding = &criterion;
    }
    if (!deciding) return;
    const FirstOrder& errors = *deciding->first_order;
    const ErrorShare& largest = errors.parts.front();
    says.push_back(say<AdvicePhrase::FarApart>(
        errors.standard, name_of(largest.kind), largest.standard,
        largest.kind == ErrorKind::People && result.people_spread_by_default));
}

namespace {

/// Whatever is worn near the magnet and holds metal stays outside; before all that is about
/// hearing.
void advise_against_metal(Advising& on) {
    for (const std::string& id : metal_near_magnet(on.plan, on.person)) {
        on.advice.push_back(
            {.code = AdviceCode::MetalOutside, .says = {say<AdvicePhrase::MetalOutside>(id)}});
    }
}

/// What several cards lack alike is said once.
struct Lacking {
    const Unreached* first;
    std::vector<Message> sounds = {};
    std::vector<std::string> where = {};
    std::size_t count = 0;
};

/// What to enter so that a method reaches everything.
void advise_to_complete(Advising& on) {
    std::vector<Lacking> all;
    for (const Unreached& unreached : on.day.unreached) {
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
        const bool by_LCeq = lacking.first->lacks.is(ObstaclePhrase::NoCLevel);
        on.advice.push_back({.code = AdviceCode::CompleteData,
                             .says = {say<AdvicePhrase::CompleteData>(
                                 lacking.sounds, lacking.first->wears,
                                 lacking.first->why(/*each=*/lacking.count > 1),
                                 !lacking.where.empty(), lacking.where)},
                             .in_short = by_LCeq ? say<AdvicePhrase::EnterLCeq>(lacking.sounds)
                                                 : Message()});
    }
}

/// The peak that is lacking: its level and place.
Message peak_of(const Advising& on, const ExposureRow& row, const RowPeak& peak, bool unweighted) {
    const SourcePosition& where = row.sequence ? on.plan.sequences[*row.sequence].stated_at
                                               : on.person.tasks[*row.task].stated_at;
    return say<AdvicePhrase::PeakOf>(unweighted, peak.name, !where.file.empty(),
                                     where.file.empty() ? "" : where.text());
}

/// Why no bound stands in.
Message why_no_bound(const Advising& on, const ExposureRow& row, const RowPeak& peak,
                     double limit) {
    if (peak.bound) {
        return say<AdvicePhrase::BoundCouldReach>(
            peak.bound->above, peak.bound->for_unweighted.dB() > 0.0, *peak.at_most_dB(), limit);
    }
    if (!row.sequence) return say<AdvicePhrase::NoBoundForOtherNoise>();
    if (!on.person.policy.peak_at_most_above_LAeq) return say<AdvicePhrase::NoBoundByPolicy>();
    return say<AdvicePhrase::NoBoundForLevels>(card_behind(on.plan, on.person, row).origin.how);
}

struct WantedPeak {
    Message which;                           ///< level and place
    Message why;                             ///< of the criterion named first
    std::vector<std::string> criteria = {};  ///< ids
};

/// What one row lacks for a limit; none where it lacks nothing.
std::optional<WantedPeak> wanted(const Advising& on, const RowPeak& peak, double limit) {
    const ExposureRow& row = on.day.rows[peak.row];
    if (peak.stated_dB) {
        if (!peak.C_for_unweighted || *peak.at_most_dB() <= limit) return std::nullopt;
        return WantedPeak{peak_of(on, row, peak, true),
                          say<AdvicePhrase::PeakStandsForIt>(*peak.at_most_dB(), limit)};
    }
    if (peak.is_within_by_bound(limit)) return std::nullopt;
    return WantedPeak{peak_of(on, row, peak, false), why_no_bound(on, row, peak, limit)};
}

void add(WantedPeak fresh, const std::string& criterion, std::vector<WantedPeak>& all) {
    const auto same = std::ranges::find(all, fresh.which, &WantedPeak::which);
    WantedPeak& one = same == all.end() ? all.emplace_back(std::move(fresh)) : *same;
    add_once(criterion, one.criteria);
}

/// Which peak to enter or to measure, where a peak limit cannot be decided without.
void advise_on_unknown_peaks(Advising& on) {
    std::vector<WantedPeak> all;
    for (const CriterionResult& result : on.result.criteria) {
        const bool unknown = result.decides && result.verdict == Verdict::Unknown;
        if (!result.is_peak || !unknown) continue;
        for (const RowPeak& peak : row_peaks(*result.criterion->peak, on.plan, on.person, on.day)) {
            if (auto one = wanted(on, peak, result.limit))
                add(*std::move(one), result.criterion->id, all);
        }
    }
    for (const WantedPeak& one : all) {
        on.advice.push_back(
            {.code = AdviceCode::MeasureAgain,
             .says = {say<AdvicePhrase::MeasureOrEnter>(one.which, one.criteria, one.why)}});
    }
}

/// What a peak above its limit asks for, beside what there is already.
void advise_on_peaks_over(Advising& on) {
    const auto measure_again = [&on](const Message& says) {
        on.advice.push_back({.code = AdviceCode::MeasureAgain, .says = {says}});
    };
    if (on.has_peak(Verdict::Over, false)) measure_again(say<AdvicePhrase::PeakOutsideOver>());
    const bool helped = std::ranges::any_of(on.advice, [](const Advice& other) {
        return !other.wears.empty() && other.code != AdviceCode::TooMuchProtection;
    });
    if (on.has_peak(Verdict::Over, true) && !helped)
        measure_again(say<AdvicePhrase::PeakAtEarOver>());
}

/// What to measure, so that better than close can be said.
void advise_on_unmeasured(Advising& on) {
    if (on.result.unmeasured.empty() || on.result.verdict != Verdict::Close) return;
    on.advice.push_back(
        {.code = AdviceCode::MeasureAgain,
         .says = {say<AdvicePhrase::MeasureWhatIsNot>(on.result.unmeasured, recording_to_make())}});
}

void advise_on_intercom(Advising& on, const IntercomAtEar& intercom) {
    if (intercom.speech < faintest_speech && !on.person.wears.empty()) {
        on.advice.push_back(
            {.code = AdviceCode::TooMuchProtection,
             .says = {say<AdvicePhrase::SpeechMissed>(intercom.speech, faintest_speech)}});
    }
    const auto above = intercom.above_residual();
    if (above && *above < understood_from) {
        on.advice.push_back({.code = AdviceCode::RaiseIntercom,
                             .says = {say<AdvicePhrase::RaiseIntercom>(
                                 std::abs(above->dB()), above->dB() < 0.0, understood_from,
                                 understood_from - *above)}});
    }
}

/// Less protection or a louder intercom, where spoken instructions would be missed: by the
/// intercom's level, else, where the plan says that speech must be heard, by the level at the ear.
void advise_on_speech(Advising& on) {
    if (on.result.intercom) return advise_on_intercom(on, *on.result.intercom);
    const Policy& policy = on.person.policy;
    if (on.person.wears.empty() || !policy.speech_must_be_heard) return;
    const auto level = level_while_scanning(on.day);
    if (!level || *level >= policy.least_useful) return;
    on.advice.push_back({.code = AdviceCode::TooMuchProtection,
                         .says = {say<AdvicePhrase::SpeechNotHeard>(*level, policy.least_useful)}});
}

/// What to hand out where the protector does not seat: with how to seat it, where that is said.
void advise_instead(Advising& on) {
    if (!on.result.instead) return;
    // The places of their words: a verdict's, or the one behind them.
    const bool by_origin = *on.result.instead == Verdict::Close && on.close_at_best();
    const unsigned which = by_origin ? 5U : static_cast<unsigned>(*on.result.instead) + 1U;
    const Message says = say<AdvicePhrase::WhereItDoesNotSeat>(
        names_of(on.plan.catalogue, on.person.instead), which);
    const auto fit = std::ranges::find(on.advice, AdviceCode::FitCheck, &Advice::code);
    if (fit == on.advice.end()) {
        on.advice.push_back({.code = AdviceCode::FitCheck, .says = {says}});
    } else {
        fit->says.push_back(says);
    }
}

}  // namespace

std::vector<Advice> advise(const Plan& plan, const ExposureDay& day, const MonteCarloDay& drawn,
                           const PersonResult& result, Candidates& candidates, Trace* trace) {
    Advising on{plan, day, drawn, result, candidates, trace};
    const bool over = on.has_exposure(Verdict::Over);
    const bool undecided = hangs_on_unreached(result);
    advise_against_metal(on);
    // Without a method no peak, once known, decides anything either; with one, peaks decide.
    const bool by_peaks = !undecided && result.verdict == Verdict::Unknown;
    if (by_peaks) advise_on_unknown_peaks(on);
    if (undecided || result.verdict == Verdict::Unknown || result.verdict == Verdict::Close)
        advise_to_complete(on);
    if (!by_peaks) advise_on_unknown_peaks(on);
    advise_on_unmeasured(on);
    const bool over_or_close = over || on.has_exposure(Verdict::Close);
    // Peaks at the ear hang on what is worn, as exposures do.
    const bool over_at_ear = on.has_peak(Verdict::Over, true);
    if (over || over_at_ear) advise_better_wearing(on);
    if (over_or_close || undecided || over_at_ear || on.has_peak(Verdict::Close, true))
        advise_protection(on);
    if (over_or_close) advise_shortening(on);
    if (over) {
        advise_fewer_sessions(on);
        advise_position(on);
        advise_reduction(on);
    }
    advise_on_peaks_over(on);
    if (!over && !undecided && !over_at_ear) advise_fit_check(on);
    advise_instead(on);
    advise_on_speech(on);
    return std::move(on.advice);
}

}  // namespace earbudget
