#include <algorithm>
#include <functional>
#include <utility>

#include <fmt/format.h>

#include "earbudget/limits/judge.hpp"
#include "report/assess_words.hpp"
#include "report/sentences.hpp"
#include "report/short_lines.hpp"
#include "report/text_style.hpp"

namespace earbudget::report {

namespace {

/// People alike who have no room of their own.
struct InOneLine {
    Verdict verdict;
    std::vector<std::string> ids;
    const CriterionResult* tightest;  ///< null where none is a limit
    std::string when = {};            ///< as Tightest::when
};

std::string study_left_in_words(const InOneLine& one) {
    return one.tightest ? joined({margin_first(*one.tightest), one.when}, ", ") : "";
}

void add_study_line(Verdict verdict, const std::string& rest, Answers& answers) {
    const std::string words = words_of(verdict);
    answers.all.push_back(
        {verdict, first_letter_large(words), fitted(rest, short_columns - words.size() - 2)});
}

void add_study_together(const std::vector<InOneLine>& rest, Verdict verdict, Answers& answers) {
    std::size_t people = 0;
    const InOneLine* nearest = nullptr;
    for (const InOneLine& one : rest) {
        if (one.verdict != verdict) continue;
        people += one.ids.size();
        if (!one.tightest || !one.tightest->margin) continue;
        if (!nearest || is_tighter(*one.tightest, *nearest->tightest)) nearest = &one;
    }
    if (people == 0) return;
    std::string words = fmt::format("{} more", people);
    if (nearest)
        words += fmt::format(", the nearest {}, {}", short_people(nearest->ids, columns_of_people),
                             study_left_in_words(*nearest));
    add_study_line(verdict, words, answers);
}

void add_beyond_a_screen(const std::vector<InOneLine>& rest, Answers& answers) {
    for (const InOneLine& one : rest) {
        if (one.verdict < Verdict::Unknown) continue;
        add_study_line(
            one.verdict,
            joined({short_people(one.ids, columns_of_people), study_left_in_words(one)}, ", "),
            answers);
    }
    add_study_together(rest, Verdict::Close, answers);
    add_study_together(rest, Verdict::Within, answers);
}

std::vector<std::string> lines_of_group(const std::string& tightest, const std::string& hand_out,
                                        const std::string& check, const std::string& first,
                                        const std::string& runs) {
    std::vector<std::string> lines;
    std::vector<std::size_t> by_weight;  // places of what may take more than a line
    const auto add = [&](const std::string& line) {
        if (!line.empty()) lines.push_back(line);
    };
    add(tightest);
    add(hand_out);
    add(check);
    add(first);
    by_weight = {1, 0, lines.size() - 1};
    if (!runs.empty()) {
        lines.push_back(runs);
        by_weight.push_back(lines.size() - 1);
    }
    return fitted_lines(std::move(lines), most_lines_of_group - 1, by_weight, indent_of_lines);
}

using AtVisit = PersonAtVisitInShort;
using OfStudy = PersonOfStudyInShort;

InShort at_one(const AtVisit& visit) {
    return {visit.plan, {visit.planned->person->id}, visit.planned, visit.out};
}

/// "visit 1", "visits 1, 2".
std::string visit_numbers(const std::vector<std::size_t>& numbers) {
    return fmt::format("visit{} {}", numbers.size() == 1 ? "" : "s", fmt::join(numbers, ", "));
}

std::string first_letter_small(std::string words) {
    const bool is_large = !words.empty() && words[0] >= 'A' && words[0] <= 'Z';
    if (is_large) words[0] = static_cast<char>(words[0] - 'A' + 'a');
    return words;
}

using Words = std::function<std::string(const InShort&)>;

/// What is said of visits, and of which.
using SaidOfVisits = std::vector<std::pair<std::string, std::vector<std::size_t>>>;

SaidOfVisits said_of_visits(const std::vector<AtVisit>& visits, const Words& words) {
    SaidOfVisits said;
    for (const AtVisit& visit : visits) {
        std::string here = words(at_one(visit));
        const auto same = std::ranges::find(said, here, &SaidOfVisits::value_type::first);
        if (same == said.end()) {
            said.push_back({std::move(here), {visit.number}});
        } else {
            same->second.push_back(visit.number);
        }
    }
    return said;
}

/// What is said of the visits: alone where it is the same of all, else behind their numbers; what
/// is empty is said of none.
std::string by_visit(const std::vector<AtVisit>& visits, const Words& words) {
    const SaidOfVisits said = said_of_visits(visits, words);
    if (said.size() == 1) return said.front().first;
    std::vector<std::string> parts;
    for (const auto& [here, numbers] : said)
        if (!here.empty())
            parts.push_back(
                fmt::format("{}: {}", visit_numbers(numbers), first_letter_small(here)));
    return first_letter_large(joined(parts, "; "));
}

/// "Foam plug", "Foam plug (visit 1), nothing (visit 2)".
std::string worn_by_visit(const std::vector<AtVisit>& visits) {
    const SaidOfVisits said = said_of_visits(visits, [](const InShort& of) {
        const Person& person = *of.planned->person;
        return worn_in_short(*of.plan, person.wears, false) +
               (person.wears.empty() ? "" : how_worn(person.wearing));
    });
    if (said.size() == 1) return said.front().first;
    return joined(said, ", ", [](const auto& one) {
        return fmt::format("{} ({})", one.first, visit_numbers(one.second));
    });
}

/// Whether each day may be run as it is, and what adds up may not.
bool adds_up_to_too_much(const OfStudy& person) {
    const auto may_start = [](const AtVisit& visit) { return at_one(visit).may_start(); };
    return person.then.value_or(person.verdict) >= Verdict::Unknown &&
           std::ranges::all_of(person.visits, may_start);
}

std::string hand_out_of_study(const OfStudy& person) {
    const std::string words =
        by_visit(person.visits, [](const InShort& of) { return hand_out_line(of, false, false); });
    if (!person.then) return words;
    const std::string verdict = *person.then == Verdict::Within ? "" : words_of(*person.then);
    return words + "; then " +
           joined({verdict, person.then_tightest ? margin_text(*person.then_tightest) : ""}, ", ");
}

std::string first_of_study(const OfStudy& person, bool fit_is_said) {
    if (adds_up_to_too_much(person))
        return "Do not start as planned: each visit alone may be run, what adds up in a week is "
               "too "
               "much; fewer visits, or further apart, lower it";
    return by_visit(person.visits,
                    [&](const InShort& of) { return first_line(of, fit_is_said, 1); });
}

/// All that is said of somebody but for the name.
struct Said {
    Verdict verdict;
    std::string as;  ///< role and what is worn
    std::vector<std::string> lines;
    auto operator<=>(const Said&) const = default;
};

Said said_of(const OfStudy& person) {
    const std::string check = by_visit(person.visits, check_line);
    const bool by_origin =
        person.verdict == Verdict::Close && person.tightest && person.tightest->limited_by_origin;
    const std::string tightest = tightest_line(
        {person.day, person.tightest, person.verdict, by_origin, person.as_bad, person.when});
    const std::string hand_out = hand_out_of_study(person);
    // What is handed out at which visit stands before how many more runs fit.
    const bool is_long = width_of(hand_out) > short_columns - indent_of_lines;
    return {person.verdict,
            fmt::format("{}, wears {}", name_of(person.day->person->role),
                        worn_by_visit(person.visits)),
            lines_of_group(tightest, hand_out, check,
                           first_of_study(person, check.find("both ears") != check.npos),
                           is_long ? "" : by_visit(person.visits, [](const InShort& of) {
                               return runs_line(of, 3);
                           }))};
}

/// People of whom all the same is said.
struct SaidOfPeople {
    Said said;
    const OfStudy* first;
    std::vector<std::string> ids;
};

std::vector<SaidOfPeople> groups_worst_first(const std::vector<OfStudy>& people) {
    std::vector<SaidOfPeople> all;
    for (const OfStudy& person : people) {
        Said said = said_of(person);
        const auto same = std::ranges::find(all, said, &SaidOfPeople::said);
        if (same == all.end()) {
            all.push_back({std::move(said), &person, {person.id}});
        } else {
            same->ids.push_back(person.id);
        }
    }
    std::ranges::stable_sort(all, std::ranges::greater(),
                             [](const SaidOfPeople& one) { return one.said.verdict; });
    return all;
}

}  // namespace

Answers short_answers(const std::vector<PersonOfStudyInShort>& people) {
    Answers answers{.all = {}, .marks = verdict_marks, .loud = true, .loud_unknown = true};
    std::vector<InOneLine> beyond;
    for (const SaidOfPeople& one : groups_worst_first(people)) {
        const std::string verdict = words_of(one.said.verdict);
        if (answers.all.size() == groups_in_full) {
            beyond.push_back({one.said.verdict, one.ids, one.first->tightest, one.first->when});
            continue;
        }
        const std::string who =
            fmt::format("{}, {}", short_people(one.ids, columns_of_people), one.said.as);
        answers.all.push_back({one.said.verdict, first_letter_large(verdict),
                               fitted(who, short_columns - width_of(verdict) - 2), one.said.lines});
    }
    add_beyond_a_screen(beyond, answers);
    return answers;
}

}  // namespace earbudget::report
