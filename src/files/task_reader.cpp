#include "files/task_reader.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "files/levels_reader.hpp"
#include "files/unknown_id.hpp"
#include "files/wearing_reader.hpp"

namespace earbudget::files {

const std::vector<std::string> task_keys = {"title",  "position", "door",  "during", "duration",
                                            "levels", "per",      "wears", "worn",   "fit"};

namespace {

std::size_t position_named(const Located<std::string>& id, const Plan& plan, ErrorList& errors) {
    std::vector<std::string> ids;
    for (std::size_t i = 0; i < plan.positions.size(); ++i) {
        if (plan.positions[i].id == id.value) return i;
        ids.push_back(plan.positions[i].id);
    }
    list_unknown_id(errors, "position", id, ids, "the plan has no [[position]]");
    throw AlreadyListed();
}

/// One of two words; false for the first or when absent.
bool is_second_word(TableReader& table, std::string_view key, std::string_view first,
                    std::string_view second) {
    const auto stated = table.text(key, fmt::format("\"{}\" or \"{}\"", first, second));
    if (!stated || stated->value == first) return false;
    if (stated->value == second) return true;
    table.report(
        key, fmt::format("is \"{}\"; accepted: \"{}\" or \"{}\"", stated->value, first, second));
    return false;
}

bool runs_in_timeline(const Plan& plan, std::size_t sequence) {
    return std::ranges::any_of(
        plan.timeline, [sequence](const TimelineRow& row) { return row.sequence == sequence; });
}

void read_sequence(TableReader& table, const Located<std::string>& during, const Plan& plan,
                   Task& task) {
    std::vector<std::string> ids = {"timeline"};
    for (std::size_t i = 0; i < plan.sequences.size(); ++i) {
        if (plan.sequences[i].id == during.value) task.sequence = i;
        ids.push_back(plan.sequences[i].id);
    }
    if (!task.sequence) {
        list_unknown_id(table.errors(), "sequence", during, ids, "");
        throw AlreadyListed();
    }
    const bool is_known = !table.errors().may_have_lost("timeline");
    if (!task.duration && is_known && !runs_in_timeline(plan, *task.sequence)) {
        table.refuse("during", fmt::format("names \"{}\", which the timeline does not run; "
                                           "accepted: with a duration",
                                           during.value));
    }
}

/// What is heard, and for how long.
void read_sound(TableReader& table, const Plan& plan, Task& task) {
    const auto during = table.text("during");
    if (const auto duration = table.duration("duration")) task.duration = duration->value;
    if (auto levels = table.table("levels", "[person.task.levels]", level_keys)) {
        task.levels = read_levels(*levels);
    }
    const bool timeline = during && during->value == "timeline";
    if ((!during && !task.duration) || (timeline && task.duration)) {
        throw InputError(table.position(),
                         "[[person.task]] needs one of \"during\" and \"duration\"; accepted: "
                         "during = \"timeline\", during = a sequence's id with or without a "
                         "duration, or duration = \"10 min\"");
    }
    if (task.levels && during) {
        table.refuse("during", "stands beside [levels]; accepted: a duration with levels");
    }
    if (during && !timeline) {
        table.errors().attempt([&] {
            read_sequence(table, {during->value, during->position}, plan, task);
        });
    }
}

/// Where the person is, and how the door stands.
void read_place(TableReader& table, const Plan& plan, Task& task) {
    ErrorList& errors = table.errors();
    task.door_open = is_second_word(table, "door", "shut", "open");
    const auto position = table.text("position");
    if (!position && !task.levels) {
        throw InputError(table.position(),
                         "[[person.task]] has no \"position\"; accepted: the id of a [[position]], "
                         "or [person.task.levels] for other noise");
    }
    if (!position) return;
    errors.attempt([&] {
        task.position = position_named({position->value, position->position}, plan, errors);
    });
    if (!task.door_open || !task.position) return;
    const Position& there = plan.positions[*task.position];
    if (there.door_open || errors.has_lost("position", there.id)) return;
    table.refuse("door", fmt::format("is open, but position \"{}\" has no "
                                     "[position.door_open]; accepted: \"shut\"",
                                     there.id));
}

}  // namespace

Task read_task(TableReader& table, const Plan& plan) {
    Task task{.stated_at = table.position()};
    if (const auto title = table.text("title")) task.title = title->value;
    table.attempt([&] { read_sound(table, plan, task); });
    table.attempt([&] { read_place(table, plan, task); });
    task.once_a_day = is_second_word(table, "per", "session", "day");
    if (table.has("wears")) task.wears = read_wears(table, plan.catalogue);
    task.wearing = read_wearing(table);
    table.attempt([&] {
        if (task.wears || !(table.has("worn") || table.has("fit"))) return;
        table.refuse(table.has("worn") ? "worn" : "fit",
                     "stands in a task without \"wears\"; accepted: with what is worn during it");
    });
    return task;
}

}  // namespace earbudget::files
