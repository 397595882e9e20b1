#include <algorithm>
#include <set>

#include <fmt/format.h>

#include "files/study_files.hpp"
#include "files/text_inputs.hpp"
#include "report/words/words.hpp"

namespace earbudget::files {

namespace {

void check_can_wear(TableReader& table, std::string_view key, const std::vector<std::string>& wears,
                    const std::vector<std::string>& cannot_wear) {
    for (const std::string& id : wears) {
        if (std::ranges::find(cannot_wear, id) == cannot_wear.end()) continue;
        table.report(key, fmt::format("names \"{}\", which also stands in cannot_wear; "
                                      "accepted: one or the other",
                                      id));
    }
}

void check_is_own(TableReader& table, std::string_view key, const std::vector<std::string>& ids,
                  const Catalogue& catalogue, const Person& person) {
    for (const std::string& id : ids) {
        const std::string& owner = catalogue.find(id)->owner;
        if (owner.empty() || owner == person.id) continue;
        table.report(key, fmt::format("names \"{}\", a protector of \"{}\" alone; accepted: ids of "
                                      "the catalogue, and this person's own",
                                      id, owner));
    }
}

/// What is handed out where the first does not seat.
void read_instead(TableReader& table, const Catalogue& catalogue, Person& person) {
    person.instead = read_wears(table, catalogue, "instead");
    if (person.instead.empty()) return;
    check_is_own(table, "instead", person.instead, catalogue, person);
    check_can_wear(table, "instead", person.instead, person.cannot_wear);
    table.attempt([&] {
        if (person.wears.empty()) {
            table.refuse("instead",
                         "is stated for a person who wears nothing; accepted: with "
                         "\"wears\"");
        }
        if (are_same_set(person.instead, person.wears)) {
            table.refuse("instead",
                         "is what \"wears\" says; accepted: something else, for whom "
                         "that does not seat");
        }
    });
}

void read_protection(TableReader& table, Catalogue& catalogue, Person& person) {
    person.own_protectors = read_own_protectors(table, person.id, catalogue);
    person.wears = read_wears(table, catalogue);
    person.wearing = read_wearing(table);
    person.cannot_wear = read_protector_ids(table, "cannot_wear", catalogue);
    check_is_own(table, "wears", person.wears, catalogue, person);
    check_can_wear(table, "wears", person.wears, person.cannot_wear);
    read_instead(table, catalogue, person);
}

/// Who it is, as far as ears, protectors and limits go by it.
void read_who(TableReader& table, Person& person) {
    table.put("title", person.title);
    table.put("note", person.note);
    person.age_group = table.choice("age_group", age_groups);
    table.put("pregnant_staff", person.pregnant_staff);
    table.put("tinnitus_or_hyperacusis", person.tinnitus_or_hyperacusis);
    table.put("hearing_device", person.hearing_device);
    person.unfitted_ear = table.choice("unfitted_ear", ears);
}

void read_fit_test(TableReader& table, Person& person) {
    if (const auto PAR = table.number("PAR")) {
        if (person.wears.empty()) {
            table.refuse("PAR",
                         "is stated for a person who wears nothing; accepted: with \"wears\"");
        }
        person.PAR = LevelDifference(PAR->value);
    }
    if (const auto uncertainty = table.number("PAR_uncertainty")) {
        if (!person.PAR) {
            table.refuse("PAR_uncertainty", "stands without a PAR; accepted: with \"PAR\"");
        }
        person.PAR_uncertainty = LevelDifference(uncertainty->value);
    }
}

// What is not known of how the person wears it.
void read_spread(TableReader& table, Person& person) {
    if (const auto fit = table.number("fit_uncertainty")) {
        if (person.PAR_uncertainty) {
            table.refuse("fit_uncertainty",
                         "stands beside a PAR_uncertainty, which already says how far insertions "
                         "differ; accepted: one or the other");
        }
        person.fit_uncertainty = LevelDifference(fit->value);
    }
    table.put("worn_uncertainty", person.worn_uncertainty);
}

// What the person agrees to wear and what fits: to choose by, no reason to refuse a plan.
void read_comfort(TableReader& table, Person& person) {
    person.only = table.choice("only", wears_only).value_or(WearsOnly::Anything);
    person.canal = table.choice("canal", canal_sizes);
}

void check_task(TableReader& table, const Task& task, const Catalogue& catalogue,
                const Person& person) {
    if (person.role == Role::Participant && !task.duration) {
        table.refuse("during",
                     "follows the timeline for a participant, who hears the timeline at the ear "
                     "position anyway; accepted: other exposure of the day, with a duration");
    }
    const auto wears = task.wears.value_or(std::vector<std::string>());
    check_is_own(table, "wears", wears, catalogue, person);
    check_can_wear(table, "wears", wears, person.cannot_wear);
}

void read_day(TableReader& table, const Plan& plan, Person& person) {
    table.put("sessions_per_day", person.sessions_per_day);
    table.put("days_per_week", person.days_per_week);
    table.put("visits", person.visits);
    for (TableReader& task : table.tables("task")) {
        table.attempt([&] {
            person.tasks.push_back(read_task(task, plan));
            check_task(task, person.tasks.back(), plan.catalogue, person);
        });
    }
    if (person.role != Role::Participant && person.tasks.empty()) {
        throw InputError(table.position(),
                         fmt::format("\"{}\" is {} without a task and would hear nothing; "
                                     "accepted: at least one [[person.task]]",
                                     person.id, name_of(person.role)));
    }
}

/// Whoever wears what: a policy that nobody can follow is a mistake.
void check_combination(const Policy& policy) {
    const auto& rules = policy.rules;
    if (!rules.method) return;
    if (const auto undefined = undefined_combination(rules.derating.kind, *rules.method)) {
        throw InputError(policy.stated_at, text_of(undefined->says));
    }
}

Person read_person(TableReader& table, Plan& plan, const Policy& facility,
                   const std::vector<Criterion>& own_criteria) {
    ErrorList& errors = table.errors();
    Person person{.id = "", .policy = facility, .stated_at = table.position()};
    errors.attempt([&] { person.id = require_id(table).value; });
    errors.attempt([&] {
        static_cast<void>(table.require_text("role"));
        person.role = table.choice("role", role_rows).value_or(person.role);
    });
    read_who(table, person);
    read_protection(table, plan.catalogue, person);
    table.attempt([&] { read_fit_test(table, person); });
    table.attempt([&] { read_spread(table, person); });
    read_comfort(table, person);
    table.attempt([&] { read_day(table, plan, person); });
    read_policy_keys(table, own_criteria, person.policy);
    settle_criteria(person);
    if (person.policy.stated_at.file.empty()) person.policy.stated_at = table.position();
    table.attempt([&] { check_combination(person.policy); });
    return person;
}

}  // namespace

std::vector<Person> read_people(TableReader& plan_table, Plan& plan, const Policy& facility,
                                const std::vector<Criterion>& own_criteria) {
    std::vector<Person> people;
    std::vector<TableReader> tables = plan_table.tables("person");
    std::set<std::string> ids;
    for (TableReader& table : tables) {
        people.push_back(read_person(table, plan, facility, own_criteria));
        const std::string& id = people.back().id;
        if (!id.empty() && !ids.insert(id).second)
            table.report("id", fmt::format("\"{}\" stands twice; accepted: each id once", id));
    }
    if (people.empty() && !plan_table.is_misspelt("person")) {
        throw InputError(plan_table.position(),
                         "the plan has no [[person]]; accepted: at least one");
    }
    return people;
}

}  // namespace earbudget::files
