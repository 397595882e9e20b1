#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "overview/plan_answers.hpp"
#include "report/assess_words.hpp"
#include "report/text_style.hpp"
#include "report/words/words.hpp"

namespace earbudget::overview {

namespace {

using report::Block;
using report::Cell;
using report::Column;
using report::Medium;

constexpr std::array worst_first = {Verdict::Over, Verdict::Unknown, Verdict::Close,
                                    Verdict::Within};

std::string counted(std::size_t count, const char* one, const char* several) {
    return fmt::format("{} {}", count, count == 1 ? one : several);
}

std::string place_on_page(std::size_t plan) { return fmt::format("plan-{}", plan + 1); }

/// How many plans have which verdict, worst first.
report::Answers verdict_counts(const PlansReport& report) {
    report::Answers answers{.all = {}, .marks = report::verdict_marks, .loud = true};
    for (const Verdict verdict : worst_first) {
        const auto count = std::ranges::count(report.plans, verdict, &PlanAnswer::verdict);
        if (count == 0) continue;
        answers.all.push_back(
            {verdict, report::first_letter_large(report::words_of(verdict)),
             fmt::format("{} of {}", count, counted(report.plans.size(), "plan", "plans"))});
    }
    return answers;
}

std::string margin_before(const EarlierPlan& before) {
    return before.margin ? fmt::format("{:.1f} dB", before.margin->dB() + 0.0) : "no margin";
}

std::string change_in_words(const PlanAnswer& now, const EarlierPlan* before) {
    switch (change_of(now, before)) {
        case PlanChange::New:
            return "new";
        case PlanChange::Verdict:
            return fmt::format("was {}, {}", earbudget::name_of(before->verdict),
                               margin_before(*before));
        case PlanChange::Margin:
            return "was " + margin_before(*before);
        case PlanChange::Same:
            break;
    }
    return "same";
}

Cell left_cell(const PersonAnswer* person) {
    if (!person || !person->tightest || !person->tightest->margin) return "–";
    return person->tightest->left_in_words;
}

report::Table plans_table(const PlansReport& report) {
    report::Table table{.name = "Plans",
                        .columns = {{.key = "file", .title = "plan", .number = false},
                                    {.key = "verdict", .title = "verdict", .number = false},
                                    {.key = "person", .title = "who", .number = false},
                                    {.key = "criterion", .title = "limit", .number = false},
                                    {.key = "margin_dB", .title = "left"}}};
    if (report.earlier)
        table.columns.push_back({.key = "change", .title = "before", .number = false});
    for (std::size_t n = 0; n < report.plans.size(); ++n) {
        const PlanAnswer& plan = report.plans[n];
        const PersonAnswer* person = plan.decided_by();
        report::Row row{.cells = {}};
        row.cells.emplace_back(plan.file.path);
        row.cells.back().link = place_on_page(n);
        row.cells.emplace_back(std::string(earbudget::name_of(plan.verdict)));
        row.cells.emplace_back(person ? person->id : std::string("–"));
        row.cells.emplace_back(person && person->tightest ? person->tightest->name_in_words
                                                          : std::string("–"));
        row.cells.push_back(left_cell(person));
        if (report.earlier)
            row.cells.emplace_back(change_in_words(plan, report.earlier->find(plan.file.path)));
        if (plan.verdict == Verdict::Over) row.verdict = Verdict::Over;
        table.rows.push_back(std::move(row));
    }
    return table;
}

std::vector<Block> since_blocks(const PlansReport& report) {
    if (!report.earlier) return {};
    std::array<std::size_t, 4> counts{};
    for (const PlanAnswer& plan : report.plans)
        ++counts[static_cast<std::size_t>(change_of(plan, report.earlier->find(plan.file.path)))];
    const auto gone = report.gone();
    std::vector<Block> blocks = {{report::Paragraph{fmt::format(
        "Since {}: {} new, {} gone, {} with another verdict, {} with another margin (by more than "
        "{:g} dB), {} the same.",
        report.earlier->file.path, counts[0], gone.size(), counts[1], counts[2], least_change.dB(),
        counts[3])}}};
    for (const EarlierPlan& plan : gone)
        blocks.push_back({report::Paragraph{fmt::format(
            "gone: {} ({}), was {}", plan.file, plan.title, earbudget::name_of(plan.verdict))}});
    return blocks;
}

/// One line a person, people of whom the same is said together.
report::List people_lines(const PlanAnswer& plan) {
    std::vector<std::pair<std::string, std::vector<std::string>>> lines;
    for (const PersonAnswer& person : plan.people) {
        std::string words = report::words_of(person.verdict);
        if (const auto& tightest = person.tightest) {
            words += fmt::format("; tightest {}: {} of {}", tightest->name_in_words,
                                 tightest->value_in_words, tightest->limit_in_words);
            if (!tightest->left_in_words.empty()) words += ", " + tightest->left_in_words;
        } else {
            words +=
                "; no criterion is for the role " + std::string(earbudget::name_of(person.role));
        }
        const auto same = std::ranges::find(
            lines, words, &std::pair<std::string, std::vector<std::string>>::first);
        if (same == lines.end()) {
            lines.emplace_back(std::move(words), std::vector{person.id});
        } else {
            same->second.push_back(person.id);
        }
    }
    report::List list{.items = {}, .bullets = true};
    for (const auto& [words, ids] : lines)
        list.items.push_back({report::names_of_people(ids) + ": " + words});
    return list;
}

report::Section plan_section(const PlansReport& report, std::size_t n, bool detail) {
    const PlanAnswer& plan = report.plans[n];
    report::Section section{
        .id = place_on_page(n),
        .heading = plan.title,
        .blocks = {},
        .in_contents = plan.title,
        .answer = report::Answer{plan.verdict, report::words_of(plan.verdict), plan.file.path},
        .look = "part person",
        .of_one = true,
        .medium = detail ? Medium::Every : Medium::Page};
    if (report.earlier) {
        section.blocks.push_back(
            {report::Paragraph{"Since the earlier answer: " +
                               change_in_words(plan, report.earlier->find(plan.file.path))}});
    }
    section.blocks.push_back({people_lines(plan)});
    section.blocks.push_back(
        {report::Paragraph{.words = "Back to all plans", .link = "verdict"}, Medium::Page});
    return section;
}

/// What the lines leave out.
std::string rest_sentence(const PlansReport& report) {
    std::string words =
        "Left is by how much all levels may rise by that limit. What to hand out, advice and "
        "warnings: earbudget assess with one plan.";
    if (report.left_out > 0) {
        words +=
            fmt::format(" {} of other kinds left out.", counted(report.left_out, "file", "files"));
    }
    return words;
}

}  // namespace

std::string record_in_a_line(const report::Record& record) {
    return fmt::format(
        "earbudget {}, {}, {} read, fingerprint {}; sources and the hash of each: --detail.",
        report::program_version(), record.date, counted(record.inputs.size(), "file", "files"),
        report::fingerprint_in_fours(record));
}

void keep_record_on_page(report::Document& document) {
    for (report::Section& section : document.sections)
        if (section.id == "record") section.medium = Medium::Page;
}

report::Document plans_document(const PlansReport& report, bool detail) {
    const std::string title = counted(report.plans.size(), "plan", "plans");
    report::Document document{.head = {"assess",
                                       "Sound at the ear in many planned sessions, in short", title,
                                       title, report.record.date}};
    std::vector<Block> blocks;
    for (const PlanAnswer& plan : report.plans)
        if (!plan.metal.empty())
            blocks.push_back({report::Paragraph{
                report::strong(fmt::format("{}: {}", plan.file.path, plan.metal))}});
    blocks.push_back({verdict_counts(report)});
    blocks.push_back({report::ShortCautions()});
    report::append(since_blocks(report), blocks);
    blocks.push_back({plans_table(report)});
    blocks.push_back({report::Paragraph{rest_sentence(report)}});
    if (!detail)
        blocks.push_back({report::Paragraph{record_in_a_line(report.record)}, Medium::Text});
    document.sections.push_back({"verdict", "All plans", std::move(blocks)});
    for (std::size_t n = 0; n < report.plans.size(); ++n)
        document.sections.push_back(plan_section(report, n, detail));
    report::add_record_and_cautions(report.record, report.rules, {}, document);
    if (!detail) keep_record_on_page(document);
    return document;
}

}  // namespace earbudget::overview
