#include "desk/try_form.hpp"

#include <algorithm>
#include <charconv>

#include <fmt/format.h>

#include "desk/try_rows.hpp"
#include "earbudget/study/input_error.hpp"

namespace earbudget::desk::trying {

using files::TomlArray;
using files::TomlTable;
using files::TomlValue;

namespace {

bool is_plain_rest(const TomlTable& entry) {
    return value_in(entry, "rest") && !value_in(entry, "sequence") &&
           !value_in(entry, "reinsert") && !value_in(entry, "repeat");
}

/// From an entry on to before the last that is shown; a rest is not parted from its run.
std::vector<TrialRow> rows_from(const std::vector<const TomlTable*>& entries, Shown& shown) {
    std::vector<TrialRow> rows;
    std::size_t n = shown.first;
    for (; n < entries.size() && rows.size() < most_rows_shown; ++n) {
        const TomlTable& entry = *entries[n];
        TrialRow row{.key = fmt::format("r{}", n), .from = n};
        row.sequence = typed(entry, "sequence");
        row.duration = typed(entry, row.sequence.empty() ? "rest" : "duration");
        row.repeat = typed(entry, "repeat");
        if (!row.sequence.empty() && n + 1 < entries.size() && is_plain_rest(*entries[n + 1])) {
            row.rest_from = ++n;
            row.rest = typed(*entries[n], "rest");
        }
        rows.push_back(std::move(row));
    }
    shown.count = n - shown.first;
    return rows;
}

TrialPerson person_from(const TomlTable& entry, std::size_t n) {
    TrialPerson person{.key = fmt::format("p{}", n), .from = n};
    person.id = typed(entry, "id");
    person.role = typed(entry, "role");
    const auto wears = texts_in(entry, "wears");
    for (std::size_t k = 0; k < std::min(wears.size(), person.wears.size()); ++k)
        person.wears[k] = wears[k];
    person.sessions = typed(entry, "sessions_per_day");
    person.days = typed(entry, "days_per_week");
    person.worn = typed(entry, "worn");
    person.fit = typed(entry, "fit");
    const auto tasks = tables_in(entry, "task");
    for (std::size_t k = 0; k < tasks.size(); ++k) {
        const std::string duration = typed(*tasks[k], "duration");
        if (!duration.empty()) person.tasks.push_back({k, typed(*tasks[k], "title"), duration});
    }
    return person;
}

TrialPolicy policy_from(const TomlTable& plan) {
    const TomlValue* value = value_in(plan, "policy");
    const auto* table = value ? std::get_if<TomlTable>(&value->content) : nullptr;
    if (!table) return {};
    const TomlValue* derating = value_in(*table, "derating");
    const bool is_own = derating && std::holds_alternative<TomlTable>(derating->content);
    return {typed(*table, "method"),
            is_own ? std::string(own_derating) : typed(derating),
            typed(*table, "protection_performance"),
            typed(*table, "accepted_probability"),
            typed(*table, "weekly_average"),
            typed(*table, "speech_must_be_heard"),
            texts_in(*table, "criteria")};
}

/// Gives `visit` the name of each field and where its value stands.
template <class Row, class Visit>
void for_each_row_field(Row& row, Visit&& visit) {
    visit("sequence", row.sequence);
    visit("duration", row.duration);
    visit("repeat", row.repeat);
    visit("rest", row.rest);
}

template <class Person, class Visit>
void for_each_person_field(Person& person, Visit&& visit) {
    visit("id", person.id);
    visit("role", person.role);
    visit("wears", person.wears[0]);
    visit("wears-2", person.wears[1]);
    visit("sessions", person.sessions);
    visit("days", person.days);
    visit("worn", person.worn);
    visit("fit", person.fit);
    for (auto& task : person.tasks)
        visit(fmt::format("task-{}", task.index), task.duration);
}

template <class Policy, class Visit>
void for_each_policy_field(Policy& policy, Visit&& visit) {
    visit("method", policy.method);
    visit("derating", policy.derating);
    visit("performance", policy.performance);
    visit("accepted", policy.accepted);
    visit("weekly", policy.weekly);
    visit("speech", policy.speech);
}

/// Where every field of a form stands, by its name.
template <class Form, class Visit>
void for_each_field(Form& form, Visit&& visit) {
    for (auto& row : form.rows)
        for_each_row_field(row, [&](std::string_view name, auto& value) {
            visit(fmt::format("{}.{}", row.key, name), value);
        });
    for (auto& person : form.people)
        for_each_person_field(person, [&](std::string_view name, auto& value) {
            visit(fmt::format("{}.{}", person.key, name), value);
        });
    for_each_policy_field(form.policy, [&](std::string_view name, auto& value) {
        visit(fmt::format("policy.{}", name), value);
    });
}

/// A run of the last sequence, for a minute.
void add_row(std::vector<TrialRow>& rows) {
    TrialRow row{.key = new_key(rows, "r"), .duration = "1 min"};
    for (const TrialRow& other : rows)
        if (!other.sequence.empty()) row.sequence = other.sequence;
    rows.push_back(std::move(row));
}

void add_person_like(const std::string& key, TrialForm& form) {
    const auto one = with_key(form.people, key);
    TrialPerson person{.key = new_key(form.people, "p"), .role = "participant"};
    if (one != form.people.end()) {
        TrialPerson same = *one;
        same.key = person.key;
        same.like = one->from ? one->from : one->like;
        same.from = std::nullopt;
        person = std::move(same);
    }
    const auto is_taken = [&](const std::string& id) {
        return std::ranges::any_of(form.people, [&](const auto& each) { return each.id == id; });
    };
    const std::string begin = person.id.empty() ? "new" : person.id;
    for (unsigned n = 1; person.id.empty() || is_taken(person.id); ++n)
        person.id = fmt::format("{}-{}", begin, n + 1);
    const auto at = one == form.people.end() ? one : one + 1;
    form.people.insert(at, std::move(person));
}

}  // namespace

const TomlValue* value_in(const TomlTable& table, std::string_view key) {
    const auto entry = std::ranges::find(table.entries, key, &files::TomlEntry::key);
    return entry == table.entries.end() ? nullptr : &entry->value;
}

/// A value as somebody would type it; empty for what has several.
std::string typed(const TomlValue* value) {
    if (!value) return "";
    if (const auto* text = std::get_if<std::string>(&value->content)) return *text;
    if (const auto* flag = std::get_if<bool>(&value->content)) return *flag ? "true" : "false";
    if (const auto* count = std::get_if<std::int64_t>(&value->content))
        return fmt::format("{}", *count);
    if (const auto* number = std::get_if<double>(&value->content))
        return fmt::format("{}", *number);
    return "";
}

std::string typed(const TomlTable& table, std::string_view key) {
    return typed(value_in(table, key));
}

std::vector<std::string> texts_in(const TomlTable& table, std::string_view key) {
    std::vector<std::string> texts;
    const TomlValue* value = value_in(table, key);
    const auto* array = value ? std::get_if<TomlArray>(&value->content) : nullptr;
    for (std::size_t n = 0; array && n < array->size(); ++n)
        texts.push_back(typed(&(*array)[n]));
    return texts;
}

std::vector<const TomlTable*> tables_in(const TomlTable& table, std::string_view key) {
    std::vector<const TomlTable*> tables;
    const TomlValue* value = value_in(table, key);
    const auto* array = value ? std::get_if<TomlArray>(&value->content) : nullptr;
    static const TomlTable none;
    for (std::size_t n = 0; array && n < array->size(); ++n) {
        const auto* entry = std::get_if<TomlTable>(&(*array)[n].content);
        tables.push_back(entry ? entry : &none);
    }
    return tables;
}

std::optional<std::size_t> index_of(const std::string& text) {
    std::size_t index = 0;
    const auto [end, failure] = std::from_chars(text.data(), text.data() + text.size(), index);
    if (failure != std::errc() || end != text.data() + text.size()) return std::nullopt;
    return index;
}

std::string text_of_index(const std::optional<std::size_t>& index) {
    return index ? fmt::format("{}", *index) : "";
}

std::string without_blanks(const std::string& text) {
    const std::size_t begin = text.find_first_not_of(" \t\r\n");
    if (begin == text.npos) return "";
    return text.substr(begin, text.find_last_not_of(" \t\r\n") + 1 - begin);
}

std::vector<std::string> some_sent(const serving::Form& sent, std::string_view name) {
    std::vector<std::string> all = sent.all(name);
    if (all.size() <= most_sent) return all;
    throw InputError({"form"}, fmt::format("{} of \"{}\" in one form; accepted: at most {}",
                                           all.size(), name, most_sent));
}

Shown shown_in(const serving::Form& sent, std::string_view name) {
    return {index_of(sent.get(std::string(name) + "-first")).value_or(0), 0};
}

TrialForm form_in_file(const TomlTable& plan, std::size_t first_row, std::size_t first_person) {
    TrialForm form;
    const auto entries = tables_in(plan, "timeline");
    form.timeline = {std::min(first_row, entries.size()), 0};
    form.rows = rows_from(entries, form.timeline);
    const auto people = tables_in(plan, "person");
    form.persons = {std::min(first_person, people.size()), 0};
    for (std::size_t n = form.persons.first;
         n < people.size() && form.people.size() < most_people_shown; ++n)
        form.people.push_back(person_from(*people[n], n));
    form.persons.count = form.people.size();
    form.policy = policy_from(plan);
    return form;
}

TrialForm form_sent(const serving::Form& sent) {
    TrialForm form;
    form.timeline = shown_in(sent, "timeline");
    form.persons = shown_in(sent, "persons");
    for (const std::string& key : some_sent(sent, "row"))
        form.rows.push_back({.key = key,
                             .from = index_of(sent.get(key + ".from")),
                             .rest_from = index_of(sent.get(key + ".rest-from"))});
    for (const std::string& key : some_sent(sent, "person")) {
        TrialPerson person{.key = key,
                           .from = index_of(sent.get(key + ".from")),
                           .like = index_of(sent.get(key + ".like"))};
        for (const std::string& task : some_sent(sent, key + ".task")) {
            if (const auto index = index_of(task))
                person.tasks.push_back({*index, sent.get(fmt::format("{}.title-{}", key, *index))});
        }
        form.people.push_back(std::move(person));
    }
    for_each_field(form, [&](const std::string& name, std::string& value) {
        value = without_blanks(sent.get(name));
    });
    form.policy.criteria = some_sent(sent, "policy.criteria");
    return form;
}

Fields fields_of(const TrialForm& form) {
    Fields fields;
    const auto add = [&](std::string name, std::string value) {
        if (!value.empty()) fields.emplace_back(std::move(name), std::move(value));
    };
    add("timeline-first", fmt::format("{}", form.timeline.first));
    add("persons-first", fmt::format("{}", form.persons.first));
    for (const TrialRow& row : form.rows) {
        add("row", row.key);
        add(row.key + ".from", text_of_index(row.from));
        add(row.key + ".rest-from", text_of_index(row.rest_from));
    }
    for (const TrialPerson& person : form.people) {
        add("person", person.key);
        add(person.key + ".from", text_of_index(person.from));
        add(person.key + ".like", text_of_index(person.like));
        for (const TrialTask& task : person.tasks) {
            add(person.key + ".task", fmt::format("{}", task.index));
            add(fmt::format("{}.title-{}", person.key, task.index), task.title);
        }
    }
    for_each_field(form, add);
    for (const std::string& id : form.policy.criteria)
        add("policy.criteria", id);
    return fields;
}

std::vector<std::string> field_names(const TrialForm& form) {
    std::vector<std::string> names;
    for_each_field(form, [&](std::string name, const std::string& /*value*/) {
        if (!name.ends_with(".role")) names.push_back(std::move(name));
    });
    names.emplace_back("policy.criteria");
    return names;
}

std::string packed(const Fields& fields) {
    std::string text;
    for (const auto& [name, value] : fields)
        text += fmt::format("{}{}={}", text.empty() ? "" : "&", serving::in_address(name),
                            serving::in_address(value));
    return text;
}

TrialForm form_packed(const std::string& text) { return form_sent(serving::Form::of_text(text)); }

void press(std::string_view what, const std::string& value, TrialForm& form) {
    if (what == "add") {
        add_row(form.rows);
    } else if (what == "add-rest") {
        form.rows.push_back({.key = new_key(form.rows, "r"), .duration = "1 min"});
    } else if (what == "like") {
        add_person_like(value, form);
    } else if (what == "apply" || what == "drop") {
        const auto changes = serving::Form::of_text(value);
        for_each_field(form, [&](const std::string& name, std::string& field) {
            if (changes.has(name)) field = changes.get(name);
        });
        for (const std::string& key : changes.all("drop"))
            press_on("remove", key, form.rows);
    } else if (!press_on(what, value, form.rows)) {
        press_on(what, value, form.people);
    }
}

}  // namespace earbudget::desk::trying
