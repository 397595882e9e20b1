#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"
#include "overview/study_answers.hpp"
#include "report/assess_words.hpp"
#include "report/sentences.hpp"
#include "report/text_style.hpp"
#include "report/words/words.hpp"

namespace earbudget::overview {

namespace {

using report::Medium;
using report::Paragraph;

std::string times_words(unsigned times) {
    return times == 1 ? "" : times == 2 ? "twice " : fmt::format("{} times ", times);
}

/// "twice visit 1, visit 2".
std::string week_words(const VisitsOfWeek& week) {
    std::vector<std::string> visits;
    for (std::size_t n = 0; n < week.size(); ++n)
        if (week[n] > 0) visits.push_back(fmt::format("{}visit {}", times_words(week[n]), n + 1));
    return report::joined(visits, ", ");
}

/// "niosh-rel, dose at the ear: 42.0 % of 100 %, 3.8 dB left; close".
std::string limit_words(const CriterionResult& result) {
    const TightestLimit limit = in_short(result);
    std::string words = fmt::format("{}: {} of {}", limit.name_in_words, limit.value_in_words,
                                    limit.limit_in_words);
    if (!limit.left_in_words.empty()) words += ", " + limit.left_in_words;
    if (result.verdict == Verdict::Close) words += ", P(over) " + report::probability_text(result);
    if (result.limited_by_origin) words += "; close since nobody measured the levels";
    return words;
}

const CriterionResult* worst_of(const std::vector<const CriterionResult*>& limits) {
    const CriterionResult* worst = nullptr;
    for (const CriterionResult* limit : limits) {
        if (!limit->decides) continue;
        const bool worse = !worst || limit->verdict > worst->verdict ||
                           (limit->verdict == worst->verdict && limit->margin && !limit->by_bound &&
                            (!worst->margin || worst->by_bound || *limit->margin < *worst->margin));
        if (worse) worst = limit;
    }
    return worst;
}

std::string worst_visit_sentence(const Study& study, const PersonOfStudy& person) {
    const PersonAtVisit* at = person.worst_visit();
    if (!at) return "";
    const Visit& visit = study.visits[at->visit];
    return fmt::format("worst day: visit {} ({}), {}", at->visit + 1, visit.title,
                       limit_words(*worst_of(at->limits)));
}

std::string week_sentence(const PersonOfStudy& person) {
    std::vector<const CriterionResult*> limits;
    for (const WeekResult& week : person.week)
        limits.push_back(&week.result);
    const CriterionResult* worst = worst_of(limits);
    if (!worst) return "";
    for (const WeekResult& week : person.week) {
        if (&week.result != worst) continue;
        return fmt::format("heaviest week: {}, {}", week_words(week.week), limit_words(*worst));
    }
    return "";
}

std::string total_sentence(const StudyTotal& total) {
    return fmt::format(
        "all visits: {} day{}, {} session{}, {} of scanning, {:.3g} Pa²h at the ear, {:.3g} "
        "outside; daily doses by niosh-rel add up to {}, for which no limit is published",
        total.days, total.days == 1 ? "" : "s", total.sessions, total.sessions == 1 ? "" : "s",
        text_of(total.scanning), total.at_ear_Pa2h, total.outside_Pa2h,
        report::percent_text(total.niosh_percent));
}

/// What the plans say and the study does otherwise.
std::string unused_sentence(const PersonOfStudy& person) {
    std::vector<std::string> parts;
    if (!person.missing.empty()) {
        parts.push_back("not in visit " + report::joined(person.missing, ", ", [](std::size_t n) {
                            return std::to_string(n + 1);
                        }));
    }
    const auto listed = [](const auto& stated) {
        return report::joined(stated, ", ",
                              [](auto one) { return fmt::format("{:g}", 1.0 * one); });
    };
    if (!person.days_per_week_stated.empty()) {
        parts.push_back(fmt::format(
            "days_per_week = {} of the plans is not used: the spacing of the visits counts, and "
            "what is heard on other days of the week is not in it",
            listed(person.days_per_week_stated)));
    }
    if (!person.visits_stated.empty())
        parts.push_back(
            fmt::format("visits = {} of the plans is not used", listed(person.visits_stated)));
    return report::joined(parts, "; ");
}

/// People of whom all the same is said.
struct StudyGroup {
    const PersonOfStudy* first;
    std::vector<std::string> ids;
    std::vector<std::string> lines;
};

std::vector<StudyGroup> study_groups(const StudyReport& report) {
    std::vector<StudyGroup> groups;
    for (const PersonOfStudy& person : report.assessment->people) {
        std::vector<std::string> lines = {worst_visit_sentence(report.study(), person),
                                          week_sentence(person), total_sentence(person.total),
                                          unused_sentence(person)};
        std::erase(lines, "");
        const auto same = std::ranges::find_if(groups, [&](const StudyGroup& group) {
            return group.lines == lines && group.first->verdict == person.verdict;
        });
        if (same == groups.end()) {
            groups.push_back({&person, {person.id}, std::move(lines)});
        } else {
            same->ids.push_back(person.id);
        }
    }
    return groups;
}

void add_limit(const std::string& when, const CriterionResult& result, report::Table& table) {
    const TightestLimit limit = in_short(result);
    report::Row row{{when, limit.name_in_words, limit.value_in_words, limit.limit_in_words,
                     limit.left_in_words.empty() ? "–" : limit.left_in_words,
                     result.probability_over ? report::probability_text(result) : "–",
                     report::verdict_word(result)}};
    if (result.decides && result.verdict == Verdict::Over) row.verdict = Verdict::Over;
    table.rows.push_back(std::move(row));
}

report::Table study_limits_table(const PersonOfStudy& person, const std::string& name) {
    report::Table table{name + ": limits",
                        {{.key = "when", .title = "when", .number = false},
                         {.key = "id", .title = "limit", .number = false},
                         {"value", "value"},
                         {"limit", "permitted"},
                         {"margin_dB", "margin"},
                         {"probability_over", "P(over)"},
                         {.key = "verdict", .title = "verdict", .number = false}}};
    for (const PersonAtVisit& at : person.visits)
        for (const CriterionResult* limit : at.limits)
            add_limit(fmt::format("visit {}", at.visit + 1), *limit, table);
    for (const WeekResult& week : person.week)
        add_limit("week of " + week_words(week.week), week.result, table);
    return table;
}

report::Section study_person_section(const StudyGroup& group, std::size_t n, bool detail) {
    const PersonOfStudy& person = *group.first;
    const std::string name = report::name_of_group(group.ids);
    report::Section section{
        .id = fmt::format("person-{}", n + 1),
        .heading = fmt::format("{}, {}", name,
                               earbudget::name_of(person.visits.front().day->person->role)),
        .blocks = {},
        .in_contents = name,
        .answer = report::Answer{person.verdict, report::words_of(person.verdict)},
        .look = "part person",
        .of_one = true};
    if (group.ids.size() > 1)
        section.blocks.push_back({Paragraph{report::others_of_group(group.ids)}});
    section.blocks.push_back({report::sentences(group.lines)});
    section.blocks.push_back(
        {study_limits_table(person, name), detail ? Medium::Every : Medium::Page});
    return section;
}

report::Table visits_table(const StudyReport& report) {
    report::Table table{.name = "Visits",
                        .columns = {{.key = "visit", .title = "visit", .decimals = 0},
                                    {.key = "title", .title = "title", .number = false},
                                    {.key = "plan", .title = "plan", .number = false},
                                    {.key = "times", .title = "times", .decimals = 0},
                                    {.key = "days_apart", .title = "days apart", .decimals = 0}}};
    for (std::size_t n = 0; n < report.plans.size(); ++n) {
        const Visit& visit = report.study().visits[n];
        table.rows.push_back(
            {{static_cast<double>(n + 1), visit.title, report.plans[n].path,
              static_cast<double>(visit.times), static_cast<double>(visit.days_apart)}});
    }
    return table;
}

report::Section study_verdict_section(const StudyReport& report,
                                      const std::vector<StudyGroup>& groups, bool detail) {
    report::Answers answers{.all = {}, .marks = report::verdict_marks, .loud = true};
    for (const Verdict verdict :
         {Verdict::Over, Verdict::Unknown, Verdict::Close, Verdict::Within}) {
        std::vector<std::string> names;
        for (const StudyGroup& group : groups)
            if (group.first->verdict == verdict) names.push_back(report::name_of_group(group.ids));
        if (!names.empty()) {
            answers.all.push_back({verdict, report::first_letter_large(report::words_of(verdict)),
                                   report::joined(names, ", ")});
        }
    }
    std::vector<report::Block> blocks;
    for (std::size_t n = 0; n < report.assessment->visits.size(); ++n) {
        const std::string metal = report::metal_headline(report.assessment->visits[n]);
        if (!metal.empty())
            blocks.push_back(
                {Paragraph{report::strong(fmt::format("visit {}: {}", n + 1, metal))}});
    }
    blocks.push_back({std::move(answers)});
    blocks.push_back({Paragraph{"What to hand out and what would help at each visit: earbudget "
                                "assess with its plan."},
                      Medium::Text});
    blocks.push_back({report::ShortCautions()});
    if (!report.warnings.empty()) {
        const std::string warnings = fmt::format("With {} warning{}", report.warnings.size(),
                                                 report.warnings.size() == 1 ? "" : "s");
        blocks.push_back({Paragraph{.words = warnings + ", below.", .link = "warnings"},
                          detail ? Medium::Every : Medium::Page});
        if (!detail)
            blocks.push_back({Paragraph{warnings + ": --detail tells them."}, Medium::Text});
    }
    return {"verdict", "Verdict", std::move(blocks)};
}

report::Section study_warnings_section(const StudyReport& report) {
    report::List list{.items = {}, .bullets = true};
    for (const auto& [visit, warning] : report.warnings) {
        const std::size_t people = report.assessment->visits[visit].people.size();
        list.items.push_back({fmt::format("visit {}: {} ({})", visit + 1,
                                          report::warning_words(warning, people), warning.code())});
    }
    return {.id = "warnings",
            .heading = "Warnings",
            .blocks = {{std::move(list)}},
            .medium = Medium::Page};
}

}  // namespace

report::Document study_document(const StudyReport& report, bool detail) {
    const auto groups = study_groups(report);
    report::Document document{
        .head = {"assess", "Sound at the ear over the visits of a study, against its limits",
                 report.study().title, report.file.path, report.record.date, report.file.sha256}};
    document.sections.push_back(study_verdict_section(report, groups, detail));
    for (std::size_t n = 0; n < groups.size(); ++n)
        document.sections.push_back(study_person_section(groups[n], n, detail));
    document.sections.push_back(
        {.id = "visits",
         .heading = "Visits",
         .blocks = {{visits_table(report)},
                    {Paragraph{"Limits on a week are worked out over the "
                               "worst 7 days in a row that the least "
                               "spacing permits."}},
                    {Paragraph{record_in_a_line(report.record)}, Medium::Text}}});
    if (!report.warnings.empty()) document.sections.push_back(study_warnings_section(report));
    report::add_record_and_cautions(report.record, report.rules(), {}, document);
    if (detail) {
        for (report::Section& section : document.sections)
            section.medium = Medium::Every;
    } else {
        keep_record_on_page(document);
    }
    return document;
}

}  // namespace earbudget::overview
