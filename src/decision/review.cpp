#include "earbudget/decision/review.hpp"

#include <algorithm>

#include "decision/recommend.hpp"
#include "decision/reviewed_choices.hpp"
#include "earbudget/decision/judge.hpp"

namespace earbudget {

namespace {

bool is_among(const std::vector<Criterion>& criteria, const Criterion& criterion) {
    return std::ranges::any_of(criteria,
                               [&](const Criterion& other) { return other.id == criterion.id; });
}

void judge_peaks(const Plan& plan, const ReviewTerms& terms, SequenceReview& result) {
    const Person& person = plan.people.front();
    const HearingDay day = hear(plan, person, {}, Wearing{});
    std::vector<Warning> said_by_the_checks;
    for (const Criterion& criterion : terms.policy.criteria) {
        if (!criterion.is_for(terms.role) || !criterion.peak) continue;
        if (auto peak = judge_peak(criterion, plan, person, day, said_by_the_checks))
            result.peaks.push_back(*std::move(peak));
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

std::vector<Criterion> review_criteria(Role role) {
    std::vector<Criterion> criteria = default_criteria(role);
    for (const Criterion& criterion : published_criteria()) {
        if (criterion.is_for(role) && !is_among(criteria, criterion)) criteria.push_back(criterion);
    }
    return criteria;
}

std::string_view name_of(PermittedTime::Kind kind) {
    switch (kind) {
        case PermittedTime::Kind::Limited:
            return "limited";
        case PermittedTime::Kind::Unlimited:
            return "unlimited";
        case PermittedTime::Kind::NoTime:
            return "no-time";
    }
    return "";
}

std::string_view name_of(Recommendation::Code code) {
    switch (code) {
        case Recommendation::Code::OnCondition:
            return "on-condition";
        case Recommendation::Code::OnlyWith:
            return "only-with";
        case Recommendation::Code::NotBeforeKnown:
            return "not-before-known";
        case Recommendation::Code::NotAsItIs:
            return "not-as-it-is";
    }
    return "";
}

const PermittedByCriterion* ReviewedChoice::tightest() const {
    return tightest_by(permitted, &PermittedByCriterion::best);
}

const PermittedByCriterion* ReviewedChoice::tightest_poorly_seated() const {
    return tightest_by(permitted, &PermittedByCriterion::poorly_seated);
}

bool ReviewedChoice::allows(Seconds time) const {
    return undecidable.empty() && !permitted.empty() &&
           std::ranges::all_of(permitted, [time](const PermittedByCriterion& by) {
               return !by.decides || (by.best && by.best->allows(time));
           });
}

bool SequenceReview::decides(const CriterionResult& peak) const {
    // Action values say what must be done; they decide only where no other limit is there.
    return peak.criterion->with_protection ||
           std::ranges::none_of(peaks, [](const CriterionResult& other) {
               return other.criterion->with_protection;
           });
}

Verdict SequenceReview::peak_verdict() const {
    Verdict worst = Verdict::Within;
    for (const CriterionResult& peak : peaks) {
        // The peak at the ear is asked of each choice.
        const bool at_ear = peak.criterion->peak->at_ear && peak.verdict != Verdict::Unknown;
        if (peak.by_bound) worst = std::max(worst, Verdict::Unknown);
        if (decides(peak) && !at_ear) worst = std::max(worst, peak.verdict);
    }
    return worst;
}

bool SequenceReview::keeps_limits(const ReviewTerms& terms) const {
    if (peak_verdict() != Verdict::Within) return false;  // close is not surely kept
    return std::ranges::any_of(choices, [&](const ReviewedChoice& choice) {
        return choice.can_be_worn && choice.allows(terms.least_time);
    });
}

SequenceReview review(const Sequence& sequence, const ReviewTerms& terms) {
    SequenceReview result{.sequence = sequence, .checks = check_card(sequence)};
    const Plan plan = plan_of_one(sequence, terms);
    review_choices(plan, terms, result);
    judge_peaks(plan, terms, result);
    result.recommendation = recommend(result, terms);
    return result;
}

}  // namespace earbudget
