#include <algorithm>

#include <fmt/format.h>

#include "report/assess_words.hpp"
#include "report/sentences.hpp"
#include "report/short_answer.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

namespace {

/// So many protectors are worth a look at once. Own choice.
constexpr std::size_t most_choices = 3;

std::string level_line(const Sequence& sequence) {
    const SoundLevels& levels = sequence.levels;
    return fmt::format(
        "Level, nobody protected{}: LAeq {}, {}{}",
        may_be_within(sequence.origin) ? "" : ", " + sequence.origin.how + ", not measured",
        level_with_unit(levels.LAeq),
        levels.LCpeak ? fmt::format("LCpeak {:.1f} dB(C), ", levels.LCpeak->dB()) : "",
        uncertainty_sentence(sequence));
}

/// What permits the time that is asked for first, one protector before two, then what permits
/// longer; what cannot be decided last.
bool is_better(const ReviewTerms& terms, const ReviewedChoice& one, const ReviewedChoice& other) {
    const auto time = [](const ReviewedChoice& choice) {
        const PermittedByCriterion* tightest = choice.tightest();
        return tightest && tightest->best ? tightest->best->a_day : Seconds(-1.0);
    };
    const bool allows = one.allows(terms.least_time);
    if (allows != other.allows(terms.least_time)) return allows;
    if (allows && one.wears.size() != other.wears.size())
        return one.wears.size() < other.wears.size();
    return time(one) > time(other);
}

std::string permitted_line(const ReviewTerms& terms, const ReviewedChoice& choice) {
    std::string words = first_letter_large(worn_words(terms, choice));
    if (!choice.undecidable.empty()) return words + ": cannot be decided";
    words += fmt::format(", {} at the ear", level_with_unit(choice.at_ear));
    if (const PermittedByCriterion* tightest = choice.tightest())
        words += fmt::format(": {} a day, confidently {}, by {}", time_words(tightest->best),
                             time_words(tightest->confident), tightest->criterion->id);
    return words;
}

/// Nothing worn, then the best of what fits.
std::vector<std::string> permitted_lines(const ReviewTerms& terms, const SequenceReview& review) {
    std::vector<std::string> lines;
    std::vector<const ReviewedChoice*> worn;
    for (const ReviewedChoice& choice : review.choices) {
        if (choice.wears.empty()) {
            lines.push_back(permitted_line(terms, choice));
        } else if (choice.can_be_worn) {
            worn.push_back(&choice);
        }
    }
    std::ranges::stable_sort(worn, [&](const ReviewedChoice* one, const ReviewedChoice* other) {
        return is_better(terms, *one, *other);
    });
    const std::size_t shown = std::min(worn.size(), most_choices);
    for (std::size_t n = 0; n < shown; ++n)
        lines.push_back(permitted_line(terms, *worn[n]));
    if (worn.size() > shown)
        lines.push_back(
            fmt::format("{} more choices: {}", worn.size() - shown, where_the_rest_is()));
    return lines;
}

/// A peak that is not within its limit, else what is missing on the card, else what is doubtful.
std::string concern_line(const SequenceReview& review) {
    const CriterionResult* worst = nullptr;
    for (const CriterionResult& peak : review.peaks) {
        if (peak.verdict != Verdict::Within && (!worst || peak.verdict > worst->verdict))
            worst = &peak;
    }
    if (worst)
        return fmt::format("Concern: {}{}, {}", words_of(worst->verdict),
                           worst->criterion->peak->at_ear ? " with nothing worn" : "",
                           margin_first(*worst));
    for (const CheckState state : {CheckState::Missing, CheckState::Doubtful}) {
        const auto check = std::ranges::find(review.checks, state, &ReviewCheck::state);
        if (check != review.checks.end()) return "Concern: " + check_words(*check);
    }
    return "";
}

std::string checks_line(const SequenceReview& review) {
    const auto number = [&](CheckState state) {
        return std::ranges::count(review.checks, state, &ReviewCheck::state);
    };
    return fmt::format("Checks: {} stated, {} to be looked at, {} missing; conditions: {}",
                       number(CheckState::Ok), number(CheckState::Doubtful),
                       number(CheckState::Missing), review.recommendation.conditions.size());
}

/// What takes the place of another card, by its level.
std::string against_line(const ReviewedCard& before, const ReviewedCard& now) {
    const auto& was = before.review.sequence.levels.LAeq;
    const auto& is = now.review.sequence.levels.LAeq;
    return fmt::format("Instead of {}: LAeq {:+.1f} dB", before.review.sequence.id,
                       (is - was).dB());
}

}  // namespace

std::vector<std::string> short_review(const ReviewReport& report, const ReviewedCard& card) {
    const SequenceReview& review = card.review;
    const ReviewTerms& terms = *report.terms;
    constexpr std::size_t lines = 14, indent = 2;
    std::vector<std::string> all = {level_line(review.sequence),
                                    first_letter_large(text_of(review.recommendation.says))};
    for (std::string& line : permitted_lines(terms, review))
        all.push_back(std::move(line));
    if (std::string concern = concern_line(review); !concern.empty())
        all.push_back(std::move(concern));
    if (report.against) all.push_back(against_line(*report.against, card));
    if (report.predicted) all.push_back(predicted_sentence(*report.predicted));
    all.push_back(checks_line(review));
    if (report.cards.size() > 1)
        all.push_back(fmt::format("{}, {}", review.sequence.title, card.file.path));
    std::vector<std::size_t> by_weight;
    // The recommendation first, but for a long one, which begins with what decides.
    constexpr std::size_t long_from = 5;
    const bool is_long = lines_taken(all[1], indent) >= long_from;
    if (!is_long) by_weight.push_back(1);
    for (std::size_t n = 0; n < all.size(); ++n)
        if (n != 1) by_weight.push_back(n);
    if (is_long) by_weight.push_back(1);
    return fitted_lines(std::move(all), lines, by_weight, indent);
}

}  // namespace earbudget::report
