#include <algorithm>

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "desk/try_order.hpp"
#include "desk/try_page.hpp"
#include "desk/try_visits.hpp"
#include "report/assess_words.hpp"
#include "report/sentences.hpp"
#include "report/text_style.hpp"

namespace earbudget::desk::trying {

using report::html::element;
using report::html::section;

namespace {

/// Plans of the desk's folder as a study names them, relative to it.
Named plans_for(const TryPage& page) {
    const auto folder = std::filesystem::path(page.file.listed.name).parent_path();
    Named plans;
    for (const Listed& plan : listed_plans(page.desk)) {
        if (plan.is_study) continue;
        const std::string name =
            std::filesystem::path(plan.name).lexically_relative(folder).generic_string();
        plans.emplace_back(
            name.empty() ? plan.name : name,
            plan.title.empty() ? plan.name : fmt::format("{} ({})", plan.title, plan.name));
    }
    return plans;
}

std::string visit_markup(const VisitRow& row, std::size_t number, const Cells& fields,
                         const Named& plans) {
    std::string markup = hidden("visit", row.key) + index_field(row.key + ".from", row.from);
    markup += fields.chosen(row.key + ".plan", "Plan of the day", row.plan, plans, "plans");
    markup +=
        fields.typed(row.key + ".title", "Title", row.title, "wider", "placeholder=\"the plan's\"");
    markup += fields.typed(row.key + ".times", "Times", row.times, "narrow",
                           "inputmode=\"numeric\" placeholder=\"1\"");
    markup += fields.typed(row.key + ".apart", "Days apart, at least", row.apart, "narrow",
                           "inputmode=\"numeric\" placeholder=\"1\"");
    const std::string what = fmt::format("visit {}", number);
    const std::string buttons =
        redrawing("Up", "up", row.key, "Up: " + what, "small") +
        redrawing("Down", "down", row.key, "Down: " + what, "small") +
        redrawing("One more", "like", row.key, "One more like " + what, "small") +
        redrawing("Remove", "remove", row.key, "Remove " + what, "small");
    return fieldset(fmt::format("Visit {}", number), "line",
                    markup + element("div", "acts", buttons));
}

std::string visits_markup(const TryPage& page, const VisitsTrial& trial) {
    const Cells fields(trial.wrong());
    const Named plans = plans_for(page);
    const Shown& shown = trial.form().shown;
    std::string rows = hidden("visits-first", fmt::format("{}", shown.first));
    std::size_t number = shown.first;
    for (const VisitRow& row : trial.form().rows)
        rows += visit_markup(row, ++number, fields, plans);
    rows += window_markup("Visits", "visit", shown, entries_in(page.file.tree, "visit"),
                          most_rows_shown, page.file.listed.name);
    return part("form", section("try-visits", 2, "The visits, in order", rows) +
                            save_markup(page.file.listed.name));
}

/// What is wrong in each field alone.
std::string wrong_visits(const VisitsTrial& trial) {
    std::string markup;
    for (const VisitRow& row : trial.form().rows)
        for (const std::string_view name : {"plan", "title", "times", "apart"})
            markup += wrong_in(trial.wrong(), fmt::format("{}.{}", row.key, name));
    return markup;
}

std::string ids_of_study(const StudyAssessment& study, Verdict verdict) {
    std::vector<std::string> ids;
    for (const PersonOfStudy& person : study.people)
        if (person.verdict == verdict) ids.push_back(person.id);
    return ids.empty() ? "" : report::names_of_people(ids);
}

std::string tightest_of_study(const PersonOfStudy* person) {
    if (!person) return "not in this study";
    const CriterionResult* tightest = person->tightest();
    return report::first_letter_large(report::words_of(person->verdict)) +
           (tightest ? ": " + report::margin_first(*tightest) : "");
}

const PersonOfStudy* person_in(const StudyAssessment& study, const std::string& id) {
    const auto one = std::ranges::find(study.people, id, &PersonOfStudy::id);
    return one == study.people.end() ? nullptr : &*one;
}

/// Both verdicts of everyone, where something was changed.
std::string compared_visits(const TryPage& page, const VisitsTrial* shown) {
    std::string markup = element("p", "Nothing is changed against the file.");
    if (shown && shown->text() != page.file.text) {
        const VisitsTrial before(page.desk, page.file, visits_in_file(page.file.tree, 0));
        const StudyAssessment* file = before.is_answered() ? &before.study().assessment : nullptr;
        report::Table table{
            .name = "Verdicts of both",
            .columns = {{.key = "id", .title = "person"},
                        {.key = "before", .title = "as in the file", .number = false},
                        {.key = "after", .title = "this trial", .number = false}}};
        constexpr std::size_t most = 40;
        for (const PersonOfStudy& person : shown->study().assessment.people) {
            if (table.rows.size() == most) break;
            table.rows.push_back(
                {{person.id,
                  file ? tightest_of_study(person_in(*file, person.id)) : "cannot be assessed",
                  tightest_of_study(&person)}});
        }
        markup = report::as_markup({{std::move(table)}});
    }
    return part("compared", section("try-compared", 2, "Both versions", markup));
}

std::string visits_answer(const VisitsTrial& trial, const VisitsTrial* shown) {
    std::string markup = element("p", "No answer yet.");
    if (shown) {
        markup = report::as_markup(shown->document().sections.front().blocks);
        markup += fmt::format("<input type=\"hidden\" form=\"try\" name=\"good\" value=\"{}\">\n",
                              report::html::escaped(packed(fields_of(shown->form()))));
        markup +=
            "<div class=\"acts\">\n<button form=\"try\" name=\"do\" value=\"report\">Whole "
            "report of this trial</button>\n<button form=\"try\" name=\"do\" "
            "value=\"json\">Its figures as JSON</button>\n</div>\n";
    }
    return part("answer",
                section("try-answer", 2, trial.is_answered() ? "Answer" : "Answer before", markup));
}

Reply visits_page(const TryPage& page, const VisitsForm& form, const std::string& good) {
    const VisitsTrial trial(page.desk, page.file, form);
    std::optional<VisitsTrial> before;
    if (!trial.is_answered())
        before.emplace(page.desk, page.file,
                       good.empty() ? visits_in_file(page.file.tree, 0)
                                    : visits_sent(serving::Form::of_text(good)));
    const VisitsTrial* shown = trial.is_answered()               ? &trial
                               : before && before->is_answered() ? &*before
                                                                 : nullptr;
    const std::string state = state_markup(
        {trial.is_answered(), shown != nullptr, trial.wrong(), trial.wrong_elsewhere(),
         [&](Verdict verdict) { return ids_of_study(shown->study().assessment, verdict); }});
    return page_with(page, state, page.redrawn ? visits_markup(page, trial) : wrong_visits(trial),
                     visits_answer(trial, shown) + compared_visits(page, shown));
}

}  // namespace

Reply visits_asked(TryPage& page) {
    return visits_page(page, visits_in_file(page.file.tree, number_in(page.asked.query, "visit")),
                       "");
}

Reply visits_changed(TryPage& page) {
    const serving::Form& sent = page.asked.form;
    VisitsForm form = visits_sent(sent);
    const std::string_view pressed = pressed_in(sent);
    if (!pressed.empty()) press(pressed, sent.get(pressed), form);
    const std::string& what = sent.get("do");
    if (what == "save" || what == "save-new" || what == "report" || what == "json") {
        const VisitsTrial trial(page.desk, page.file, form);
        if (trial.is_answered() && what == "report")
            return Reply::page(report::as_page(trial.document()));
        if (trial.is_answered() && what == "json")
            return {200, "application/json", trial.json(), {}};
        if (auto reply = saved(page, trial.is_answered(), trial.text())) return *std::move(reply);
    }
    page.redrawn = !page.asked.by_script || !pressed.empty() || sent.has("do");
    return visits_page(page, form, sent.get("good"));
}

}  // namespace earbudget::desk::trying
