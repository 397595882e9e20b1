#include <algorithm>

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "desk/try_cells.hpp"
#include "desk/try_measures.hpp"
#include "desk/try_page.hpp"
#include "earbudget/limits/judge.hpp"
#include "report/assess_parts.hpp"
#include "report/assess_words.hpp"
#include "report/drawings/plot.hpp"
#include "report/sentences.hpp"
#include "report/short_answer.hpp"
#include "report/text_style.hpp"
#include "report/words/words.hpp"

namespace earbudget::desk::trying {

using report::html::element;
using report::html::list_of;
using report::html::section;
using report::html::text;

namespace {

/// So many people, alike ones together, have figures of their own; the whole report has all. Own
/// choice.
constexpr std::size_t most_groups = 6;

/// Own choices, for the size of the page: what its parts take is told from above.
constexpr std::size_t most_bytes_beside_styles = 103'000;
constexpr std::size_t bytes_of_a_row = 1'900;
constexpr std::size_t bytes_of_a_person = 3'000;
constexpr std::size_t bytes_of_all_else = 15'000;
constexpr std::size_t most_bytes_of_a_drawing = 12'000;

/// What figures may take beside the form.
std::size_t room_for_figures(const TrialForm& form) {
    const std::size_t taken = form.rows.size() * bytes_of_a_row +
                              form.people.size() * bytes_of_a_person + bytes_of_all_else;
    return taken < most_bytes_beside_styles ? most_bytes_beside_styles - taken : 0;
}

std::string advice_markup(const PersonResult& person, const Trial& trial) {
    std::string items;
    for (const Advice& advice : person.advice) {
        std::string item =
            text(report::strong(name_of(advice.code)) + ": " + text_of(advice.says, " "));
        if (const auto measure = measure_for(advice, person, trial))
            item +=
                " " + redrawing(measure->label, "apply", measure->changes,
                                fmt::format("Try for {}: {}", person.person->id, measure->label));
        items += element("li", item);
    }
    if (items.empty()) return "";
    return element("h4", "What to do") + element("ul", "plain advice", "\n" + items);
}

/// One person's limits as the report has them, in half the width: what 95 in a hundred do not
/// exceed stands in the whole report, and what a row needs to be understood below the table.
std::string limits_markup(const PersonResult& person) {
    report::Table table = report::limits_table(person);
    const auto left_out = std::ranges::find(table.columns, "not_exceeded", &report::Column::key);
    const auto n = left_out - table.columns.begin();
    table.columns.erase(left_out);
    std::vector<std::string> notes;
    for (report::Row& row : table.rows) {
        row.cells.erase(row.cells.begin() + n);
        std::ranges::move(row.notes, std::back_inserter(notes));
        row.notes.clear();
    }
    return report::as_markup({{std::move(table)}}) + list_of(notes);
}

/// The course of the allowance; of a long day without its numbers, or not at all.
std::string course_markup(const std::string& id, const Plan& plan, const PersonResult& person) {
    const auto markup = [&](bool with_numbers) {
        return report::as_markup({{report::Figure{[&] {
            auto drawings = report::allowance_figure(id + "-course", plan, person);
            for (report::Drawing& drawing : drawings)
                if (!with_numbers) drawing.numbers.clear();
            return drawings;
        }}}});
    };
    for (const bool with_numbers : {true, false}) {
        std::string drawn = markup(with_numbers);
        if (drawn.size() <= most_bytes_of_a_drawing) return drawn;
    }
    return element("p", "The course of so long a day stands in the whole report.");
}

std::string person_markup(const std::string& id, const std::vector<std::string>& ids,
                          const PersonResult& person, const Trial& trial) {
    std::string markup;
    if (ids.size() > 1) markup += element("p", text(report::others_of_group(ids)));
    markup += advice_markup(person, trial);
    markup += limits_markup(person);
    markup += course_markup(id, trial.plan().loaded.plan, person);
    return section(id, 3, text(report::name_of_group(ids)), markup);
}

std::string warnings_markup(const Assessment& assessment) {
    std::vector<std::string> words;
    for (const Warning& warning : said_once(assessment.warnings))
        words.push_back(fmt::format(
            "{} ({})", report::warning_words(warning, assessment.people.size()), warning.code()));
    if (words.empty()) return "";
    return fmt::format(
        "<details id=\"try-warnings\">\n<summary>{} warning{}</summary>\n{}"
        "</details>\n",
        words.size(), words.size() == 1 ? "" : "s", list_of(words));
}

std::string tightest_words(const PersonResult* person) {
    if (!person) return "not in this plan";
    const CriterionResult* tightest = tightest_limit(*person);
    return report::first_letter_large(report::verdict_words(*person)) +
           (tightest ? ": " + report::margin_first(*tightest) : "");
}

}  // namespace

std::string state_markup(const TrialState& state) {
    std::string markup;
    if (!state.is_answered) {
        const std::string why = state.wrong.empty() ? "" : " What is wrong stands at its field.";
        markup += element("p", "wrong", "As it is typed it cannot be computed." + why);
        markup += list_of(state.wrong_elsewhere);
        if (state.is_any_shown)
            markup += element("p",
                              "What stands below is the answer to what could be computed "
                              "last, not to what is typed.");
    }
    std::string verdicts;
    for (const Verdict verdict :
         {Verdict::Over, Verdict::Unknown, Verdict::Close, Verdict::Within}) {
        const std::string ids = state.is_any_shown ? state.ids_with(verdict) : "";
        if (ids.empty()) continue;
        verdicts +=
            fmt::format("<span class=\"{0}\">{1}<span class=\"word\">{2}</span>: {3}</span> ",
                        name_of(verdict), report::html::mark_of(verdict),
                        text(report::first_letter_large(report::words_of(verdict))), text(ids));
    }
    if (!verdicts.empty())
        markup += element("p", state.is_answered ? "verdicts" : "verdicts before", verdicts);
    return part("state", markup, "div", "class=\"state\" role=\"status\"");
}

std::string state_markup(const Trial& trial, const Trial* shown) {
    return state_markup(
        {trial.is_answered(), shown != nullptr, trial.wrong(), trial.wrong_elsewhere(),
         [&](Verdict verdict) { return report::ids_with(shown->assessment(), verdict); }});
}

std::string answer_markup(const Trial& shown) {
    const Assessment& assessment = shown.assessment();
    const std::string metal = report::metal_headline(assessment);
    std::string markup = metal.empty() ? "" : element("p", "wrong", text(metal));
    markup += report::as_markup({{report::short_answers(assessment, shown.outs())}});
    markup += warnings_markup(assessment);
    auto groups = people_together(assessment.people);
    std::ranges::stable_sort(groups, std::ranges::greater(), [&](const PeopleTogether& group) {
        return assessment.people[group.front()].verdict;
    });
    std::string figures;
    std::size_t shown_groups = 0;
    for (; shown_groups < std::min(groups.size(), most_groups); ++shown_groups) {
        const PeopleTogether& group = groups[shown_groups];
        std::string one = person_markup(fmt::format("person-{}", shown_groups + 1),
                                        report::ids_of_group(assessment.people, group),
                                        assessment.people[group.front()], shown);
        if (figures.size() + one.size() > room_for_figures(shown.form())) break;
        figures += one;
    }
    markup += figures;
    if (groups.size() > shown_groups)
        markup += element("p", fmt::format("Figures of {} more stand in the whole report.",
                                           groups.size() - shown_groups));
    return markup;
}

std::string compared_markup(const Trial& shown, const Assessment& other,
                            const report::SourceFile& file, bool is_file) {
    const report::Earlier earlier{compare(other, shown.assessment()), file};
    report::Table table{.name = "Verdicts of both",
                        .columns = {{.key = "id", .title = "person"},
                                    {.key = "before",
                                     .title = is_file ? "as in the file" : "the trial kept",
                                     .number = false},
                                    {.key = "after", .title = "this trial", .number = false}}};
    for (const PersonChange& person : earlier.comparison.people) {
        if (table.rows.size() > most_groups) break;
        table.rows.push_back(
            {{person.id, tightest_words(person.before), tightest_words(person.after)}});
    }
    std::string markup = report::as_markup({{std::move(table)}});
    markup += report::as_markup(report::compare_section(earlier).blocks);
    return markup;
}

}  // namespace earbudget::desk::trying
