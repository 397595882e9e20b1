// One document an answer: text and page say the same, with the numbers of the result.
#include <algorithm>
#include <random>
#include <set>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/acoustics/number_text.hpp"
#include "earbudget/advice/assess.hpp"
#include "earbudget/advice/compare.hpp"
#include "earbudget/choice/check_ratings.hpp"
#include "earbudget/choice/choose.hpp"
#include "report/document.hpp"
#include "report/html/markup.hpp"
#include "report/reports.hpp"
#include "report/words/words.hpp"
#include "support/near.hpp"
#include "support/published.hpp"
#include "support/random_plan.hpp"

using namespace earbudget;
using namespace earbudget::report;
using namespace earbudget::test;

namespace {

const SourceFile file{"plan.toml", std::string(64, 'a')};
const Record record{.date = "2026-01-31", .inputs = {file}, .fingerprint = std::string(64, 'b')};

enum class Markup { None, Html };

/// What a reader sees, without marks, markup, breaks and blanks: those differ by where it stands.
std::string seen(const std::string& report, Markup markup = Markup::None) {
    std::string words;
    bool in_tag = false;
    for (const char letter : without_marks(report)) {
        if (letter == '<' && markup == Markup::Html) in_tag = true;
        const bool blank = in_tag || letter == '\n' || letter == ' ';
        if (letter == '>' && markup == Markup::Html) in_tag = false;
        if (!blank) words += letter;
    }
    return words;
}

/// Both renderings of a document.
struct Rendered {
    explicit Rendered(const Document& document)
        : text(seen(as_text(document, {}))), page(seen(as_page(document), Markup::Html)) {}

    void hold(const std::string& words) const {
        CAPTURE(without_marks(words));
        const std::string wanted = seen(words);
        CHECK(text.find(wanted) != std::string::npos);
        CHECK(page.find(seen(html::escaped(without_marks(words)))) != std::string::npos);
    }

    std::string text, page;
};

const Section& section_of(const Document& document, const std::string& id) {
    for (const Section& section : document.sections)
        if (section.id == id) return section;
    throw std::out_of_range(id);
}

void collect(const std::vector<Block>& blocks, std::vector<const Table*>& tables) {
    for (const Block& block : blocks) {
        if (const auto* table = std::get_if<Table>(&block.is)) tables.push_back(table);
        if (const auto* beside = std::get_if<Beside>(&block.is))
            for (const auto& part : beside->parts)
                collect(part, tables);
        if (const auto* folded = std::get_if<Folded>(&block.is)) collect(folded->blocks, tables);
    }
}

/// The table of a section that has such a column, and the place of that.
std::pair<const Table*, std::size_t> column_of(const Section& section, const std::string& key) {
    std::vector<const Table*> tables;
    collect(section.blocks, tables);
    for (const Table* table : tables)
        for (std::size_t n = 0; n < table->columns.size(); ++n)
            if (table->columns[n].key == key) return {table, n};
    throw std::out_of_range(key);
}

/// Every cell of every table stands in both.
void hold_tables(const Document& document, const Rendered& rendered) {
    for (const Section& section : document.sections) {
        std::vector<const Table*> tables;
        collect(section.blocks, tables);
        for (const Table* table : tables)
            for (const Row& row : table->rows)
                for (std::size_t n = 0; n < row.cells.size(); ++n)
                    rendered.hold(words_of(row.cells[n], table->columns[n]));
    }
}

}  // namespace

TEST_CASE("assess: text and page hold the verdict, the reasons and every number of the result") {
    std::mt19937 random(5);
    std::set<Verdict> verdicts;
    for (int n = 0; n < 12; ++n) {
        const Plan plan = random_plan(random);
        const Assessment assessment = assess(plan);
        const PersonResult& person = assessment.people.front();
        verdicts.insert(person.verdict);
        const Document document = assess_document(assessment, file, record);
        const Rendered rendered(document);
        const Section& section = section_of(document, "person-1");
        rendered.hold(section.heading);
        rendered.hold(section.answer->words);
        hold_tables(document, rendered);
        const auto [rows, at_ear] = column_of(section, "at_ear_LAeq_dB");
        REQUIRE(rows->rows.size() == person.segments.size());
        for (std::size_t k = 0; k < rows->rows.size(); ++k) {
            CHECK(rows->rows[k].cells[at_ear].number == person.segments[k].row.at_ear->dB());
            rendered.hold(decimal_text(person.segments[k].row.at_ear->dB(), 1));
        }
        CHECK(column_of(section, "margin_dB").first->rows.size() == person.criteria.size());
    }
    CHECK(verdicts.size() > 1);
}

TEST_CASE("assess: the course and the spectrum are the result's, and text needs neither") {
    std::mt19937 random(6);
    const Plan plan = random_plan(random);
    const Assessment with = assess(plan);
    const Assessment without = assess(plan, Tracing::Off, false);
    CHECK(with.people.front().course.rows.size() >= plan.timeline.size());
    CHECK(with.people.front().spectrum->bands.size() > 2);
    CHECK(without.people.front().course.rows.empty());
    CHECK(!without.people.front().spectrum);
    CHECK(as_text(assess_document(with, file, record), {}) ==
          as_text(assess_document(without, file, record), {}));
    CHECK(as_page(assess_document(with, file, record)).find("-course") != std::string::npos);
    CHECK(as_page(assess_document(without, file, record)).find("-course") == std::string::npos);
}

