#include "review/recommend.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "earbudget/acoustics/duration_text.hpp"
#include "earbudget/limits/assessment.hpp"
#include "review/approval_conditions.hpp"

namespace earbudget {

namespace {

constexpr std::size_t most_named = 3;

// Targets of 60 or 45 dB that are spoken of could not be confirmed.
const std::string no_limit_for_neonates =
    ", since no published limit for them is known: the facility's own, by whoever is responsible";

/// By best estimate; where the time asked for is not confidently permitted, that beside it.
std::string choice_with_time(const ReviewedChoice& choice, Seconds asked_for) {
    const PermittedByCriterion& by = *choice.tightest();
    const PermittedByCriterion* sure = least_confident(choice);
    std::string confidently;
    if (sure && !sure->confident->allows(asked_for)) {
        const bool none = sure->confident->kind == PermittedTime::Kind::NoTime;
        confidently =
            none ? ", confidently not at all" : ", confidently " + text_of(sure->confident->a_day);
    }
    return fmt::format("{} ({}{})", name_of_choice(choice), up_to(by, *by.best), confidently);
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

std::string named(const Choices& choices, Seconds asked_for) {
    std::vector<std::string> names;
    for (const ReviewedChoice* choice : choices) {
        if (names.size() < most_named) names.push_back(choice_with_time(*choice, asked_for));
    }
    const std::size_t more = choices.size() - names.size();
    return fmt::format("{}{}", fmt::join(names, ", "),
                       more > 0 ? fmt::format(" or {} more, in the table", more) : "");
}

std::vector<std::string> peaks_over(const SequenceReview& review) {
    std::vector<std::string> texts;
    for (const CriterionResult& peak : review.peaks) {
        const bool outside = !peak.criterion->peak->at_ear;
        if (peak.verdict != Verdict::Over || !outside || !peak.decides) continue;
        texts.push_back(fmt::format("{:.1f} dB, above {:.1f} dB of {}", *peak.value, peak.limit,
                                    peak.criterion->id));
    }
    return texts;
}

/// What must be known before anything is approved.
std::vector<std::string> needed_first(const SequenceReview& review, const ReviewTerms& terms) {
    std::vector<std::string> codes;
    for (const ReviewCheck* check : checks_in(review.checks, CheckState::Missing)) {
        if (check->is_needed_first()) codes.emplace_back(name_of(check->code));
    }
    for (const CriterionResult& peak : review.peaks) {
        const bool stated = peak.value && !peak.by_bound;
        if (peak.verdict != Verdict::Unknown && !peak.by_bound) continue;
        codes.push_back(fmt::format("the {}peak, for {}{}", stated ? "unweighted " : "",
                                    peak.criterion->id,
                                    peak.by_bound ? " (kept by a bound alone)" : ""));
    }
    if (terms.age == AgeGroup::Neonate) codes.emplace_back("a limit for neonates");
    return codes;
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

std::string text_where_nothing_works(const SequenceReview& review, const ReviewTerms& terms) {
    const std::string wanted = text_of(terms.least_time);
    const ReviewedChoice* best = best_of(review);
    if (!best) {
        return fmt::format("not to be approved as it is: nothing can be said of any choice, {}",
                           review.choices.empty() || review.choices.back().undecidable.empty()
                               ? "since no criterion is for the role"
                               : review.choices.back().undecidable);
    }
    const PermittedByCriterion& by = *best->tightest();
    const bool none = by.best->kind == PermittedTime::Kind::NoTime;
    return fmt::format(
        "not to be approved for {} a day as it is: {}{}", wanted,
        none ? fmt::format("{} permits no time with {}{}", by.criterion->id, name_of_choice(*best),
                           review.choices.size() > 1 ? " or with anything else" : "")
             : fmt::format("{} permits most, {}", name_of_choice(*best), up_to(by, *by.best)),
        terms.catalogue ? "" : "; review it with the protectors there are");
}

std::string text_where_it_works(const Choices& choices, Seconds asked_for) {
    const bool unprotected = choices.front()->wears.empty();
    return unprotected ? fmt::format(
                             "may be approved on conditions, also without ear protection; by "
                             "best estimate {}",
                             named(choices, asked_for))
                       : fmt::format("may be approved only with {}, by best estimate",
                                     named(choices, asked_for));
}

}  // namespace

Recommendation recommend(const SequenceReview& review, const ReviewTerms& terms) {
    using Code = Recommendation::Code;
    const Choices choices = working(review, terms);
    Recommendation result;
    if (review.peak_verdict() == Verdict::Over) {
        result.text = fmt::format(
            "not to be approved as it is, whatever is worn: the peak is {}; lower the peak and "
            "measure again",
            fmt::join(peaks_over(review), "; "));
        return result;
    }
    if (lacks_a_limit(terms)) {
        result.code = Code::NotBeforeKnown;
        result.text =
            "not to be approved before this is known: a limit; of the criteria asked for none "
            "forbids anything, name one that does";
        return result;
    }
    if (choices.empty()) {
        result.text = text_where_nothing_works(review, terms);
        return result;
    }
    result.conditions = conditions_for(review, terms, choices);
    const auto needed = needed_first(review, terms);
    if (!needed.empty()) {
        result.code = Code::NotBeforeKnown;
        // By a limit that is made for others nothing is foretold.
        const bool neonate = terms.age == AgeGroup::Neonate;
        result.text = fmt::format(
            "not to be approved before this is known: {}{}", fmt::join(needed, ", "),
            neonate ? no_limit_for_neonates
                    : "; after that it " + text_where_it_works(choices, terms.least_time));
        return result;
    }
    result.code = choices.front()->wears.empty() ? Code::OnCondition : Code::OnlyWith;
    result.text = text_where_it_works(choices, terms.least_time);
    return result;
}

}  // namespace earbudget
