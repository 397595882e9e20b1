#include <algorithm>

#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"
#include "overview/cards.hpp"
#include "report/text_style.hpp"

namespace earbudget::overview {

namespace {

using report::Cell;
using report::joined;

std::string or_none(const std::string& text) { return text.empty() ? "–" : text; }

std::string age_words(const ListedCard& one) {
    if (!one.age_days) return or_none(one.card.origin.when);
    return *one.age_days < 0 ? one.card.origin.when
                             : fmt::format("{}, {} days ago", one.card.origin.when, *one.age_days);
}

/// What is to be known beside the row, short.
std::vector<std::string> notes_of(const ListedCard& one) {
    std::vector<std::string> notes;
    const auto add = [&notes](std::string_view what, const std::vector<std::string>& things) {
        if (!things.empty()) notes.push_back(fmt::format("{} {}", what, joined(things, ", ")));
    };
    add("superseded by", one.superseded_by);
    if (one.state == CardState::Stale)
        notes.push_back(fmt::format("valid until {}", one.card.valid_until));
    add("missing:", one.missing);
    add("used by", one.used_by);
    return notes;
}

/// The id, with its file where another card has the same.
std::string name_in(const CardList& list, const ListedCard& one) {
    const auto alike = std::ranges::count_if(
        list.cards, [&](const ListedCard& other) { return other.card.id == one.card.id; });
    return alike > 1 ? fmt::format("{} ({})", one.card.id, one.file) : one.card.id;
}

report::Table table_of(const CardList& list) {
    report::Table table{.name = "Cards",
                        .columns = {{.key = "id", .title = "card", .number = false},
                                    {"LAeq_dB", "LAeq", "dB(A)"},
                                    {.key = "how", .title = "how", .number = false},
                                    {.key = "date", .title = "date", .number = false},
                                    {.key = "state", .title = "state", .number = false}}};
    for (const ListedCard& one : list.cards) {
        report::Row row{{Cell(name_in(list, one)), Cell(one.card.levels.LAeq.dB()),
                         Cell(or_none(one.card.origin.how)), Cell(age_words(one)),
                         Cell(std::string(name_of(one.state)))}};
        row.notes = notes_of(one);
        if (one.state != CardState::Current) row.verdict = Verdict::Close;
        table.rows.push_back(std::move(row));
    }
    return table;
}

std::string headline(const CardList& list) {
    const std::size_t all = list.cards.size();
    if (all == 0) return "No sequence card is there.";
    std::string text = fmt::format("{} card{}", all, all == 1 ? "" : "s");
    for (const CardState state : card_states.keys()) {
        if (const std::size_t number = list.number_of(state); number > 0)
            text += fmt::format("{}{} {}", state == card_states.keys().front() ? ": " : ", ",
                                number, name_of(state));
    }
    return text + ".";
}

}  // namespace

report::Document cards_document(const CardList& list, const std::vector<std::string>& folders,
                                const report::Record& record) {
    report::Document document{.head = {"cards", "Every sequence card", joined(folders, ", "),
                                       folders.front(), record.date}};
    document.first_line = report::words_on_examples(record);
    std::vector<report::Block> blocks = {{report::Paragraph{report::strong(headline(list))}}};
    if (!list.cards.empty()) blocks.push_back({table_of(list)});
    if (!list.passed_over.empty()) {
        blocks.push_back({report::Paragraph{fmt::format(
            "Passed over, none of this program's files: {}.", joined(list.passed_over, ", "))}});
    }
    document.sections.push_back({"cards", "Cards", std::move(blocks)});
    report::add_record_and_cautions(record, {}, {}, document);
    return document;
}

}  // namespace earbudget::overview
