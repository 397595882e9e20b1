#include "review/recommend.hpp"

#include <algorithm>

#include "earbudget/limits/assessment.hpp"

namespace earbudget {

namespace {

constexpr std::size_t most_named = 3;

/// By best estimate; where the time asked for is not confidently permitted, that beside it.
Message choice_with_time(const ReviewedChoice& choice, Seconds asked_for) {
    const PermittedByCriterion& by = *choice.tightest();
    const PermittedByCriterion* sure = least_confident(choice);
    Message confidently;
    if (sure && !sure->confident->allows(asked_for)) {
        confidently = sure->confident->kind == PermittedTime::Kind::NoTime
                          ? say<ReviewPhrase::ConfidentlyNotAtAll>()
                          : say<ReviewPhrase::Confidently>(sure->confident->a_day);
    }
    return say<ReviewPhrase::ChoiceWithTime>(name_of_choice(choice), up_to(by, *by.best),
                                             confidently);
}

/// Those that permit the least time by every criterion, one thing worn before two.
Choices working(const SequenceReview& review, const ReviewTerms& terms) {
    Choices choices;
    for (const ReviewedChoice& choice : review.choices) {
        if (choice.can_be_worn && choice.allows(terms.least_time)) choices.push_back(&choice);
    }
    return choices;
}

/// The choice that permits most; null where nothing can be said of any.
const ReviewedChoice* best_of(const SequenceReview& review) {
    const ReviewedChoice* best = nullptr;
    for (const ReviewedChoice& choice : review.choices) {
        const auto* tightest = choice.can_be_worn ? choice.tightest() : nullptr;
        if (!tightest) continue;
        if (!best || tightest->best->a_day > best->tightest()->best->a_day) best = &choice;
    }
    return best;
}

Message named(const Choices& choices, Seconds asked_for) {
    std::vector<Message> names;
    for (const ReviewedChoice* choice : choices) {
        if (names.size() < most_named) names.push_back(choice_with_time(*choice, asked_for));
    }
    const std::size_t more = choices.size() - names.size();
    return say<ReviewPhrase::Named>(names,
                                    more > 0 ? say<ReviewPhrase::MoreInTable>(more) : Message());
}

std::vector<Message> peaks_over(const SequenceReview& review) {
    std::vector<Message> over;
    for (const CriterionResult& peak : review.peaks) {
        const bool outside = !peak.criterion->peak->at_ear;
        if (peak.verdict != Verdict::Over || !outside || !peak.decides) continue;
        over.push_back(say<ReviewPhrase::PeakAbove>(*peak.value, peak.limit, peak.criterion->id));
    }
    return over;
}

/// What must be known before anything is approved.
std::vector<Message> needed_first(const SequenceReview& review, const ReviewTerms& terms) {
    std::vector<Message> needed;
    for (const ReviewCheck* check : checks_in(review.checks, CheckState::Missing)) {
        if (check->is_needed_first()) needed.push_back(as_it_stands(name_of(check->code)));
    }
    for (const CriterionResult& peak : review.peaks) {
        const bool stated = peak.value && !peak.by_bound;
        if (peak.verdict != Verdict::Unknown && !peak.by_bound) continue;
        needed.push_back(say<ReviewPhrase::PeakNeeded>(stated, peak.criterion->id, peak.by_bound));
    }
    if (terms.age == AgeGroup::Neonate) needed.push_back(say<ReviewPhrase::LimitForNeonates>());
    return needed;
}

/// There are criteria, and none of them can forbid anything.
bool lacks_a_limit(const ReviewTerms& terms) {
    bool any = false;
    for (const Criterion& criterion : terms.policy.criteria) {
        if (!criterion.is_for(terms.role)) continue;
        if (can_forbid(criterion, terms)) return false;
        any = true;
    }
    return any;
}

Message where_nothing_works(const SequenceReview& review, const ReviewTerms& terms) {
    const ReviewedChoice* best = best_of(review);
    if (!best) {
        const bool none = review.choices.empty() || review.choices.back().undecidable.empty();
        return say<ReviewPhrase::NothingCanBeSaid>(none ? say<ReviewPhrase::NoCriterionForRole>()
                                                        : review.choices.back().undecidable);
    }
    const PermittedByCriterion& by = *best->tightest();
    return say<ReviewPhrase::NotForTime>(
        terms.least_time,
        by.best->kind == PermittedTime::Kind::NoTime
            ? say<ReviewPhrase::PermitsNoTime>(by.criterion->id, name_of_choice(*best),
                                               review.choices.size() > 1)
            : say<ReviewPhrase::PermitsMost>(name_of_choice(*best), up_to(by, *by.best)),
        terms.catalogue.has_value());
}

Message where_it_works(const Choices& choices, Seconds asked_for) {
    const Message names = named(choices, asked_for);
    return choices.front()->wears.empty() ? say<ReviewPhrase::MayBeApproved>(names)
                                          : say<ReviewPhrase::OnlyWith>(names);
}

}  // namespace

Recommendation recommend(const SequenceReview& review, const ReviewTerms& terms) {
    using Code = Recommendation::Code;
    const Choices choices = working(review, terms);
    Recommendation result;
    if (review.peak_verdict() == Verdict::Over) {
        result.says = say<ReviewPhrase::PeakOver>(peaks_over(review));
        return result;
    }
    if (lacks_a_limit(terms)) {
        result.code = Code::NotBeforeKnown;
        result.says = say<ReviewPhrase::NothingForbids>();
        return result;
    }
    if (choices.empty()) {
        result.says = where_nothing_works(review, terms);
        return result;
    }
    result.conditions = conditions_for(review, terms, choices);
    const auto needed = needed_first(review, terms);
    if (!needed.empty()) {
        result.code = Code::NotBeforeKnown;
        // By a limit that is made for others nothing is foretold.
        result.says = say<ReviewPhrase::NotBeforeKnown>(
            needed, terms.age == AgeGroup::Neonate
                        ? say<ReviewPhrase::NoPublishedLimit>()
                        : say<ReviewPhrase::AfterThat>(where_it_works(choices, terms.least_time)));
        return result;
    }
    result.code = choices.front()->wears.empty() ? Code::OnCondition : Code::OnlyWith;
    result.says = where_it_works(choices, terms.least_time);
    return result;
}

}  // namespace earbudget
