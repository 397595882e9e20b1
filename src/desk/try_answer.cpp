#include <fmt/format.h>

#include "desk/frame.hpp"
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
/// choice, for the size of the page.
constexpr std::size_t most_groups = 6;

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

std::string person_markup(const std::string& id, const std::vector<std::string>& ids,
                          const PersonResult& person, const Trial& trial) {
    std::string markup;
    if (ids.size() > 1) markup += element("p", text(report::others_of_group(ids)));
    markup += advice_markup(person, trial);
    markup += report::as_markup({{report::limits_table(person)}});
    const Plan& plan = trial.plan().loaded.plan;
    markup += report::as_markup(
        {{report::Figure{[&] { return report::allowance_figure(id + "-course", plan, person); }}}});
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

std::string redrawing(std::string_view label, std::string_view name, std::string_view value,
                      std::string_view spoken, std::string_view look) {
    using report::html::escaped;
    return fmt::format(
        "<button form=\"try\" id=\"{0}-{1}\" name=\"{0}\" value=\"{1}\" data-redraw{2}{3}>{4}"
        "</button>\n",
        escaped(name), escaped(value),
        spoken.empty() ? "" : fmt::format(" aria-label=\"{}\"", escaped(spoken)),
        look.empty() ? "" : fmt::format(" class=\"{}\"", look), text(label));
}

std::string state_markup(const Trial& trial, const Trial* shown) {
    std::string markup;
    if (!trial.is_answered()) {
        const std::string why = trial.wrong().empty() ? "" : " What is wrong stands at its field.";
        markup += element("p", "wrong", "As it is typed it cannot be computed." + why);
        markup += list_of(trial.wrong_elsewhere());
        if (shown)
            markup += element("p",
                              "What stands below is the answer to what could be computed "
                              "last, not to what is typed.");
    }
    if (shown) {
        std::string verdicts;
        for (const Verdict verdict :
             {Verdict::Over, Verdict::Unknown, Verdict::Close, Verdict::Within}) {
            const std::string ids = report::ids_with(shown->assessment(), verdict);
            if (ids.empty()) continue;
            verdicts +=
                fmt::format("<span class=\"{0}\">{1}<span class=\"word\">{2}</span>: {3}</span> ",
                            name_of(verdict), report::html::mark_of(verdict),
                            text(report::first_letter_large(report::words_of(verdict))), text(ids));
        }
        markup += element("p", trial.is_answered() ? "verdicts" : "verdicts stale-part", verdicts);
    }
    return part("state", markup, "div", "class=\"state\" role=\"status\"");
}

std::string answer_markup(const Trial& shown) {
    const Assessment& assessment = shown.assessment();
    std::string markup = report::as_markup({{report::short_answers(assessment, shown.outs())}});
    markup += warnings_markup(assessment);
    const auto groups = people_together(assessment.people);
    for (std::size_t n = 0; n < std::min(groups.size(), most_groups); ++n)
        markup += person_markup(fmt::format("person-{}", n + 1),
                                report::ids_of_group(assessment.people, groups[n]),
                                assessment.people[groups[n].front()], shown);
    if (groups.size() > most_groups)
        markup += element("p", fmt::format("Figures of {} more stand in the whole report.",
                                           groups.size() - most_groups));
    return markup;
}

std::string compared_markup(const Trial& shown, const Assessment& other,
                            const report::SourceFile& file, bool is_file) {
    const report::Earlier earlier{compare(other, shown.assessment()), file};
    report::Table table{.name = "Both versions",
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
