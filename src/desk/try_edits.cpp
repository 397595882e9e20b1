#include "desk/try_edits.hpp"

#include <algorithm>
#include <set>

#include <fmt/format.h>

#include "desk/try_order.hpp"

namespace earbudget::desk::trying {

using editing::Path;
using editing::Remove;
using editing::Set;
using editing::Value;

namespace {

Value flag_or_text(const std::string& typed) {
    if (typed == "true") return true;
    if (typed == "false") return false;
    return typed;
}

std::vector<std::string> filled(const std::array<std::string, 2>& ids) {
    std::vector<std::string> all;
    for (const std::string& id : ids)
        if (!id.empty()) all.push_back(id);
    return all;
}

bool is_same_set(std::vector<std::string> one, std::vector<std::string> other) {
    std::ranges::sort(one);
    std::ranges::sort(other);
    return one == other;
}

/// An entry of the timeline that a row comes to.
struct RowEntry {
    const TrialRow* row;
    bool is_rest;  ///< the one after it
    std::optional<std::size_t> from;
};

class EditsFor {
  public:
    EditsFor(const TrialForm& asked, const files::TomlTable& file)
        : asked_(asked),
          as_file_(form_in_file(file, asked.timeline.first, asked.persons.first)),
          rows_in_file_(entries_in(file, "timeline")),
          people_in_file_(entries_in(file, "person")) {}

    [[nodiscard]] TrialEdits all() && {
        add_timeline();
        add_people();
        add_policy();
        return std::move(result_);
    }

  private:
    void set(const Path& table, std::string key, Value value) {
        result_.edits.push_back(Set{table, std::move(key), std::move(value)});
    }
    void remove(const Path& table, std::string key) {
        result_.edits.push_back(Remove{table, std::move(key)});
    }
    /// A key, or none where nothing is typed.
    void set_or_remove(const Path& table, const std::string& key, const std::string& typed,
                       Value (*value)(const std::string&)) {
        if (typed.empty())
            remove(table, key);
        else
            set(table, key, value(typed));
    }

    // --- the timeline

    [[nodiscard]] TrialRow row_in_file(std::size_t entry) const {
        for (const TrialRow& row : as_file_.rows)
            if (row.from == entry) return row;
        for (const TrialRow& row : as_file_.rows)
            if (row.rest_from == entry) return {.key = "", .duration = row.rest};
        return {.key = ""};
    }

    void set_row(const TrialRow& row, std::size_t entry) {
        const Path table{"timeline", entry};
        const TrialRow was = row_in_file(entry);
        const bool is_rest = row.sequence.empty();
        const bool other_kind = is_rest != was.sequence.empty();
        if (other_kind) {
            for (const char* const key : {"sequence", "duration", "rest", "reinsert"})
                remove(table, key);
        }
        if (row.sequence != was.sequence && !is_rest) set(table, "sequence", row.sequence);
        if (row.duration != was.duration || other_kind)
            set(table, is_rest ? "rest" : "duration", row.duration);
        if (row.sequence != was.sequence || row.duration != was.duration)
            remove(table, "duration_from");
        if (row.repeat != was.repeat) set_or_remove(table, "repeat", row.repeat, number_or_text);
    }

    /// The rest after a run.
    void set_rest(const TrialRow& row, std::size_t entry) {
        const TrialRow was = row_in_file(entry);
        if (row.rest != was.duration || !was.sequence.empty())
            set_row({.key = "", .duration = row.rest, .repeat = was.repeat}, entry);
    }

    static std::vector<std::pair<std::string, Value>> new_entry(const RowEntry& entry) {
        const TrialRow& row = *entry.row;
        if (entry.is_rest) return {{"rest", row.rest}};
        std::vector<std::pair<std::string, Value>> keys;
        if (row.sequence.empty()) {
            keys.emplace_back("rest", row.duration);
        } else {
            keys.emplace_back("sequence", row.sequence);
            keys.emplace_back("duration", row.duration);
        }
        if (!row.repeat.empty()) keys.emplace_back("repeat", number_or_text(row.repeat));
        return keys;
    }

