#include "files/person_reader.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "files/canal_size.hpp"
#include "files/criterion_reader.hpp"
#include "files/policy_reader.hpp"
#include "files/sequence_card.hpp"
#include "files/unknown_id.hpp"

namespace earbudget::files {

namespace {

constexpr NumberRange fraction_range{0.0, 1.0, ""};
constexpr NumberRange PAR_range{0.0, 80.0, "dB"};
constexpr NumberRange PAR_uncertainty_range{0.0, 20.0, "dB"};
constexpr NumberRange days_range{0.0, 7.0, "days"};
constexpr unsigned most_sessions_a_day = 100;

const std::vector<std::string> task_keys = {"position", "during", "duration"};

// A person may override any key of the policy.
std::vector<std::string> person_keys() {
    std::vector<std::string> keys = {"id",
                                     "role",
                                     "wears",
                                     "worn",
                                     "fit",
                                     "PAR",
                                     "PAR_uncertainty",
                                     "only",
                                     "canal",
                                     "cannot_wear",
                                     "sessions_per_day",
                                     "days_per_week",
                                     "task"};
    keys.insert(keys.end(), policy_keys.begin(), policy_keys.end());
    return keys;
}

void check_protector(const Located<std::string>& id, const Catalogue& catalogue) {
    if (catalogue.find(id.value)) return;
    throw unknown_id("protector", id, catalogue.ids(), "the catalogue is empty");
}

std::vector<std::string> read_protector_ids(TableReader& table, std::string_view key,
                                            const Catalogue& catalogue) {
    const auto stated = table.texts(key);
    std::vector<std::string> ids;
    if (!stated) return ids;
    for (const auto& id : stated->value) {
        check_protector(id, catalogue);
        ids.push_back(id.value);
    }
    return ids;
}

void read_wearing(TableReader& table, const Catalogue& catalogue, Person& person) {
    person.wears = read_protector_ids(table, "wears", catalogue);
    person.cannot_wear = read_protector_ids(table, "cannot_wear", catalogue);
    if (const auto obstacle = cannot_be_worn_together(catalogue, person.wears)) {
        table.refuse("wears", "names " + *obstacle);
    }
    for (const std::string& id : person.cannot_wear) {
        if (std::find(person.wears.begin(), person.wears.end(), id) == person.wears.end()) continue;
        table.refuse("wears", fmt::format("names \"{}\", which also stands in cannot_wear; "
                                          "accepted: one or the other",
                                          id));
    }
    if (const auto worn = table.number("worn", fraction_range)) {
        person.wearing.fraction_of_time = worn->value;
    }
    if (const auto fit = table.text("fit", "\"as-rated\" or \"poor\"")) {
        if (fit->value != "as-rated" && fit->value != "poor") {
            table.refuse("fit",
                         fmt::format("is \"{}\"; accepted: \"as-rated\" or \"poor\"", fit->value));
        }
        person.wearing.poor_fit = fit->value == "poor";
    }
    if (const auto PAR = table.number("PAR", PAR_range)) {
        if (person.wears.empty()) {
            table.refuse("PAR",
                         "is stated for a person who wears nothing; accepted: with \"wears\"");
        }
        person.PAR = LevelDifference(PAR->value);
    }
    if (const auto uncertainty = table.number("PAR_uncertainty", PAR_uncertainty_range)) {
        if (!person.PAR) {
            table.refuse("PAR_uncertainty", "stands without a PAR; accepted: with \"PAR\"");
        }
        person.PAR_uncertainty = LevelDifference(uncertainty->value);
    }
}

// What the person agrees to wear and what fits: to choose by, no reason to refuse a plan.
void read_comfort(TableReader& table, Person& person) {
    if (const auto only = table.text("only", "\"plugs\" or \"earmuffs\"")) {
        if (only->value != "plugs" && only->value != "earmuffs") {
            table.refuse(
                "only", fmt::format("is \"{}\"; accepted: \"plugs\" or \"earmuffs\"", only->value));
        }
        person.only = only->value == "plugs" ? WearsOnly::Plugs : WearsOnly::Earmuffs;
    }
    if (const auto canal = table.text("canal", accepted_canal_sizes)) {
        person.canal = canal_size_named({canal->value, canal->position});
    }
}

std::size_t position_named(const Located<std::string>& id, const Plan& plan) {
    std::vector<std::string> ids;
    for (std::size_t i = 0; i < plan.positions.size(); ++i) {
        if (plan.positions[i].id == id.value) return i;
        ids.push_back(plan.positions[i].id);
    }
    throw unknown_id("position", id, ids, "the plan has no [[position]]");
}

Task read_task(TableReader& table, const Plan& plan) {
    Task task;
    const auto position = table.require_text("position");
    task.position = position_named({position.value, position.position}, plan);
    const auto during = table.text("during");
    const auto duration = table.duration("duration");
    if (during.has_value() == duration.has_value()) {
        throw InputError(table.position(),
                         "[[person.task]] needs one of \"during\" and \"duration\"; accepted: "
                         "during = \"timeline\" or duration = \"10 min\"");
    }
    if (during && during->value != "timeline") {
        table.refuse("during", fmt::format("is \"{}\"; accepted: \"timeline\"", during->value));
    }
    if (duration) task.background = duration->value;
    return task;
}

void read_day(TableReader& table, const Plan& plan, Person& person) {
    if (const auto sessions = table.count("sessions_per_day", 1, most_sessions_a_day)) {
        person.sessions_per_day = sessions->value;
    }
    if (const auto days = table.number("days_per_week", days_range)) {
        person.days_per_week = days->value;
    }
    for (TableReader& task : table.tables("task", "[[person.task]]", task_keys)) {
        if (person.role == Role::Participant) {
            throw InputError(task.position(),
                             "[[person.task]] belongs to a participant, who hears the timeline; "
                             "accepted: tasks of role \"staff\" or \"accompanying\"");
        }
        person.tasks.push_back(read_task(task, plan));
    }
    if (person.role != Role::Participant && person.tasks.empty()) {
        throw InputError(table.position(),
                         fmt::format("\"{}\" is {} without a task and would hear nothing; "
                                     "accepted: at least one [[person.task]]",
                                     person.id, name_of(person.role)));
    }
}

Person read_person(TableReader& table, const Plan& plan, const Policy& facility,
                   const std::vector<Criterion>& own_criteria) {
    Person person{.id = require_id(table).value,
                  .role = role_named(table.require_text("role", accepted_roles)),
                  .policy = facility,
                  .stated_at = table.position()};
    read_wearing(table, plan.catalogue, person);
    read_comfort(table, person);
    read_day(table, plan, person);
    read_policy_keys(table, own_criteria, person.policy);
    settle_criteria(person);
    if (person.policy.stated_at.file.empty()) person.policy.stated_at = table.position();
    return person;
}

}  // namespace

std::vector<Person> read_people(TableReader& plan_table, const Plan& plan, const Policy& facility,
                                const std::vector<Criterion>& own_criteria) {
    std::vector<Person> people;
    for (TableReader& table : plan_table.tables("person", "[[person]]", person_keys())) {
        Person person = read_person(table, plan, facility, own_criteria);
        const bool taken = std::any_of(people.begin(), people.end(),
                                       [&](const Person& other) { return other.id == person.id; });
        if (taken) {
            table.refuse("id",
                         fmt::format("\"{}\" stands twice; accepted: each id once", person.id));
        }
        people.push_back(std::move(person));
    }
    if (people.empty()) {
        throw InputError(plan_table.position(),
                         "the plan has no [[person]]; accepted: at least one");
    }
    return people;
}

}  // namespace earbudget::files
