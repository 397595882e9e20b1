#include "desk/session_begin_form.hpp"

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "desk/session_look.hpp"
#include "desk/studies.hpp"
#include "records/register_file.hpp"
#include "records/session_state.hpp"
#include "report/sheet_parts.hpp"

namespace earbudget::desk::at_session {

using report::html::element;
using report::html::escaped;
using report::html::section;

std::string open_list(const registers::Register& from) {
    const sessions::Calendar calendar = records::calendar_of(from);
    std::string items;
    for (const records::SessionState& state : records::open_sessions(from)) {
        items += element("li", link(fmt::format("/session/{}", state.number()),
                                    fmt::format("Session {}: {} as {}, since {}", state.number(),
                                                state.session.as, state.session.start.person,
                                                day_and_time(calendar, state.session.begins)),
                                    "act"));
    }
    return section("open", 2, "Go on with one that is open",
                   items.empty() ? element("p", "No session is open.")
                                 : element("ul", "plain open", "\n" + items));
}

std::string plan_form(const Opened& desk, const std::string& chosen) {
    std::vector<std::pair<std::string, std::string>> options;
    for (const Listed& plan : listed_plans(desk)) {
        if (plan.is_study || !plan.wrong.empty()) continue;
        options.emplace_back(
            plan.name,
            plan.title.empty() ? plan.name : report::on_sheet(plan.title) + " (" + plan.name + ")");
    }
    if (options.empty()) return element("p", "There is no plan in this folder that can be read.");
    return get_form(
        "/session",
        choice({.name = "plan", .label = "Plan", .options = std::move(options), .value = chosen}) +
            button("Take this plan", {}, {}, {}, chosen.empty() ? "main" : ""));
}

std::string known_codes(const registers::Register& from) {
    constexpr std::size_t most = 500;  // own choice: a page stays small
    std::string options;
    std::size_t count = 0;
    for (const std::string& code : from.codes())
        if (++count <= most)
            options += fmt::format("<option value=\"{}\"></option>", escaped(code));
    return "<datalist id=\"codes\">" + options + "</datalist>\n";
}

std::string person_choice(const Plan& plan, const std::string& chosen) {
    std::vector<std::pair<std::string, std::string>> options;
    for (const bool participants : {true, false}) {
        for (const Person& person : plan.people) {
            if ((person.role == Role::Participant) != participants) continue;
            options.emplace_back(person.id, fmt::format("{}, {}", person.id, name_of(person.role)));
        }
    }
    return choice({.name = "person",
                   .label = "Who it is in the plan",
                   .options = std::move(options),
                   .value = chosen});
}

std::string present_fields(const Plan& plan, const Form& form) {
    std::string fields;
    for (const Person& person : plan.people) {
        if (person.role == Role::Participant) continue;
        const std::string name = "present-" + person.id;
        fields += field({.name = name,
                         .label = fmt::format("{}, {}: code", person.id, name_of(person.role)),
                         .value = form.get(name),
                         .attributes = "list=\"codes\" maxlength=\"64\" autocomplete=\"off\""});
    }
    if (fields.empty()) return "";
    return "<details id=\"present\" open><summary>Who else is there; left empty: nobody"
           "</summary>\n" +
           fields + "</details>\n";
}

}  // namespace earbudget::desk::at_session