    void add_timeline() {
        std::set<std::size_t> kept;
        std::vector<RowEntry> entries;
        for (const TrialRow& row : asked_.rows) {
            entries.push_back({&row, false, taken(row.from, as_file_.timeline, kept)});
            if (!row.rest.empty())
                entries.push_back({&row, true, taken(row.rest_from, as_file_.timeline, kept)});
        }
        for (const RowEntry& entry : entries) {
            if (!entry.from) continue;
            if (entry.is_rest)
                set_rest(*entry.row, *entry.from);
            else
                set_row(*entry.row, *entry.from);
        }
        Order order({"timeline"}, rows_in_file_, as_file_.timeline, kept, result_.edits);
        result_.timeline.resize(as_file_.timeline.first);
        for (const RowEntry& entry : entries) {
            const std::size_t at = result_.timeline.size();
            if (entry.from)
                order.put(*entry.from, at);
            else
                order.insert(at, new_entry(entry));
            result_.timeline.emplace_back(entry.row->key, entry.is_rest);
        }
        result_.timeline.resize(result_.timeline.size() + rows_in_file_ - as_file_.timeline.end());
    }

    // --- people

    void set_person(const TrialPerson& person, const TrialPerson& was, std::size_t entry,
                    bool always) {
        const Path table{"person", entry};
        const auto differs = [&](const std::string& is, const std::string& before) {
            return always || is != before;
        };
        if (differs(person.id, was.id)) set(table, "id", person.id);
        if (differs(person.role, was.role)) set(table, "role", person.role);
        const auto wears = filled(person.wears);
        const bool worn_before = is_same_set(wears, filled(was.wears));
        if (always || !worn_before) set(table, "wears", wears);
        if (always || !worn_before) {
            remove(table, "PAR");
            remove(table, "PAR_uncertainty");
        }
        if (differs(person.sessions, was.sessions))
            set_or_remove(table, "sessions_per_day", person.sessions, number_or_text);
        if (differs(person.days, was.days))
            set_or_remove(table, "days_per_week", person.days, number_or_text);
        if (differs(person.worn, was.worn))
            set_or_remove(table, "worn", person.worn, number_or_text);
        if (differs(person.fit, was.fit)) set_or_remove(table, "fit", person.fit, as_text);
        for (const TrialTask& task : person.tasks)
            set_task(task, was, table / "task" / task.index, always);
    }

    void set_task(const TrialTask& task, const TrialPerson& was, const Path& table, bool always) {
        const auto before = std::ranges::find(was.tasks, task.index, &TrialTask::index);
        // A task that the file does not have is none that the form showed.
        if (before == was.tasks.end()) return;
        if (always || before->duration != task.duration) set(table, "duration", task.duration);
    }

    static Value as_text(const std::string& typed) { return typed; }

    [[nodiscard]] const TrialPerson* person_in_file(std::optional<std::size_t> entry) const {
        const auto one = std::ranges::find_if(
            as_file_.people, [&](const TrialPerson& each) { return each.from == entry; });
        return entry && one != as_file_.people.end() ? &*one : nullptr;
    }

    void add_new_person(const TrialPerson& person, const std::set<std::size_t>& kept,
                        std::size_t at, Order& order) {
        const TrialPerson* like = person_in_file(person.like);
        if (like && kept.contains(*person.like)) {
            order.copy(*person.like, at);
            set_person(person, *like, at, true);
            for (const char* const key : {"protector", "title", "note"})
                remove({"person", at}, key);
            return;
        }
        order.insert(at, {{"id", person.id}, {"role", person.role}});
        set_person(person, {.key = "", .id = person.id, .role = person.role}, at, false);
    }

    void add_people() {
        std::set<std::size_t> kept;
        std::vector<std::optional<std::size_t>> entries;
        for (const TrialPerson& person : asked_.people)
            entries.push_back(taken(person.from, as_file_.persons, kept));
        for (std::size_t n = 0; n < entries.size(); ++n)
            if (entries[n])
                set_person(asked_.people[n], *person_in_file(entries[n]), *entries[n], false);
        Order order({"person"}, people_in_file_, as_file_.persons, kept, result_.edits);
        result_.people.resize(as_file_.persons.first);
        for (std::size_t n = 0; n < entries.size(); ++n) {
            const std::size_t at = result_.people.size();
            if (entries[n])
                order.put(*entries[n], at);
            else
                add_new_person(asked_.people[n], kept, at, order);
            result_.people.push_back(asked_.people[n].key);
        }
        result_.people.resize(result_.people.size() + people_in_file_ - as_file_.persons.end());
    }

