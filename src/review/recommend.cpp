#include <algorithm>
#include <cmath>
#include <set>

#include "earbudget/limits/assessment.hpp"
#include "earbudget/limits/unmeasured.hpp"
#include "review/reviewing.hpp"

namespace earbudget {

namespace {

using Choices = std::vector<const ReviewedChoice*>;

/// "nothing worn", or the ids of what is worn.
Message name_of_choice(const ReviewedChoice& choice) {
    return choice.wears.empty() ? say<ReviewPhrase::NothingWorn>()
                                : say<ReviewPhrase::Worn>(choice.wears);
}

/// "3 h 2 min a day by niosh-rel", rounded down; "all day".
Message up_to(const PermittedByCriterion& by, const PermittedTime& time) {
    if (time.kind == PermittedTime::Kind::Unlimited) return say<ReviewPhrase::AllDay>();
    // From an hour on without seconds, rounded down.
    const bool hours = time.a_day >= Hours(1);
    const Seconds told = hours ? Seconds(60.0 * std::floor(time.a_day.count() / 60.0)) : time.a_day;
    return say<ReviewPhrase::UpTo>(told, by.criterion->id);
}

/// The shortest time of all that decide with which the probability of being over is accepted; none
/// where no deciding criterion has one.
const PermittedByCriterion* least_confident(const ReviewedChoice& choice) {
    const PermittedByCriterion* least = nullptr;
    for (const PermittedByCriterion& by : choice.permitted) {
        if (by.decides && by.confident && (!least || by.confident->a_day < least->confident->a_day))
            least = &by;
    }
    return least;
}

/// Values that count no protectors are reached whatever is worn.
void add_action_values(const ReviewedChoice& choice, std::vector<Message>& into) {
    std::vector<Message> reached;
    for (const PermittedByCriterion& by : choice.permitted) {
        if (by.decides || by.criterion->with_protection) continue;
        if (by.best->kind == PermittedTime::Kind::Unlimited) continue;
        const auto& above = by.criterion->when_above;
        reached.push_back(say<ReviewPhrase::KeptUpTo>(up_to(by, *by.best), !above.empty(), above));
    }
    if (!reached.empty()) into.push_back(say<ReviewPhrase::ActionValues>(reached));
}

/// Another kind of study is no reason against it, but must be approved as one.
void add_classifications(const SequenceReview& review, const ReviewedChoice& choice,
                         std::vector<Message>& into) {
    for (const PermittedByCriterion& by : choice.permitted) {
        if (by.criterion->kind != CriterionKind::Classification) continue;
        const bool level = by.best->kind != PermittedTime::Kind::Unlimited;
        const bool peak = std::ranges::any_of(review.peaks, [&](const CriterionResult& result) {
            return result.criterion->id == by.criterion->id && result.by_probability() != Verdict::Within;
        });
        if (!level && !peak) continue;
        into.push_back(say<ReviewPhrase::IsAnotherKind>(
            by.criterion->id, level, name_of_choice(choice), level, by.criterion->when_above));
    }
}

std::vector<std::string> codes_of(const std::vector<const ReviewCheck*>& checks) {
    std::vector<std::string> codes;
    for (const ReviewCheck* check : checks)
        codes.emplace_back(name_of(check->code));
    return codes;
}

/// The fit always matters: what a poor seat leaves of the time that is offered.
void add_fit(const Choices& choices, std::vector<Message>& into) {
    const ReviewedChoice& first = *choices.front();
    const auto* poor = first.tightest_poorly_seated();
    if (!poor) return;
    into.push_back(
        say<ReviewPhrase::FitIsChecked>(name_of_choice(first),
                                        poor->poorly_seated->kind == PermittedTime::Kind::NoTime
                                            ? say<ReviewPhrase::NoTimeBy>(poor->criterion->id)
                                            : up_to(*poor, *poor->poorly_seated),
                                        choices.size() > 1));
}

/// Close is not surely kept: outside, or at the ear as a choice leaves it.
void add_close_peaks(const SequenceReview& review, const ReviewedChoice& choice,
                     std::vector<Message>& into) {
    const auto add = [&into](const CriterionResult& peak) {
        if (peak.by_probability() != Verdict::Close || !peak.decides) return;
        into.push_back(say<ReviewPhrase::MeasurePeakAgain>(
            *peak.value, peak.criterion->peak->at_ear, peak.limit, peak.criterion->id,
            100.0 * peak.probability_over.value_or(0.0)));
    };
    for (const CriterionResult& peak : review.peaks) {
        if (!peak.criterion->peak->at_ear) add(peak);
    }
    for (const PermittedByCriterion& by : choice.permitted) {
        if (by.peak) add(*by.peak);
    }
}

/// What is not stated to be free of metal must not come into the bore before somebody knows.
void add_metal(const Choices& choices, const ReviewTerms& terms, std::vector<Message>& into) {
    if (terms.role == Role::Staff) return;
    std::set<std::string> unknown;
    for (const ReviewedChoice* choice : choices) {
        for (const std::string& id : choice->wears) {
            if (!terms.catalogue->find(id)->protector.metal_free) unknown.insert(id);
        }
    }
    if (!unknown.empty()) into.push_back(say<ReviewPhrase::KnownMetalFree>(unknown));
}

void add_uncertainty(const Choices& choices, const ReviewTerms& terms, std::vector<Message>& into) {
    for (const ReviewedChoice* choice : choices) {
        const auto* least = least_confident(*choice);
        if (!least || least->confident->allows(terms.least_time)) continue;
        into.push_back(say<ReviewPhrase::MeasureLevelAgain>(
            choice->wears.empty(), choice->wears.empty() ? Message() : name_of_choice(*choice),
            100.0 * terms.policy.accepted_probability, least->confident->a_day));
        return;
    }
}

/// On what conditions a sequence may run with these choices, of which there is at least one.
std::vector<Message> conditions_for(const SequenceReview& review, const ReviewTerms& terms,
                                    const Choices& choices) {
    std::vector<Message> conditions = {say<ReviewPhrase::NoLongerThanTable>()};
    add_action_values(*choices.front(), conditions);
    add_classifications(review, *choices.front(), conditions);
    add_close_peaks(review, *choices.front(), conditions);
    add_fit(choices, conditions);
    add_metal(choices, terms, conditions);
    add_uncertainty(choices, terms, conditions);
    conditions.push_back(say<ReviewPhrase::SameTiming>());
    auto missing = checks_in(review.checks, CheckState::Missing);
    std::erase_if(missing, [](const ReviewCheck* check) { return check->is_needed_first(); });
    if (!missing.empty())
        conditions.push_back(say<ReviewPhrase::CardIsCompleted>(codes_of(missing)));
    const auto doubtful = checks_in(review.checks, CheckState::Doubtful);
    if (!doubtful.empty()) conditions.push_back(say<ReviewPhrase::IsLookedAt>(codes_of(doubtful)));
    return conditions;
}

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

/// Whether something that does not fit the head coil, or is not known to, would permit more.
bool coil_forbids_more(const SequenceReview& review, const ReviewedChoice& best) {
    return std::ranges::any_of(review.choices, [&](const ReviewedChoice& choice) {
        return !choice.can_be_worn && choice.tightest() &&
               choice.tightest()->best->a_day > best.tightest()->best->a_day;
    });
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
    const bool coil = coil_forbids_more(review, *best);
    return say<ReviewPhrase::NotForTime>(
        terms.least_time,
        by.best->kind == PermittedTime::Kind::NoTime
            ? say<ReviewPhrase::PermitsNoTime>(by.criterion->id, name_of_choice(*best),
                                               review.choices.size() > 1 && !coil, coil)
            : say<ReviewPhrase::PermitsMost>(name_of_choice(*best), up_to(by, *by.best), coil),
        terms.catalogue.has_value());
}

Message where_it_works(const Choices& choices, Seconds asked_for) {
    const Message names = named(choices, asked_for);
    return choices.front()->wears.empty() ? say<ReviewPhrase::MayBeApproved>(names)
                                          : say<ReviewPhrase::OnlyWith>(names);
}

/// Of levels that nobody measured nothing is approved.
Message measure_first(const SequenceReview& review, const std::vector<Message>& needed,
                      const Choices& choices, const ReviewTerms& terms) {
    return say<ReviewPhrase::MeasureBeforeApproving>(
        review.sequence.origin.how, recording_to_make(), !needed.empty(), needed,
        terms.age == AgeGroup::Neonate
            ? say<ReviewPhrase::NoPublishedLimit>()
            : say<ReviewPhrase::AsTheyStand>(named(choices, terms.least_time)));
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
    if (!may_be_within(review.sequence.origin)) {
        result.code = Code::NotBeforeKnown;
        result.says = measure_first(review, needed, choices, terms);
        return result;
    }
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
