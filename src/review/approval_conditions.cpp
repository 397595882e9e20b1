#include "review/approval_conditions.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include <fmt/format.h>

#include "earbudget/acoustics/duration_text.hpp"
#include "earbudget/day/accepted_words.hpp"
#include "earbudget/limits/assessment.hpp"

namespace earbudget {

namespace {

/// Values that count no protectors are reached whatever is worn.
void add_action_values(const ReviewedChoice& choice, std::vector<std::string>& into) {
    std::vector<std::string> reached;
    for (const PermittedByCriterion& by : choice.permitted) {
        if (by.decides || by.criterion->with_protection) continue;
        if (by.best->kind == PermittedTime::Kind::Unlimited) continue;
        reached.push_back(up_to(by, *by.best));
        if (!by.criterion->when_above.empty())
            reached.back() += fmt::format(" (above it {})", by.criterion->when_above);
    }
    if (reached.empty()) return;
    into.push_back(fmt::format(
        "what action values ask for is done, which count no protectors and are kept up to {}",
        fmt::join(reached, ", ")));
}

/// Another kind of study is no reason against it, but must be approved as one.
void add_classifications(const SequenceReview& review, const ReviewedChoice& choice,
                         std::vector<std::string>& into) {
    for (const PermittedByCriterion& by : choice.permitted) {
        if (by.criterion->kind != CriterionKind::Classification) continue;
        const bool level = by.best->kind != PermittedTime::Kind::Unlimited;
        const bool peak = std::ranges::any_of(review.peaks, [&](const CriterionResult& result) {
            return result.criterion->id == by.criterion->id && result.verdict != Verdict::Within;
        });
        if (!level && !peak) continue;
        into.push_back(fmt::format("{} is {}exceeded with {}, {}: {}", by.criterion->id,
                                   level ? "" : "perhaps ", name_of_choice(choice),
                                   level ? "by the level" : "by the peak",
                                   by.criterion->when_above));
    }
}

std::string codes_of(const std::vector<const ReviewCheck*>& checks) {
    std::vector<std::string_view> codes;
    for (const ReviewCheck* check : checks)
        codes.push_back(name_of(check->code));
    return fmt::format("{}", fmt::join(codes, ", "));
}

/// The fit always matters: what a poor seat leaves of the time that is offered.
void add_fit(const Choices& choices, std::vector<std::string>& into) {
    const ReviewedChoice& first = *choices.front();
    const auto* poor = first.tightest_poorly_seated();
    if (!poor) return;
    const std::string left = poor->poorly_seated->kind == PermittedTime::Kind::NoTime
                                 ? fmt::format("no time by {}", poor->criterion->id)
                                 : up_to(*poor, *poor->poorly_seated);
    into.push_back(fmt::format(
        "the fit of both ears is checked before the first run: poorly seated, {} leaves {}{}",
        name_of_choice(first), left,
        choices.size() > 1 ? ", and the table says it of the others" : ""));
}

/// Close is not surely kept: outside, or at the ear as a choice leaves it.
void add_close_peaks(const SequenceReview& review, const ReviewedChoice& choice,
                     std::vector<std::string>& into) {
    const auto add = [&into](const CriterionResult& peak) {
        if (peak.verdict != Verdict::Close || !peak.decides) return;
        into.push_back(
            fmt::format("the peak is measured again with less uncertainty: {:.1f} dB{} is within "
                        "{:.1f} dB of {}, but over with a probability of {:.0f} %",
                        *peak.value, peak.criterion->peak->at_ear ? " at the ear" : "", peak.limit,
                        peak.criterion->id, 100.0 * peak.probability_over.value_or(0.0)));
    };
    for (const CriterionResult& peak : review.peaks) {
        if (!peak.criterion->peak->at_ear) add(peak);
    }
    for (const PermittedByCriterion& by : choice.permitted) {
        if (by.peak) add(*by.peak);
    }
}

/// What is not stated to be free of metal must not come into the bore before somebody knows.
void add_metal(const Choices& choices, const ReviewTerms& terms, std::vector<std::string>& into) {
    if (terms.role == Role::Staff) return;
    std::set<std::string> unknown;
    for (const ReviewedChoice* choice : choices) {
        for (const std::string& id : choice->wears) {
            if (!terms.catalogue->find(id)->protector.metal_free) unknown.insert(id);
        }
    }
    if (unknown.empty()) return;
    into.push_back(fmt::format("it is known that these are free of metal, which is not stated: {}",
                               fmt::join(unknown, ", ")));
}

void add_uncertainty(const Choices& choices, const ReviewTerms& terms,
                     std::vector<std::string>& into) {
    for (const ReviewedChoice* choice : choices) {
        const auto* least = least_confident(*choice);
        if (!least || least->confident->allows(terms.least_time)) continue;
        into.push_back(fmt::format(
            "the level is measured again with less uncertainty, or a larger reduction is worn than "
            "{} gives: to keep {} it is permitted for {} a day",
            name_of_choice(*choice), words_of_accepted(terms.policy),
            text_of(least->confident->a_day)));
        return;
    }
}

}  // namespace

std::string name_of_choice(const ReviewedChoice& choice) {
    return choice.wears.empty() ? "nothing worn"
                                : fmt::format("{}", fmt::join(choice.wears, " under "));
}

std::string up_to(const PermittedByCriterion& by, const PermittedTime& time) {
    if (time.kind == PermittedTime::Kind::Unlimited) return "all day";
    // From an hour on without seconds, rounded down.
    const bool hours = time.a_day >= Hours(1);
    const Seconds told = hours ? Seconds(60.0 * std::floor(time.a_day.count() / 60.0)) : time.a_day;
    return fmt::format("{} a day by {}", text_of(told), by.criterion->id);
}

const PermittedByCriterion* least_confident(const ReviewedChoice& choice) {
    const PermittedByCriterion* least = nullptr;
    for (const PermittedByCriterion& by : choice.permitted) {
        if (by.decides && by.confident && (!least || by.confident->a_day < least->confident->a_day))
            least = &by;
    }
    return least;
}

std::vector<std::string> conditions_for(const SequenceReview& review, const ReviewTerms& terms,
                                        const Choices& choices) {
    std::vector<std::string> conditions;
    conditions.emplace_back(
        "it runs no longer a day than the table permits for what is worn, everything else that is "
        "heard that day counted in a plan");
    add_action_values(*choices.front(), conditions);
    add_classifications(review, *choices.front(), conditions);
    add_close_peaks(review, *choices.front(), conditions);
    add_fit(choices, conditions);
    add_metal(choices, terms, conditions);
    add_uncertainty(choices, terms, conditions);
    conditions.emplace_back(
        "it runs with the timing that the levels were found with: a changed timing is another "
        "sequence (near a resonance small changes moved the energy by up to 17 dB; abstracts "
        "seen)");
    auto missing = checks_in(review.checks, CheckState::Missing);
    std::erase_if(missing, [](const ReviewCheck* check) { return check->is_needed_first(); });
    if (!missing.empty()) {
        conditions.push_back("the card is completed: " + codes_of(missing));
    }
    const auto doubtful = checks_in(review.checks, CheckState::Doubtful);
    if (!doubtful.empty()) {
        conditions.push_back("somebody competent has looked at: " + codes_of(doubtful));
    }
    return conditions;
}

}  // namespace earbudget