    // --- the policy

    void add_policy() {
        const Path table{"policy"};
        const TrialPolicy& is = asked_.policy;
        const TrialPolicy& was = as_file_.policy;
        const auto change = [&](const std::string& key, const std::string& now,
                                const std::string& before, Value (*value)(const std::string&)) {
            if (now != before) set_or_remove(table, key, now, value);
        };
        change("method", is.method, was.method, as_text);
        if (is.derating != own_derating) change("derating", is.derating, was.derating, as_text);
        change("protection_performance", is.performance, was.performance, number_or_text);
        change("accepted_probability", is.accepted, was.accepted, number_or_text);
        change("weekly_average", is.weekly, was.weekly, flag_or_text);
        change("speech_must_be_heard", is.speech, was.speech, flag_or_text);
        if (is_same_set(is.criteria, was.criteria)) return;
        if (is.criteria.empty()) return remove(table, "criteria");
        std::vector<std::string> ids;
        for (const auto* some : {&was.criteria, &is.criteria}) {
            for (const std::string& id : *some)
                if (std::ranges::count(is.criteria, id) > 0 && std::ranges::count(ids, id) == 0)
                    ids.push_back(id);
        }
        set(table, "criteria", ids);
    }

    const TrialForm& asked_;
    TrialForm as_file_;
    std::size_t rows_in_file_;
    std::size_t people_in_file_;
    TrialEdits result_ = {};
};

/// The field of a person that a key is shown in; a wrong entry is said at its id.
std::string_view person_field(std::string_view key) {
    if (key == "sessions_per_day") return "sessions";
    if (key == "days_per_week") return "days";
    for (const std::string_view same : {"role", "wears", "worn", "fit"})
        if (key == same) return same;
    return "id";
}

std::string_view policy_field(std::string_view key) {
    if (key == "protection_performance") return "performance";
    if (key == "accepted_probability") return "accepted";
    if (key == "weekly_average") return "weekly";
    if (key == "speech_must_be_heard") return "speech";
    for (const std::string_view same : {"method", "derating", "criteria"})
        if (key == same) return same;
    return "";
}

std::string row_field(const std::pair<std::string, bool>& row, std::string_view key) {
    if (row.first.empty()) return "";
    if (row.second) return row.first + ".rest";
    if (key == "rest" || key == "duration") return row.first + ".duration";
    return fmt::format("{}.{}", row.first, key == "repeat" ? "repeat" : "sequence");
}

}  // namespace

TrialEdits edits_for(const TrialForm& asked, const files::TomlTable& file) {
    return EditsFor(asked, file).all();
}

std::string field_at(const editing::Outline& edited, const SourcePosition& position,
                     const TrialEdits& edits) {
    const auto [table, key] = edited.place_of(position);
    const auto& steps = table.steps();
    const auto name = [&](std::size_t n) {
        const auto* text = n < steps.size() ? std::get_if<std::string>(&steps[n]) : nullptr;
        return text ? std::string_view(*text) : std::string_view();
    };
    const auto index = [&](std::size_t n) {
        const auto* number = n < steps.size() ? std::get_if<std::size_t>(&steps[n]) : nullptr;
        return number ? *number : is_new;
    };
    if (name(0) == "timeline" && index(1) < edits.timeline.size())
        return row_field(edits.timeline[index(1)], key);
    if (name(0) == "person" && index(1) < edits.people.size()) {
        const std::string& person = edits.people[index(1)];
        if (person.empty()) return "";
        if (name(2) == "task") return fmt::format("{}.task-{}", person, index(3));
        return fmt::format("{}.{}", person, person_field(key));
    }
    if (name(0) == "policy" && !policy_field(key).empty())
        return fmt::format("policy.{}", policy_field(key));
    return "";
}

}  // namespace earbudget::desk::trying
