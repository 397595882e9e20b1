#include <algorithm>

#include <fmt/format.h>

#include "earbudget/choice/homogeneous_groups.hpp"
#include "earbudget/limits/judge.hpp"
#include "report/assess_words.hpp"
#include "report/sentences.hpp"
#include "report/short_lines.hpp"
#include "report/text_style.hpp"

namespace earbudget::report {

namespace {

/// Who, in which role, wearing what.
std::string who_line(const InShort& of) {
    const std::string people = short_people(of.ids, columns_of_people);
    const std::string role(name_of(of.planned->person->role));
    const std::size_t taken = width_of(words_of(of.planned->verdict)) + width_of(people) +
                              width_of(role) + width_of(": , , wears ");
    return fmt::format("{}, {}, wears {}", people, role, worn_words(of, short_columns - taken));
}

Tightest tightest_in(const PersonResult& person) {
    const CriterionResult* limit = tightest_limit(person);
    const auto as_bad = std::ranges::count_if(person.criteria, [&](const CriterionResult& other) {
        return limit && other.decides && other.verdict == limit->verdict;
    });
    return {.person = &person,
            .limit = limit,
            .verdict = person.verdict,
            .by_origin = person.is_limited_by_origin(),
            .as_bad = static_cast<std::size_t>(as_bad)};
}

Answer answer_in_full(const InShort& of) {
    const std::string check = check_line(of);
    return {of.planned->verdict, first_letter_large(words_of(of.planned->verdict)), who_line(of),
            lines_of_group(tightest_line(tightest_in(*of.planned)), hand_out_line(of), check,
                           first_line(of, check.find("both ears") != check.npos), runs_line(of))};
}

std::vector<InShort> worst_first(const Assessment& assessment, const HandOuts* outs) {
    std::vector<InShort> all;
    for (const PeopleTogether& group : people_together(assessment.people)) {
        all.push_back({assessment.plan, ids_of_group(assessment.people, group),
                       &assessment.people[group.front()],
                       outs ? &outs->each[group.front()] : nullptr});
    }
    std::ranges::stable_sort(all, std::ranges::greater(),
                             [](const InShort& one) { return one.planned->verdict; });
    return all;
}

}  // namespace

Answers short_answers(const Assessment& assessment, const HandOuts* outs) {
    Answers answers{.all = {}, .marks = verdict_marks, .loud = true, .loud_unknown = true};
    const auto all = worst_first(assessment, outs);
    const std::span<const InShort> in_full(all.data(), std::min(all.size(), groups_in_full));
    const std::span<const InShort> rest(all.data() + in_full.size(), all.size() - in_full.size());
    for (const InShort& one : in_full)
        answers.all.push_back(answer_in_full(one));
    std::vector<InOneLine> beyond;
    for (const InShort& one : rest)
        beyond.push_back({one.planned->verdict, one.ids, tightest_limit(*one.planned)});
    add_beyond_a_screen(beyond, answers);
    return answers;
}

}  // namespace earbudget::report
