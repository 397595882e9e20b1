#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"
#include "earbudget/computing/add_once.hpp"
#include "earbudget/limits/judge.hpp"
#include "overview/study_answers.hpp"
#include "report/assess_words.hpp"
#include "report/sentences.hpp"
#include "report/short_answer.hpp"
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

std::string worst_visit_sentence(const Study& study, const PersonOfStudy& person) {
    const PersonAtVisit* at = person.worst_visit();
    if (!at) return "";
    const Visit& visit = study.visits[at->visit];
    return fmt::format("worst day: visit {} ({}), {}", at->visit + 1, visit.title,
                       limit_words(*tightest_of(at->limits)));
}

std::string week_sentence(const PersonOfStudy& person) {
    const WeekResult* worst = person.worst_week();
    if (!worst) return "";
    return fmt::format("heaviest week: {}, {}", week_words(worst->week),
                       limit_words(worst->result));
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

/// What the tightest limit is of: "at visit 2 (Scans)", "in the week of visit 2".
std::string when_of(const Study& study, const PersonOfStudy& person) {
    const CriterionResult* tightest = person.tightest();
    constexpr std::size_t columns_of_title = 24;
    for (const PersonAtVisit& at : person.visits) {
        if (std::ranges::find(at.limits, tightest) == at.limits.end()) continue;
        return fmt::format("at visit {} ({})", at.visit + 1,
                           report::fitted(study.visits[at.visit].title, columns_of_title));
    }
    for (const WeekResult& week : person.week)
        if (&week.result == tightest) return "in the week of " + week_words(week.week);
    return "";
}

/// The day that the tightest limit is of; of a week the first.
const PersonResult* day_of_tightest(const PersonOfStudy& person) {
    for (const PersonAtVisit& at : person.visits)
        if (std::ranges::find(at.limits, person.tightest()) != at.limits.end()) return at.day;
    return person.visits.front().day;
}

/// How many limits have the verdict of the tightest, each once.
std::size_t limits_as_bad(const PersonOfStudy& person, const CriterionResult& tightest) {
    std::vector<std::pair<std::string, bool>> all;
    const auto add = [&](const CriterionResult& limit) {
        if (limit.decides && limit.verdict == tightest.verdict)
            add_once(std::pair(limit.criterion->id, limit.is_peak), all);
    };
    for (const PersonAtVisit& at : person.visits)
        for (const CriterionResult* limit : at.limits)
            add(*limit);
    for (const WeekResult& week : person.week)
        add(week.result);
    return all.size();
}

/// The person's place at a visit.
std::size_t place_at(const Assessment& visit, const std::string& id) {
    const auto found = std::ranges::find(
        visit.people, id, [](const PersonResult& result) { return result.person->id; });
    return static_cast<std::size_t>(found - visit.people.begin());
}

report::PersonOfStudyInShort study_person_in_short(const StudyReport& report,
                                                   const PersonOfStudy& person) {
    report::PersonOfStudyInShort one{.id = person.id,
                                     .verdict = person.verdict,
                                     .day = day_of_tightest(person),
                                     .tightest = person.tightest(),
                                     .when = when_of(report.study(), person)};
    if (one.tightest) one.as_bad = limits_as_bad(person, *one.tightest);
    bool changed = false;
    for (const PersonAtVisit& at : person.visits) {
        const VisitAdvice& advice = report.advice->visits[at.visit];
        const std::size_t n = place_at(advice.assessment, person.id);
        const HandOut& out = advice.outs.each[n];
        changed = changed || out.kind == HandOut::Kind::Instead;
        one.visits.push_back({at.visit + 1, advice.plan.get(), &advice.assessment.people[n], &out});
    }
    const PersonOfStudy* with_it = changed ? report.advice->with_it(person.id) : nullptr;
    if (with_it) {
        one.then = with_it->verdict;
        one.then_tightest = with_it->tightest();
    }
    return one;
}

report::Answers study_answers_in_short(const StudyReport& report) {
    std::vector<report::PersonOfStudyInShort> people;
    for (const PersonOfStudy& person : report.assessment->people)
        people.push_back(study_person_in_short(report, person));
    return report::short_answers(people);
}

/// All advice, visit by visit: once where it is the same.
std::vector<std::string> advice_sentences(const StudyReport& report, const PersonOfStudy& person) {
    std::vector<std::pair<std::string, std::vector<std::size_t>>> said;
    if (!report.advice) return {};
    for (const PersonAtVisit& at : person.visits) {
        const Assessment& visit = report.advice->visits[at.visit].assessment;
        for (const Advice& advice : visit.people[place_at(visit, person.id)].advice) {
            std::string words =
                report::strong(name_of(advice.code)) + ": " + text_of(advice.says, " ");
            const auto same = std::ranges::find(said, words, &decltype(said)::value_type::first);
            if (same == said.end())
                said.push_back({std::move(words), {at.visit + 1}});
            else
                same->second.push_back(at.visit + 1);
        }
    }
    std::vector<std::string> sentences;
    for (const auto& [words, visits] : said)
        sentences.push_back(fmt::format("visit{} {}: {}", visits.size() == 1 ? "" : "s",
                                        fmt::join(visits, ", "), words));
    return sentences;
}

/// People of whom all the same is said.
struct StudyGroup {
    const PersonOfStudy* first;
    std::vector<std::string> ids;
    std::vector<std::string> lines;
    std::vector<std::string> advice;
};

std::vector<StudyGroup> study_groups(const StudyReport& report) {
    std::vector<StudyGroup> groups;
    for (const PersonOfStudy& person : report.assessment->people) {
        std::vector<std::string> lines = {worst_visit_sentence(report.study(), person),
                                          week_sentence(person), total_sentence(person.total),
                                          unused_sentence(person)};
        std::erase(lines, "");
        std::vector<std::string> advice = advice_sentences(report, person);
        const auto same = std::ranges::find_if(groups, [&](const StudyGroup& group) {
            return group.lines == lines && group.advice == advice &&
                   group.first->verdict == person.verdict;
        });
        if (same == groups.end()) {
            groups.push_back({&person, {person.id}, std::move(lines), std::move(advice)});
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

report::Section study_person_section(const StudyGroup& group, std::size_t n) {
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
    if (!group.advice.empty()) {
        section.blocks.push_back({report::Heading{"What to do"}});
        section.blocks.push_back({report::sentences(group.advice, true)});
    }
    section.blocks.push_back({study_limits_table(person, name)});
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

report::Answers study_verdicts_alone(const std::vector<StudyGroup>& groups) {
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
    return answers;
}

std::string number_of_study_warnings(const StudyReport& report) {
    const std::size_t warnings = report.warnings.size();
    return warnings == 0 ? "" : fmt::format("{} warning{}", warnings, warnings == 1 ? "" : "s");
}

report::Section study_verdict_section(const StudyReport& report,
                                      const std::vector<StudyGroup>& groups,
                                      const report::Telling& telling) {
    std::vector<report::Block> blocks;
    for (std::size_t n = 0; n < report.assessment->visits.size(); ++n) {
        const std::string metal = report::metal_headline(report.assessment->visits[n]);
        if (!metal.empty())
            blocks.push_back(
                {Paragraph{report::strong(fmt::format("visit {}: {}", n + 1, metal))}});
    }
    const bool in_short = telling.begins_short() && report.advice;
    blocks.push_back({in_short ? study_answers_in_short(report) : study_verdicts_alone(groups)});
    if (!report.advice)
        blocks.push_back(
            {Paragraph{"What to hand out and what would help at each visit is too "
                       "much to look for here: earbudget assess with its plan."}});
    if (telling.is_short_alone()) return {"verdict", "Verdict", std::move(blocks)};
    blocks.push_back({report::ShortCautions()});
    if (const std::string warnings = number_of_study_warnings(report); !warnings.empty())
        blocks.push_back(
            {Paragraph{.words = fmt::format("With {}, below.", warnings), .link = "warnings"}});
    return {"verdict", "Verdict", std::move(blocks)};
}

report::Section study_warnings_section(const StudyReport& report) {
    report::List list{.items = {}, .bullets = true};
    for (const auto& [visit, warning] : report.warnings) {
        const std::size_t people = report.assessment->visits[visit].people.size();
        list.items.push_back({fmt::format("visit {}: {} ({})", visit + 1,
                                          report::warning_words(warning, people), warning.code())});
    }
    return {"warnings", "Warnings", {{std::move(list)}}};
}

/// What is not used of the plans, and what must be asked before anybody starts.
std::vector<std::string> study_ends_with(const StudyReport& report,
                                         const std::vector<StudyGroup>& groups) {
    std::vector<std::string> all;
    for (const StudyGroup& group : groups) {
        const std::string unused = unused_sentence(*group.first);
        if (!unused.empty()) all.push_back(report::name_of_group(group.ids) + ": " + unused + ".");
    }
    for (const Assessment& visit : report.assessment->visits)
        add_once(report::asked_before_in_short(visit), all);
    const std::string warnings = number_of_study_warnings(report);
    all.push_back(warnings.empty() ? "No warnings." : warnings + ", listed by --detail.");
    return all;
}

}  // namespace

report::Document study_document(const StudyReport& report, const report::Telling& telling) {
    const auto groups = study_groups(report);
    report::Document document{
        .head = {"assess", "Sound at the ear over the visits of a study, against its limits",
                 report.study().title, report.file.path, report.record.date, report.file.sha256}};
    document.sections.push_back(study_verdict_section(report, groups, telling));
    if (telling.is_short_alone()) {
        end_in_short(report.record, study_ends_with(report, groups), document, false);
        return document;
    }
    for (std::size_t n = 0; n < groups.size(); ++n)
        document.sections.push_back(study_person_section(groups[n], n));
    document.sections.push_back({.id = "visits",
                                 .heading = "Visits",
                                 .blocks = {{visits_table(report)},
                                            {Paragraph{"Limits on a week are worked out over the "
                                                       "worst 7 days in a row that the least "
                                                       "spacing permits."}}}});
    if (!report.warnings.empty()) document.sections.push_back(study_warnings_section(report));
    report::add_record_and_cautions(report.record, report.rules(), {}, document);
    if (telling.begins_short()) fold(telling, document);
    return document;
}

}  // namespace earbudget::overview
