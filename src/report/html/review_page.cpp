#include "report/review_page.hpp"

#include <array>

#include <fmt/format.h>

#include "report/html/markup.hpp"
#include "report/html/page.hpp"
#include "report/html/parts.hpp"
#include "report/html/review_tables.hpp"
#include "report/review_sentences.hpp"
#include "report/review_tables.hpp"
#include "report/working_report.hpp"

namespace earbudget::report {

namespace {

using namespace html;

constexpr std::array<std::string_view, 4> recommendation_marks = {
    "", "may be approved on conditions", "something must be known first", "not as it is"};

/// The mark beside a recommendation; a committee decides, so that none is simply "within".
Verdict verdict_of(Recommendation::Code code) {
    switch (code) {
        case Recommendation::Code::OnCondition:
        case Recommendation::Code::OnlyWith:
            return Verdict::Close;
        case Recommendation::Code::NotBeforeKnown:
            return Verdict::Unknown;
        case Recommendation::Code::NotAsItIs:
            return Verdict::Over;
    }
    return Verdict::Unknown;
}

std::string recommendations(const ReviewReport& report) {
    std::string answers;
    for (const ReviewedCard& card : report.cards) {
        const Recommendation& recommendation = card.review.recommendation;
        answers += answer(verdict_of(recommendation.code), card.review.sequence.id,
                          std::string(first_words(recommendation.code)));
    }
    return section("verdict", 2, "Recommendation",
                   element("ul", "answers", "\n" + answers) + marks_key(recommendation_marks) +
                       short_cautions());
}

std::string origin_list(const Origin& origin) {
    std::string terms;
    for (const auto& [name, value] : origin_entries(origin))
        terms += fmt::format("<dt>{}</dt><dd>{}</dd>\n", text(name), text(value));
    return element("h3", "Where the levels come from") + "<dl class=\"record terms\">\n" + terms +
           "</dl>\n";
}

std::string checks_list(const std::vector<ReviewCheck>& checks) {
    std::string items;
    for (const ReviewCheck& check : checks) {
        const char* box = check.state == CheckState::Ok         ? "☒ stated"
                          : check.state == CheckState::Doubtful ? "? to be looked at"
                                                                : "☐ missing";
        items += fmt::format("<li><strong>{}</strong> – {}</li>\n", box, text(check_words(check)));
    }
    return element("h3", "To tick before it is approved") +
           element("ul", "plain checks", "\n" + items);
}

std::string difference(const ReviewedCard& now, const ReviewedCard& before) {
    return element("h3", "What changes") +
           element("p", text(fmt::format("Instead of {} ({}), {}, SHA-256 {}…",
                                         before.review.sequence.title, before.review.sequence.id,
                                         before.file.path, before.file.sha256.substr(0, 16)))) +
           level_changes_table(now, before) +
           element("p", "Permitted time a day, by the best estimate") +
           list_of(time_change_sentences(now, before));
}

std::string choices_list(const ReviewReport& report, const SequenceReview& review) {
    std::string items;
    for (const ReviewedChoice& choice : review.choices)
        items += element(
            "li", text(choice_words(*report.terms, choice, TextStyle{})) + list_of(choice.notes));
    for (const std::string& why : review.not_permitted)
        items += element("li", text("not permitted, alone or with another: " + why));
    return element("ul", "plain", "\n" + items);
}

std::string card_section(const std::string& id, const ReviewReport& report,
                         const ReviewedCard& card, const PageHead& head) {
    const SequenceReview& review = card.review;
    const Recommendation& recommendation = review.recommendation;
    std::string content = running_line(head);
    content += answer_line(verdict_of(recommendation.code), text(recommendation.text));
    content += element("p", "soft", text(card.file.path));
    if (!recommendation.conditions.empty())
        content += element("h3", "On condition that") + list_of(recommendation.conditions);
    content += element("h3", "Levels at the participant's ear position, nobody protected") +
               levels_tables(review.sequence) +
               element("p", text(uncertainty_sentence(review.sequence)));
    content += element("h3", "Peak limits") + list_of(peak_sentences(review));
    content += element("h3", "Permitted time a day") +
               element("p", text(permitted_sentence(*report.terms))) +
               permitted_times_table(*report.terms, review) + choices_list(report, review) +
               list_of(age_sentences(review, *report.terms));
    if (report.against) content += difference(card, *report.against);
    content += checks_list(review.checks) + origin_list(review.sequence.origin);
    content += working_block(review.sequence.id,
                             asked_working(report.record, {review.sequence.id}, review.working));
    return section(id, 2, text(fmt::format("{} ({})", review.sequence.title, review.sequence.id)),
                   content);
}

}  // namespace

std::string review_page(const ReviewReport& report) {
    const bool one = report.cards.size() == 1;
    const PageHead head{"review", "Review of a sequence for a committee",
                        one ? report.cards.front().review.sequence.title
                            : fmt::format("{} sequences", report.cards.size()),
                        one ? report.cards.front().file.path : "see below", report.record.date};
    Contents contents = {{"verdict", "Recommendation"}};
    std::string main = recommendations(report);
    for (std::size_t n = 0; n < report.cards.size(); ++n) {
        const std::string id = fmt::format("card-{}", n + 1);
        contents.emplace_back(id, report.cards[n].review.sequence.id);
        main += card_section(id, report, report.cards[n], head);
    }
    contents.emplace_back("methods", "Methods and criteria");
    contents.emplace_back("record", "Sources and record");
    contents.emplace_back("cautions", "Cautions");
    main +=
        section("methods", 2, "Methods and criteria, " + whom_words(*report.terms),
                element("p", text(protectors_sentence(report))) +
                    list_of(method_sentences(report)) + list_of(criteria_sentences(*report.terms)));
    main += record_section(report.record, rules_of(report)) + cautions_section();
    return page(head, contents, main, foot(report.record));
}

}  // namespace earbudget::report
