#include <algorithm>

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "desk/try_order.hpp"
#include "desk/try_page.hpp"
#include "earbudget/exposure/criterion.hpp"
#include "earbudget/protection/derating.hpp"
#include "earbudget/protection/method.hpp"

namespace earbudget::desk::trying {

using report::html::element;
using report::html::escaped;
using report::html::text;

namespace {

Named with_none(std::string_view words, const Named& options) {
    Named all = {{"", std::string(words)}};
    all.insert(all.end(), options.begin(), options.end());
    return all;
}

/// Of fields that are typed.
std::string datalist(std::string_view id, const Named& options) {
    std::string markup;
    for (const auto& [value, words] : options)
        markup += fmt::format("<option value=\"{}\">{}</option>\n", escaped(value), escaped(words));
    return fmt::format("<datalist id=\"{}\">\n{}</datalist>\n", id, markup);
}

/// Options of so many fields; none where they are to be typed.
Named in_fields(std::size_t fields, std::string_view none, const Named& options) {
    if (options.empty() || fields * options.size() > most_options) return {};
    return with_none(none, options);
}

std::string row_markup(const TrialRow& row, std::size_t number, const Cells& fields,
                       const Named& sequences) {
    const bool is_rest = row.sequence.empty();
    const std::string what = fmt::format("{} ({})", number, is_rest ? "a rest" : row.sequence);
    std::string markup = hidden("row", row.key) + index_field(row.key + ".from", row.from) +
                         index_field(row.key + ".rest-from", row.rest_from);
    markup +=
        fields.chosen(row.key + ".sequence", "Sequence", row.sequence, sequences, "sequences");
    markup += fields.typed(row.key + ".duration", is_rest ? "Time" : "Time of a run", row.duration);
    markup += fields.typed(row.key + ".repeat", "Runs", row.repeat, "narrow",
                           "inputmode=\"numeric\" placeholder=\"1\"");
    if (!is_rest || !row.rest.empty())
        markup +=
            fields.typed(row.key + ".rest", "Rest after", row.rest, "", "placeholder=\"none\"");
    std::string buttons = redrawing("Up", "up", row.key, "Row " + what + " up", "small");
    buttons += redrawing("Down", "down", row.key, "Row " + what + " down", "small");
    buttons += redrawing("Remove", "remove", row.key, "Remove row " + what, "small");
    return fieldset(fmt::format("Row {}", number), "line",
                    markup + element("div", "acts", buttons));
}

std::string timeline_markup(const PlanFile& file, const Trial& trial, const Cells& fields,
                            const Choices& choices) {
    const TrialForm& form = trial.form();
    std::string rows = hidden("timeline-first", fmt::format("{}", form.timeline.first));
    const Named sequences = in_fields(form.rows.size(), "nothing, a rest", choices.sequences);
    std::size_t number = 0;
    for (const TrialRow& row : form.rows)
        rows += row_markup(row, ++number, fields, sequences);
    rows += element(
        "div", "acts",
        redrawing("Add a sequence", "add", "row") + redrawing("Add a rest", "add-rest", "row"));
    rows += window_markup("Entries", "row", form.timeline, entries_in(file.tree, "timeline"),
                          most_rows_shown, file.listed.name);
    return report::html::section("try-timeline", 2, "What runs, in order", rows);
}

std::string person_fields(const TrialPerson& person, const Cells& fields, const Choices& choices,
                          std::size_t people) {
    const std::string& key = person.key;
    const std::string who = person.id.empty() ? "this person" : person.id;
    std::string markup = hidden("person", key) + index_field(key + ".from", person.from) +
                         index_field(key + ".like", person.like) +
                         hidden(key + ".role", person.role);
    markup += fields.typed(key + ".id", "Person", person.id, "wider");
    markup += fields.chosen(key + ".wears", "Wears", person.wears[0],
                            in_fields(2 * people, "nothing", choices.protectors), "protectors");
    markup +=
        fields.chosen(key + ".wears-2", "and", person.wears[1],
                      in_fields(2 * people, "nothing else", choices.protectors), "protectors");
    markup += fields.typed(key + ".sessions", "Sessions a day", person.sessions, "narrow",
                           "inputmode=\"numeric\" placeholder=\"1\"");
    markup += fields.typed(key + ".days", "Days a week", person.days, "narrow",
                           "inputmode=\"decimal\" placeholder=\"1\"");
    markup += fields.typed(key + ".worn", "Worn, part of the time", person.worn, "narrow",
                           "inputmode=\"decimal\" placeholder=\"1\"");
    markup +=
        fields.chosen(key + ".fit", "Seated", person.fit,
                      {{"", "as rated"}, {"as-rated", "as rated, stated"}, {"poor", "poorly"}});
    for (const TrialTask& task : person.tasks) {
        const std::string number = fmt::format("{}", task.index);
        markup += hidden(key + ".task", number) + hidden(key + ".title-" + number, task.title);
        markup +=
            fields.typed(key + ".task-" + number,
                         task.title.empty() ? fmt::format("Task {}", task.index + 1) : task.title,
                         task.duration);
    }
    std::string buttons = redrawing("One more", "like", key, "One more like " + who, "small");
    buttons += redrawing("Remove", "remove", key, "Remove " + who, "small");
    return markup + element("div", "acts", buttons);
}

std::string people_markup(const PlanFile& file, const Trial& trial, const Cells& fields,
                          const Choices& choices) {
    const TrialForm& form = trial.form();
    std::string people = hidden("persons-first", fmt::format("{}", form.persons.first));
    for (const TrialPerson& person : form.people)
        people += fieldset(fmt::format("{}, {}", person.id, person.role), "line",
                           person_fields(person, fields, choices, form.people.size()));
    people += window_markup("People", "person", form.persons, entries_in(file.tree, "person"),
                            most_people_shown, file.listed.name);
    return report::html::section("try-people", 2, "Who, and what they wear", people);
}

template <class Rows>
Named named(const Rows& rows) {
    Named all;
    for (const auto& row : rows)
        all.emplace_back(row.name, row.name);
    return all;
}

/// "true", "false" or what counts where neither is stated.
Named flags() { return {{"", "not stated: no"}, {"true", "yes"}, {"false", "no"}}; }

std::string criteria_markup(const TrialPolicy& policy, const Choices& choices,
                            const Cells& fields) {
    std::string boxes;
    std::vector<std::string> all = choices.criteria;
    for (const std::string& id : policy.criteria)
        if (std::ranges::count(all, id) == 0) all.push_back(id);
    for (const std::string& id : all) {
        const bool is_checked = std::ranges::count(policy.criteria, id) > 0;
        boxes += fmt::format(
            "<label class=\"box\"><input type=\"checkbox\" "
            "name=\"policy.criteria\" value=\"{}\"{}> {}</label>\n",
            escaped(id), is_checked ? " checked" : "", text(id));
    }
    return fieldset("Limits; none checked: those of each role", "line boxes",
                    boxes + fields.wrong("policy.criteria"));
}

std::string policy_markup(const Trial& trial, const Cells& fields, const Choices& choices) {
    const TrialPolicy& policy = trial.form().policy;
    Named deratings = with_none("not stated: none", named(named_deratings));
    if (policy.derating == own_derating)
        deratings.emplace_back(own_derating, "decibels, as the file states them");
    Named methods = with_none("not stated: best", named(method_rows));
    methods.emplace_back(name_of_best_method, name_of_best_method);
    std::string markup = fields.chosen("policy.method", "Method", policy.method, methods);
    markup += fields.chosen("policy.derating", "Derating", policy.derating, deratings);
    markup += fields.typed("policy.performance", "Protection performance, %", policy.performance,
                           "narrow", "inputmode=\"decimal\" placeholder=\"84\"");
    markup += fields.typed("policy.accepted", "Accepted probability of being over, %",
                           policy.accepted, "narrow", "inputmode=\"decimal\" placeholder=\"5\"");
    markup += fields.chosen("policy.weekly", "Average over the week", policy.weekly, flags());
    markup += fields.chosen("policy.speech", "Speech must be heard", policy.speech, flags());
    return report::html::section(
        "try-policy", 2, "What the facility has decided",
        fieldset("Method and margins", "line", markup) + criteria_markup(policy, choices, fields));
}

}  // namespace

Choices choices_of(const Plan& plan, const files::TomlTable& file) {
    Choices choices;
    const auto titled = [](const std::string& id, const std::string& title) {
        return title.empty() || title == id ? id : fmt::format("{} – {}", id, title);
    };
    for (const Sequence& sequence : plan.sequences)
        choices.sequences.emplace_back(sequence.id, titled(sequence.id, sequence.title));
    for (const CatalogueEntry& entry : plan.catalogue.protectors)
        choices.protectors.emplace_back(entry.protector.id,
                                        titled(entry.protector.id, entry.protector.title));
    for (const Criterion& criterion : published_criteria())
        choices.criteria.push_back(criterion.id);
    const auto own = std::ranges::find(file.entries, "criterion", &files::TomlEntry::key);
    const auto* tables =
        own == file.entries.end() ? nullptr : std::get_if<files::TomlArray>(&own->value.content);
    for (std::size_t n = 0; tables && n < tables->size(); ++n) {
        const auto* table = std::get_if<files::TomlTable>(&(*tables)[n].content);
        for (std::size_t k = 0; table && k < table->entries.size(); ++k) {
            const auto* id = std::get_if<std::string>(&table->entries[k].value.content);
            if (id && table->entries[k].key == "id") choices.criteria.push_back(*id);
        }
    }
    return choices;
}

std::string form_markup(const PlanFile& file, const Trial& trial, const Choices& choices) {
    const Cells fields(trial.wrong());
    return part("form", timeline_markup(file, trial, fields, choices) +
                            people_markup(file, trial, fields, choices) +
                            policy_markup(trial, fields, choices) + save_markup(file.listed.name) +
                            datalist("sequences", choices.sequences) +
                            datalist("protectors", choices.protectors));
}

std::string wrong_markup(const Trial& trial) {
    std::string markup;
    for (const std::string& name : field_names(trial.form()))
        markup += wrong_in(trial.wrong(), name);
    return markup;
}

}  // namespace earbudget::desk::trying
