#include <algorithm>
#include <set>

#include <fmt/format.h>

#include "files/study_files.hpp"
#include "files/text_inputs.hpp"
#include "report/words/words.hpp"

namespace earbudget::files {

namespace {

void check_can_wear(TableReader& table, const std::vector<std::string>& wears,
                    const std::vector<std::string>& cannot_wear) {
    for (const std::string& id : wears) {
        if (std::ranges::find(cannot_wear, id) == cannot_wear.end()) continue;
        table.report("wears", fmt::format("names \"{}\", which also stands in cannot_wear; "
                                          "accepted: one or the other",
                                          id));
    }
}

void read_protection(TableReader& table, const Catalogue& catalogue, Person& person) {
    person.wears = read_wears(table, catalogue);
    person.wearing = read_wearing(table);
    person.cannot_wear = read_protector_ids(table, "cannot_wear", catalogue);
    check_can_wear(table, person.wears, person.cannot_wear);
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

void check_task(TableReader& table, const Task& task, const Person& person) {
    if (person.role == Role::Participant && !task.duration) {
        table.refuse("during",
                     "follows the timeline for a participant, who hears the timeline at the ear "
                     "position anyway; accepted: other exposure of the day, with a duration");
    }
    check_can_wear(table, task.wears.value_or(std::vector<std::string>()), person.cannot_wear);
}

void read_day(TableReader& table, const Plan& plan, Person& person) {
    table.put("sessions_per_day", person.sessions_per_day);
    table.put("days_per_week", person.days_per_week);
    table.put("visits", person.visits);
    for (TableReader& task : table.tables("task")) {
        table.attempt([&] {
            person.tasks.push_back(read_task(task, plan));
            check_task(task, person.tasks.back(), person);
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

Person read_person(TableReader& table, const Plan& plan, const Policy& facility,
                   const std::vector<Criterion>& own_criteria) {
    ErrorList& errors = table.errors();
    Person person{.id = "", .policy = facility, .stated_at = table.position()};
    errors.attempt([&] { person.id = require_id(table).value; });
    errors.attempt([&] {
        static_cast<void>(table.require_text("role"));
        person.role = table.choice("role", role_rows).value_or(person.role);
    });
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

std::vector<Person> read_people(TableReader& plan_table, const Plan& plan, const Policy& facility,
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
