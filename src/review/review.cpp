#include "earbudget/review/review.hpp"

#include <algorithm>

#include "earbudget/limits/judge.hpp"
#include "review/recommend.hpp"
#include "review/reviewed_choices.hpp"

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
        std::erase_if(result.criteria, [](const Criterion& criterion) {
            return criterion.id == "who-public-adult";
        });
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
    const Plan plan = plan_of_one(sequence, terms);
    Trace trace;
    Trace* const wanted = tracing == Tracing::On ? &trace : nullptr;
    review_choices(plan, terms, result, wanted);
    judge_peaks(plan, terms, result, wanted);
    result.working = trace.take();
    result.recommendation = recommend(result, terms);
    return result;
}

}  // namespace earbudget
