#include "earbudget/review/review.hpp"

#include <algorithm>

#include "earbudget/limits/judge.hpp"
#include "earbudget/study/sequence.hpp"
#include "review/reviewing.hpp"

namespace earbudget {

namespace {

bool is_among(const std::vector<Criterion>& criteria, const Criterion& criterion) {
    return std::ranges::any_of(criteria,
                               [&](const Criterion& other) { return other.id == criterion.id; });
}

void judge_peaks(const Plan& plan, const ReviewTerms& terms, SequenceReview& result, Trace* trace) {
    const Person& person = plan.people.front();
    const ExposureDay day = day_exposure(plan, person, {}, Wearing{});
    std::vector<Warning> said_by_the_checks;
    for (const Criterion& criterion : terms.policy.criteria) {
        if (!criterion.is_for(terms.role) || !criterion.peak) continue;
        if (auto peak = judge_peak(criterion, plan, person, day, said_by_the_checks, trace)) {
            peak->decides = decides(criterion, person) && can_forbid(criterion, terms);
            result.peaks.push_back(*std::move(peak));
        }
    }
}

const PermittedByCriterion* tightest_by(const std::vector<PermittedByCriterion>& permitted,
                                        std::optional<PermittedTime> PermittedByCriterion::*which) {
    const PermittedByCriterion* tightest = nullptr;
    for (const PermittedByCriterion& by : permitted) {
        if (!by.decides || !(by.*which)) continue;
        if (!tightest || (by.*which)->a_day < (tightest->*which)->a_day) tightest = &by;
    }
    return tightest;
}

}  // namespace

ReviewCriteria review_criteria(Role role, AgeGroup age) {
    ReviewCriteria result{.criteria = default_criteria(role)};
    for (const Criterion& criterion : published_criteria()) {
        const bool counts = criterion.is_for(role) && !criterion.only_where_named;
        if (counts && !is_among(result.criteria, criterion)) result.criteria.push_back(criterion);
    }
    // H.870 has one limit for adults and one for whoever is more sensitive, children above all.
    if (age != AgeGroup::Adult) {
        leave_out_those_of_adults(age, result.criteria);
    } else if (is_among(result.criteria, *find_published_criterion("who-public-child"))) {
        result.for_others.emplace_back("who-public-child");
    }
    return result;
}

bool can_forbid(const Criterion& criterion, const ReviewTerms& terms) {
    return criterion.kind != CriterionKind::Classification &&
           std::ranges::find(terms.for_others, criterion.id) == terms.for_others.end();
}

const PermittedByCriterion* ReviewedChoice::tightest() const {
    return tightest_by(permitted, &PermittedByCriterion::best);
}

const PermittedByCriterion* ReviewedChoice::tightest_poorly_seated() const {
    return tightest_by(permitted, &PermittedByCriterion::poorly_seated);
}

bool ReviewedChoice::allows(Seconds time) const {
    return undecidable.empty() && tightest() &&
           std::ranges::all_of(permitted, [time](const PermittedByCriterion& by) {
               return !by.decides || (by.best && by.best->allows(time));
           });
}

Verdict SequenceReview::peak_verdict() const {
    Verdict worst = Verdict::Within;
    for (const CriterionResult& peak : peaks) {
        // The peak at the ear is asked of each choice.
        const bool at_ear = peak.criterion->peak->at_ear && peak.verdict != Verdict::Unknown;
        if (peak.decides && peak.by_bound) worst = std::max(worst, Verdict::Unknown);
        if (peak.decides && !at_ear) worst = std::max(worst, peak.verdict);
    }
    return worst;
}

SequenceReview review(const Sequence& sequence, const ReviewTerms& terms, Tracing tracing) {
    SequenceReview result{.sequence = sequence, .checks = check_card(sequence)};
    if (auto validity = check_of_validity(sequence, {}, terms.date))
        result.checks.push_back(*std::move(validity));
    const Plan plan = plan_of_one(sequence, terms);
    Trace trace;
    Trace* const wanted = tracing == Tracing::On ? &trace : nullptr;
    review_choices(plan, terms, result, wanted);
    judge_peaks(plan, terms, result, wanted);
    result.working = trace.take();
    result.recommendation = recommend(result, terms);
    return result;
}

namespace {

template <class L>
std::optional<double> decibels(const std::optional<L>& level) {
    return level ? std::optional(level->dB()) : std::nullopt;
}

}  // namespace

std::vector<LevelChange> level_changes(const Sequence& card_before, const Sequence& card_now) {
    const SoundLevels& before = card_before.levels;
    const SoundLevels& now = card_now.levels;
    std::vector<LevelChange> changes = {
        {"LAeq", before.LAeq.dB(), now.LAeq.dB()},
        {"LCeq", decibels(before.c_weighted_level()), decibels(now.c_weighted_level())},
        {"LCpeak", decibels(before.LCpeak), decibels(now.LCpeak)},
        {"LZpeak", decibels(before.LZpeak), decibels(now.LZpeak)},
        {"uncertainty", stated_or_default_uncertainty(card_before).whole.dB(),
         stated_or_default_uncertainty(card_now).whole.dB()}};
    for (const OctaveBand band : octave_bands) {
        changes.push_back({std::string(name_of(band)) + " Hz", decibels(before.octave.at(band)),
                           decibels(now.octave.at(band))});
    }
    std::erase_if(changes, [](const LevelChange& change) { return !change.before && !change.now; });
    return changes;
}

std::vector<TimeChange> time_changes(const SequenceReview& before, const SequenceReview& now) {
    std::vector<TimeChange> changes;
    for (const ReviewedChoice& choice : now.choices) {
        const auto same = std::ranges::find(before.choices, choice.wears, &ReviewedChoice::wears);
        if (same == before.choices.end()) continue;
        // A choice that is undecidable for one of the two has no times there.
        const auto& known = choice.permitted.empty() ? same->permitted : choice.permitted;
        for (std::size_t i = 0; i < known.size(); ++i) {
            TimeChange change{.wears = choice.wears, .criterion = known[i].criterion};
            if (i < same->permitted.size()) {
                change.before = same->permitted[i].best;
                change.confident_before = same->permitted[i].confident;
            }
            if (i < choice.permitted.size()) {
                change.now = choice.permitted[i].best;
                change.confident_now = choice.permitted[i].confident;
            }
            changes.push_back(std::move(change));
        }
    }
    return changes;
}

}  // namespace earbudget
