#include "desk/try_page.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <memory>

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "earbudget/study/input_error.hpp"
#include "earbudget/study/result.hpp"

namespace earbudget::desk {

namespace trying {

using report::html::element;
using report::html::section;
using report::html::text;

namespace {

constexpr int changed_meanwhile = 409, not_computed = 422;

/// What the file says on its own; null where it cannot be assessed.
std::shared_ptr<const Kept> file_assessed(const TryPage& page) {
    try {
        return page.desk.studies->assessed(page.desk, page.file.listed);
    } catch (const InputError&) {
        return nullptr;
    } catch (const Obstacle&) {
        return nullptr;
    }
}

std::string other_plans(const Opened& desk, const std::string& now) {
    Named options;
    for (const Listed& plan : listed_plans(desk))
        options.emplace_back(plan.name, plan.title.empty()
                                            ? plan.name
                                            : fmt::format("{} ({})", plan.title, plan.name));
    return get_form("/try",
                    choice({.name = "plan", .label = "Plan", .options = options, .value = now}) +
                        button("Open"),
                    "class=\"chooser\"");
}

std::string compared_part(const TryPage& page, const Trial* shown, const std::string& kept) {
    std::string markup;
    if (shown && !kept.empty()) {
        const Trial other(page.desk, page.file, form_packed(kept), Trial::Depth::Verdicts);
        if (other.is_answered())
            markup = compared_markup(*shown, other.assessment(), other.plan().file, false);
        markup += redrawing("Compare with the file instead", "forget", "trial");
        markup += fmt::format("<input type=\"hidden\" form=\"try\" name=\"kept\" value=\"{}\">\n",
                              report::html::escaped(kept));
    } else if (shown) {
        const auto file = file_assessed(page);
        if (shown->text() == page.file.text)
            markup = element("p", "Nothing is changed against the file.");
        else if (file && file->plan)
            markup = compared_markup(*shown, file->plan->assessment, file->plan->file, true);
        else
            markup = element("p", "The file itself cannot be assessed.");
    }
    if (shown) markup += redrawing("Keep this trial, to compare others with", "keep", "trial");
    return part("compared", section("try-compared", 2, "Both versions", markup));
}

std::string answer_part(const Trial& trial, const Trial* shown) {
    std::string markup = element("p", "No answer yet.");
    if (shown)
        markup = answer_markup(*shown) +
                 fmt::format("<input type=\"hidden\" form=\"try\" name=\"good\" value=\"{}\">\n",
                             report::html::escaped(packed(fields_of(shown->form()))));
    const std::string whole = fmt::format(
        "<button form=\"try\" name=\"do\" value=\"report\">Whole report of this trial</button>\n"
        "<button form=\"try\" name=\"do\" value=\"json\">Its figures as JSON</button>\n");
    return part("answer", section("try-answer", 2, trial.is_answered() ? "Answer" : "Answer before",
                                  markup + element("div", "acts", shown ? whole : "")));
}

Reply page_of(const TryPage& page, const Trial& trial, const Trial* shown,
              const std::string& kept) {
    const std::string answers = answer_part(trial, shown) + compared_part(page, shown, kept);
    const std::string state = state_markup(trial, shown);
    if (!page.redrawn) return page_with(page, state, wrong_markup(trial), answers);
    Choices choices;
    if (shown) {
        choices = choices_of(shown->plan().loaded.plan, page.file.tree);
    } else if (const auto file = file_assessed(page); file && file->plan) {
        choices = choices_of(file->plan->loaded.plan, page.file.tree);
    }
    return page_with(page, state, form_markup(page.file, trial, choices), answers);
}

/// With the last answer there was where the form as it is has none.
Reply answered(const TryPage& page, const TrialForm& form, const std::string& good,
               const std::string& kept) {
    const Trial trial(page.desk, page.file, form);
    if (trial.is_answered()) return page_of(page, trial, &trial, kept);
    const Trial before(page.desk, page.file,
                       good.empty() ? form_in_file(page.file.tree, 0, 0) : form_packed(good));
    return page_of(page, trial, before.is_answered() ? &before : nullptr, kept);
}

Reply refused_as_changed(const TryPage& page) {
    const std::string words =
        "Somebody changed the file since this page was opened, and what is typed here fits the "
        "earlier one. Nothing was saved. ";
    const std::string again =
        link("/try?plan=" + serving::in_address(page.file.listed.name), "Open it as it is now");
    return framed(page.asked,
                  {.here = "/try",
                   .title = "The file was changed meanwhile",
                   .main = part("state", element("p", "wrong", text(words)) + element("p", again),
                                "div", "class=\"state\" role=\"status\"")},
                  changed_meanwhile);
}

/// The trial as something else than the page.
std::optional<Reply> in_other_form(const TryPage& page, const Trial& trial) {
    const std::string& what = page.asked.form.get("do");
    if (what != "report" && what != "json") return std::nullopt;
    if (!trial.is_answered()) {
        std::vector<std::string> why = trial.wrong_elsewhere();
        for (const auto& [field, words] : trial.wrong())
            why.push_back(words);
        return refused(page.asked, not_computed, "As it is typed it cannot be computed", why);
    }
    if (what == "report") return Reply::page(trial.page());
    return Reply{200, "application/json", trial.json(), {}};
}

Reply try_changes(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    TryPage page{desk, asked, plan_file(desk, asked.form.get("plan"))};
    if (asked.form.get("sha256") != page.file.sha256) return refused_as_changed(page);
    if (page.file.listed.is_study) return visits_changed(page);
    TrialForm form = form_sent(asked.form);
    const std::string_view pressed = pressed_in(asked.form);
    if (!pressed.empty()) press(pressed, asked.form.get(pressed), form);
    const std::string& what = asked.form.get("do");
    if (what == "save" || what == "save-new" || what == "report" || what == "json") {
        const Trial trial(desk, page.file, form);
        if (auto reply = in_other_form(page, trial)) return *std::move(reply);
        if (auto reply = saved(page, trial.is_answered(), trial.text())) return *std::move(reply);
    }
    std::string kept = asked.form.get("kept");
    if (asked.form.has("keep")) kept = packed(fields_of(form));
    if (asked.form.has("forget")) kept.clear();
    page.redrawn = !asked.by_script || !pressed.empty() || asked.form.has("do");
    return answered(page, form, asked.form.get("good"), kept);
}

/// Which plan, of several; of a study of visits, which visit's.
Reply choose_plan(const Asked& asked, const std::vector<Listed>& plans) {
    std::string items;
    for (const Listed& plan : plans)
        items += element("li", link("/try?plan=" + serving::in_address(plan.name),
                                    plan.title.empty() ? plan.name : plan.title) +
                                   " " + text(plan.name));
    const std::string list = items.empty() ? element("p", "There is no plan in this folder.")
                                           : element("ul", "plain", "\n" + items);
    return framed(asked, {.here = "/try",
                          .title = "Try changes of a plan",
                          .main = section("plans", 2, "Which plan", list)});
}

Reply try_plan(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    std::string name = asked.query.get("plan");
    if (name.empty()) {
        const std::vector<Listed> plans = listed_plans(desk);
        if (plans.size() != 1) return choose_plan(asked, plans);
        name = plans.front().name;
    }
    TryPage page{desk, asked, plan_file(desk, name)};
    if (asked.query.has("saved")) page.said.emplace_back(fmt::format("Saved: {}.", name));
    if (page.file.listed.is_study) return visits_asked(page);
    return answered(page,
                    form_in_file(page.file.tree, number_in(asked.query, "row"),
                                 number_in(asked.query, "person")),
                    "", "");
}

}  // namespace

std::size_t number_in(const serving::Form& form, std::string_view name) {
    const std::string& value = form.get(name);
    std::size_t number = 0;
    std::from_chars(value.data(), value.data() + value.size(), number);
    return number;
}

std::string_view pressed_in(const serving::Form& form) {
    for (const std::string_view name : {"up", "down", "remove", "add", "add-rest", "like", "apply"})
        if (form.has(name)) return name;
    return {};
}

std::optional<Reply> saved(TryPage& page, bool is_answered, const std::string& text) {
    const std::string& what = page.asked.form.get("do");
    if (what != "save" && what != "save-new") return std::nullopt;
    if (!is_answered) {
        page.said.emplace_back("Nothing was saved: as it is typed it cannot be computed.");
        return std::nullopt;
    }
    try {
        std::string name = page.file.listed.name;
        if (what == "save")
            save_into(page.file, text);
        else
            name = save_as(page.file, text, page.asked.form.filled("new-name").value_or(""));
        return Reply::see(fmt::format("/try?plan={}&saved=1", serving::in_address(name)));
    } catch (const InputError& error) {
        page.said.emplace_back(fmt::format("Nothing was saved: {}", error.what()));
    }
    return std::nullopt;
}

Reply page_with(const TryPage& page, const std::string& state, const std::string& form,
                const std::string& answers) {
    const std::string title =
        page.file.listed.title.empty() ? page.file.listed.name : page.file.listed.title;
    Page whole{
        .here = "/try", .title = "Try it: " + title, .main = "", .look = "try", .said = page.said};
    if (!page.redrawn) {
        whole.main = state + answers + form;
        return framed(page.asked, whole);
    }
    // The first button is what the enter key presses.
    const std::string fields = hidden("plan", page.file.listed.name) +
                               hidden("sha256", page.file.sha256) +
                               element("div", "acts", button("Answer", "do", "answer", {}, "main"));
    const std::string beside = element("div", "\n" + post_form(page.asked, "/try", fields + form,
                                                               "id=\"try\" data-answers")) +
                               element("div", "\n" + answers);
    whole.main = other_plans(page.desk, page.file.listed.name) + state +
                 element("div", "beside-answer", beside);
    return framed(page.asked, whole);
}

}  // namespace trying

std::vector<Route> try_routes() {
    return {{"GET", "/try", trying::try_plan}, {"POST", "/try", trying::try_changes}};
}

}  // namespace earbudget::desk