TEST_CASE("what is worn has one name, in whatever order it is stated") {
    std::mt19937 random(7);
    Plan plan = random_plan(random);
    std::vector<std::string> texts;
    for (const std::vector<std::string>& wears :
         {std::vector<std::string>{"plug", "muff"}, std::vector<std::string>{"muff", "plug"}}) {
        plan.people.front().wears = wears;
        CHECK(short_names_of(plan.catalogue, wears) == "plug under muff");
        const Assessment assessment = assess(plan, Tracing::On);
        texts.push_back(as_text(assess_document(assessment, file, record), {}));
        CHECK(texts.back().find("wears invented (plug) under invented (muff)") !=
              std::string::npos);
        const Working& working = *assessment.people.front().working;
        CHECK(std::ranges::any_of(working, [](const WorkingStep& step) {
            return text_of(step.what) == "octave bands of plug under muff";
        }));
    }
    CHECK(texts.front() == texts.back());
    CHECK(names_of(plan.catalogue, {}) == "nothing worn");
}

TEST_CASE("assess against an earlier plan: what changed stands once and in both") {
    std::mt19937 random(8);
    Plan plan = random_plan(random);
    const Assessment before = assess(plan, Tracing::Off, false);
    Plan changed = plan;
    changed.people.front().wears = {"muff", "plug"};
    const Assessment now = assess(changed);
    const Earlier earlier{compare(before, now), file};
    const Rendered rendered(assess_document(now, file, record, earlier));
    rendered.hold("What changed");
    rendered.hold("wears plug under muff instead of plug");
}

TEST_CASE("choose: the ranking with its levels, the answer and the reasons") {
    std::mt19937 random(9);
    const Plan plan = random_plan(random);
    const auto choices = choose(plan);
    const Document document = choose_document(plan, choices, record);
    const Rendered rendered(document);
    hold_tables(document, rendered);
    const auto [table, level] = column_of(section_of(document, "person-1"), "at_ear_LEX_8h_dB");
    REQUIRE(table->rows.size() == choices.front().ranking.size());
    for (std::size_t n = 0; n < table->rows.size(); ++n) {
        const RankedChoice& ranked = choices.front().ranking[n];
        CHECK(table->rows[n].cells[level].number == ranked.at_ear_LEX_8h->dB());
        for (const std::string& note : table->rows[n].notes)
            rendered.hold(note);
        if (n > 0)
            CHECK(table->rows[n].notes.front() ==
                  "behind the one above: " + text_of(ranked.reason));
    }
}

TEST_CASE("review: times permitted, levels and checks") {
    std::mt19937 random(10);
    const Plan plan = random_plan(random);
    ReviewTerms terms{.role = Role::Participant};
    terms.policy.criteria = {published("niosh-rel"), published("iec-60601-2-33")};
    terms.catalogue = plan.catalogue;
    ReviewReport report{.terms = &terms, .cards = {}, .protectors = file, .record = record};
    report.cards.push_back({review(plan.sequences.front(), terms), file});
    report.against = ReviewedCard{review(plan.sequences.back(), terms), file};
    const Document document = review_document(report);
    const Rendered rendered(document);
    hold_tables(document, rendered);
    for (const ReviewedChoice& choice : report.cards.front().review.choices)
        if (choice.at_ear)
            rendered.hold(decimal_text(choice.at_ear->dB(), 1) + " dB(A) at the ear");
    rendered.hold(text_of(report.cards.front().review.recommendation.says));
    rendered.hold("Instead of invented (c)");
    rendered.hold("☐ missing");
}

TEST_CASE("ratings and measure: every level once, in both") {
    std::mt19937 random(11);
    const Plan plan = random_plan(random);
    const RatingsCheck check = check_ratings(plan.catalogue);
    const Document ratings = ratings_document(check, record);
    hold_tables(ratings, Rendered(ratings));
    MeasuredChannel channel{.number = 1, .calibration = Calibration(LevelZ(130.0))};
    channel.levels.LAeq = LevelA(101.26);
    channel.levels.LZeq = LevelZ(103.94);
    channel.levels.seconds = {LevelA(101.0), LevelA(101.5)};
    channel.levels.octave_A.set(OctaveBand::Hz1000, LevelA(99.06));
    const std::vector<RecordingReport> recordings = {
        {.file = file, .measured = {.sample_rate = Frequency(48000.0), .channels = {channel}}}};
    const Document measured = measure_document(recordings, record);
    const Rendered rendered(measured);
    hold_tables(measured, rendered);
    rendered.hold("LAeq 101.3 dB(A)");
    rendered.hold("99.1");
    for (const std::string_view caution : measure_cautions)
        rendered.hold(std::string(caution));
}

TEST_CASE("a table in text: below its titles, in parts where it is too wide, notes once") {
    Table table{"t", {{.key = "", .title = "who"}}};
    Row row{{"a"}, {"a note"}};
    for (int n = 0; n < 20; ++n) {
        table.columns.push_back({"", "limit-of-" + std::to_string(n), "dB(A)"});
        row.cells.emplace_back(80.0 + n);
    }
    table.rows = {{{"a heading of its own"}}, row};
    const std::string text = text_table(table, 2);
    std::size_t lines = 0, longest = 0;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = text.find('\n', at);
        longest = std::max(longest, end - at);
        at = end + 1;
        ++lines;
    }
    CHECK(longest <= 112);
    CHECK(lines > 8);
    for (int n = 0; n < 20; ++n)
        CHECK(text.find(decimal_text(80.0 + n, 1)) != std::string::npos);
    CHECK(text.find("a note") == text.rfind("a note"));
}
