#include <fmt/format.h>

#include "report/reports.hpp"
#include "report/sentences.hpp"
#include "report/short_answer.hpp"
#include "report/text_style.hpp"
#include "report/words/words.hpp"
#include "report/working.hpp"

namespace earbudget::report {

namespace {

Section recommendations(const ReviewReport& report, const Telling& telling) {
    Answers answers{.all = {},
                    .marks = {"", "may be approved on conditions", "something must be known first",
                              "not as it is"}};
    for (const ReviewedCard& card : report.cards) {
        const Recommendation& recommendation = card.review.recommendation;
        answers.all.push_back(
            {verdict_of(recommendation.code), card.review.sequence.id,
             std::string(first_words(recommendation.code)),
             telling.begins_short() ? short_review(report, card) : std::vector<std::string>()});
    }
    return {"verdict", "Recommendation", {{std::move(answers)}, {ShortCautions()}}};
}

List checks_list(const std::vector<ReviewCheck>& checks) {
    List list;
    for (const ReviewCheck& check : checks) {
        const char* box = check.state == CheckState::Ok         ? "☒ stated"
                          : check.state == CheckState::Doubtful ? "? to be looked at"
                                                                : "☐ missing";
        list.items.push_back({strong(box) + " – " + check_words(check)});
    }
    return list;
}

/// A prediction of the sequence beside what was measured of it.
std::vector<Block> predicted_blocks(const PredictedBeside& predicted) {
    Table table{.name = "Predicted less measured",
                .columns = {{.key = "octave", .title = "octave band, Hz"},
                            {"octave_difference_dB", "predicted less measured", "dB"}}};
    for (const OctaveBand band : octave_bands) {
        if (const auto& each = predicted.octave[index_of(band)])
            table.rows.push_back({list_of<Cell>(std::string(name_of(band)), each->dB())});
    }
    std::vector<Block> blocks = {{Heading{"Predicted before it had run"}},
                                 {Paragraph{predicted_sentence(predicted)}}};
    if (!table.rows.empty()) blocks.push_back({std::move(table)});
    return blocks;
}

Section card_section(const std::string& id, const ReviewReport& report, const ReviewedCard& card) {
    const SequenceReview& review = card.review;
    const Recommendation& recommendation = review.recommendation;
    const ReviewTerms& terms = *report.terms;
    Section section{
        .id = id,
        .heading = fmt::format("{} ({})", review.sequence.title, review.sequence.id),
        .blocks = {},
        .in_contents = review.sequence.id,
        .answer = Answer{verdict_of(recommendation.code), "", text_of(recommendation.says)},
        .of_one = true};
    auto& blocks = section.blocks;
    append(
        {{Paragraph{fmt::format("{}, SHA-256 {}…", card.file.path, card.file.sha256.substr(0, 16)),
                    "soft"}}},
        blocks);
    if (!recommendation.conditions.empty())
        append({{Heading{"On condition that"}},
                {sentences(texts_of(recommendation.conditions), true)}},
               blocks);
    append({{Heading{"Levels at the participant's ear position, nobody protected, over one run"}}},
           blocks);
    append(levels_blocks(review.sequence), blocks);
    append(
        {{sentences({uncertainty_sentence(review.sequence),
                     "tones: a card holds none; `earbudget measure` lists those of a recording"})},
         {Heading{"Where the levels come from"}},
         {Definitions{origin_entries(review.sequence.origin)}},
         {Heading{"Peak limits"}},
         {sentences(peak_sentences(review, terms))},
         {Heading{"Permitted time a day"}},
         {Paragraph{permitted_sentence(terms)}}},
        blocks);
    append(permitted_blocks(terms, review), blocks);
    append({{sentences(age_sentences(review, terms))}}, blocks);
    if (report.against) append(difference_blocks(terms, card, *report.against), blocks);
    if (report.predicted) append(predicted_blocks(*report.predicted), blocks);
    append({{Heading{"To tick before it is approved"}}, {checks_list(review.checks)}}, blocks);
    section.blocks.push_back({Steps{review.sequence.id, [&report, &review] {
                                        return asked_working(report.record, {review.sequence.id},
                                                             review.working);
                                    }}});
    return section;
}

}  // namespace

Verdict verdict_of(Recommendation::Code code) {
    static constexpr std::array verdicts = {Verdict::Close, Verdict::Close, Verdict::Unknown,
                                            Verdict::Over};
    return verdicts[static_cast<std::size_t>(code)];
}

Document review_document(const ReviewReport& report, const Telling& telling) {
    const bool one = report.cards.size() == 1;
    Document document{.head = {"review", "Review of a sequence for a committee",
                               one ? report.cards.front().review.sequence.title
                                   : fmt::format("{} sequences", report.cards.size()),
                               one ? report.cards.front().file.path : "see below",
                               report.record.date}};
    document.sections.push_back(recommendations(report, telling));
    if (telling.is_short_alone()) {
        end_in_short(report.record, {}, document);
        return document;
    }
    for (std::size_t n = 0; n < report.cards.size(); ++n)
        document.sections.push_back(
            card_section(fmt::format("card-{}", n + 1), report, report.cards[n]));
    document.sections.push_back({"methods",
                                 "Methods and criteria, " + whom_words(*report.terms),
                                 {{Paragraph{protectors_sentence(report)}},
                                  {sentences(method_sentences(report))},
                                  {sentences(criteria_sentences(*report.terms))}},
                                 "Methods and criteria"});
    add_record_and_cautions(report.record, rules_of(report), {}, document);
    if (telling.begins_short()) fold(telling, document);
    return document;
}

}  // namespace earbudget::report
