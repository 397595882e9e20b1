#include <fmt/format.h>

#include "earbudget/study/visible_text.hpp"
#include "report/cautions.hpp"
#include "report/review_report.hpp"
#include "report/review_sentences.hpp"
#include "report/review_tables.hpp"
#include "report/working_report.hpp"

namespace earbudget::report {

namespace {

std::string source_line(const SourceFile& file) {
    return fmt::format("  {}, SHA-256 {}…\n", visible_text(file.path), file.sha256.substr(0, 16));
}

std::string recommendation_lines(const Recommendation& recommendation) {
    std::string text = wrapped("Recommendation: " + recommendation.text, 2, 4);
    if (recommendation.conditions.empty()) return text;
    text += "  On condition that\n";
    for (const std::string& condition : recommendation.conditions)
        text += wrapped("- " + condition, 4, 6);
    return text;
}

std::string lines_of(const std::vector<std::string>& sentences, std::size_t first,
                     std::size_t next) {
    std::string text;
    for (const std::string& sentence : sentences)
        text += wrapped(sentence, first, next);
    return text;
}

std::string origin_lines(const Origin& origin) {
    std::string text = "  Where the levels come from\n";
    for (const auto& [name, value] : origin_entries(origin))
        text += wrapped(fmt::format("{}: {}", name, value), 4, 6);
    return text;
}

std::string box_of(CheckState state) {
    switch (state) {
        case CheckState::Ok:
            return "[x]";
        case CheckState::Doubtful:
            return "[?]";
        case CheckState::Missing:
            return "[ ]";
    }
    return "";
}

std::string check_lines(const std::vector<ReviewCheck>& checks) {
    std::string text =
        "  To tick before it is approved ([x] stated, [?] to be looked at, [ ] missing)\n";
    for (const ReviewCheck& check : checks) {
        text += wrapped(fmt::format("{} {}", box_of(check.state), check_words(check)), 4, 8);
    }
    return text;
}

std::string card_block(const ReviewReport& report, const ReviewedCard& card,
                       const TextStyle& style) {
    const SequenceReview& review = card.review;
    std::string text = fmt::format("\n{} ({})\n{}", style.strong(review.sequence.title),
                                   review.sequence.id, source_line(card.file));
    text += recommendation_lines(review.recommendation);
    text += "  Levels at the participant's ear position, nobody protected, over one run\n" +
            levels_table(review.sequence.levels) +
            wrapped(uncertainty_sentence(review.sequence), 4, 6);
    text += "    tones: a card holds none; `earbudget measure` lists those of a recording\n";
    text += origin_lines(review.sequence.origin) + "  Peak limits\n" +
            lines_of(peak_sentences(review), 4, 6);
    text += wrapped(permitted_sentence(*report.terms), 2, 4) +
            permitted_table(*report.terms, review, style) +
            lines_of(age_sentences(review, *report.terms), 4, 6);
    if (report.against) text += difference_lines(card, *report.against);
    text += check_lines(review.checks);
    return text + working_text(asked_working(report.record, {review.sequence.id}, review.working));
}

std::string method_lines(const ReviewReport& report) {
    return "\n" + protectors_sentence(report) + "\n" + lines_of(method_sentences(report), 2, 4);
}

std::string criteria_lines(const ReviewTerms& terms) {
    return fmt::format("\nCriteria, {}\n", whom_words(terms)) +
           lines_of(criteria_sentences(terms), 2, 4);
}

}  // namespace

std::string review_text(const ReviewReport& report, const TextStyle& style) {
    std::string text;
    for (const ReviewedCard& card : report.cards) {
        text += fmt::format("{}: {}\n", card.review.sequence.id,
                            first_words(card.review.recommendation.code));
    }
    for (const ReviewedCard& card : report.cards)
        text += card_block(report, card, style);
    text += method_lines(report) + criteria_lines(*report.terms) +
            record_text(report.record, rules_of(report)) + cautions_text();
    return text;
}

}  // namespace earbudget::report
