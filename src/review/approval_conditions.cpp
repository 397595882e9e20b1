#include <algorithm>
#include <cmath>
#include <set>

#include "earbudget/limits/assessment.hpp"
#include "review/recommend.hpp"

namespace earbudget {

namespace {

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
            return result.criterion->id == by.criterion->id && result.verdict != Verdict::Within;
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
        if (peak.verdict != Verdict::Close || !peak.decides) return;
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
            name_of_choice(*choice), 100.0 * terms.policy.accepted_probability,
            least->confident->a_day));
        return;
    }
}

}  // namespace

Message name_of_choice(const ReviewedChoice& choice) {
    return choice.wears.empty() ? say<ReviewPhrase::NothingWorn>()
                                : say<ReviewPhrase::Worn>(choice.wears);
}

Message up_to(const PermittedByCriterion& by, const PermittedTime& time) {
    if (time.kind == PermittedTime::Kind::Unlimited) return say<ReviewPhrase::AllDay>();
    // From an hour on without seconds, rounded down.
    const bool hours = time.a_day >= Hours(1);
    const Seconds told = hours ? Seconds(60.0 * std::floor(time.a_day.count() / 60.0)) : time.a_day;
    return say<ReviewPhrase::UpTo>(told, by.criterion->id);
}

const PermittedByCriterion* least_confident(const ReviewedChoice& choice) {
    const PermittedByCriterion* least = nullptr;
    for (const PermittedByCriterion& by : choice.permitted) {
        if (by.decides && by.confident && (!least || by.confident->a_day < least->confident->a_day))
            least = &by;
    }
    return least;
}

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

}  // namespace earbudget
