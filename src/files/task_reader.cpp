#include <algorithm>

#include <fmt/format.h>

#include "files/ids.hpp"
#include "files/study_files.hpp"
#include "files/written_values.hpp"
#include "report/words/words.hpp"

namespace earbudget::files {

namespace {

bool runs_in_timeline(const Plan& plan, std::size_t sequence) {
    return std::ranges::any_of(
        plan.timeline, [sequence](const TimelineRow& row) { return row.sequence == sequence; });
}

void read_sequence(TableReader& table, const Located<std::string>& during, const Plan& plan,
                   Task& task) {
    task.sequence =
        index_named(table.errors(), "sequence", during, plan.sequences, "", {"timeline"});
    const bool is_known = !table.errors().may_have_lost("timeline");
    if (!task.duration && is_known && !runs_in_timeline(plan, *task.sequence)) {
        table.refuse(
            "during",
            fmt::format("names \"{}\", which the timeline does not run; accepted: with a duration",
                        during.value));
    }
}

std::vector<LevelA> read_samples(TableReader& levels) {
    const auto stated = levels.numbers("LAeq_samples");
    if (!stated) return {};
    if (stated->value.size() < fewest_samples) {
        levels.refuse(
            "LAeq_samples",
            fmt::format(
                "holds {}; accepted: {} or more measured LAeq (ISO 9612:2009, 9.3), or LAeq",
                stated->value.size(), fewest_samples));
    }
    for (const std::string_view key : {"LAeq", "uncertainty"}) {
        if (!levels.has(key)) continue;
        levels.refuse(key,
                      "stands beside LAeq_samples, from which it follows; accepted: without it, "
                      "with uncertainty_parts for instrument and position");
    }
    std::vector<LevelA> samples;
    for (const auto& sample : stated->value)
        samples.emplace_back(sample.value);
    return samples;
}

/// Noise with levels of its own.
void read_own_noise(TableReader& table, Task& task) {
    auto levels = table.table("levels");
    if (!levels) return;
    task.LAeq_samples = read_samples(*levels);
    task.levels = read_levels(*levels, task.LAeq_samples.empty()
                                           ? std::nullopt
                                           : std::optional(level_of_samples(task.LAeq_samples)));
}

void read_duration_range(TableReader& table, Task& task) {
    const auto stated = table.texts("duration_range");
    if (!stated) return;
    const auto refuse = [&table](const std::string& what) {
        table.refuse("duration_range", what +
                                           "; accepted: [\"1 h\", \"2 h\"], the shortest and the "
                                           "longest, beside a duration between them");
    };
    std::vector<Seconds> ends;
    for (const auto& end : stated->value) {
        const auto time = parse_duration(end.value);
        if (!time) refuse(fmt::format("holds \"{}\", which is no duration", end.value));
        if (auto note = note_on_duration(end.value))
            table.errors().note({"duration-as-minutes", *std::move(note), end.position});
        ends.push_back(*time);
    }
    if (ends.size() != 2) refuse(fmt::format("holds {} durations", ends.size()));
    if (!task.duration) refuse("stands in a task without \"duration\"");
    if (!(ends[0] < ends[1]) || *task.duration < ends[0] || *task.duration > ends[1])
        refuse("does not hold the duration");
    task.duration_range = DurationRange{ends[0], ends[1]};
}

/// What is heard, and for how long.
void read_sound(TableReader& table, const Plan& plan, Task& task) {
    const auto during = table.text("during");
    if (const auto duration = table.duration("duration")) task.duration = duration->value;
    read_duration_range(table, task);
    read_own_noise(table, task);
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
        table.errors().attempt([&] { read_sequence(table, *during, plan, task); });
    }
}

/// Where the person is, and how the door stands.
void read_place(TableReader& table, const Plan& plan, Task& task) {
    ErrorList& errors = table.errors();
    table.put_whether("door", "open", task.door_open);
    const auto position = table.text("position");
    if (!position && !task.levels) {
        throw InputError(table.position(),
                         "[[person.task]] has no \"position\"; accepted: the id of a [[position]], "
                         "or [person.task.levels] for other noise");
    }
    if (!position) return;
    errors.attempt([&] {
        task.position = index_named(errors, "position", *position, plan.positions,
                                    "the plan has no [[position]]");
    });
    if (!task.door_open || !task.position) return;
    const Position& there = plan.positions[*task.position];
    if (there.door_open || errors.has_lost("position", there.id)) return;
    table.refuse(
        "door",
        fmt::format("is open, but position \"{}\" has no [position.door_open]; accepted: \"shut\"",
                    there.id));
}

}  // namespace

bool lost_any(const ErrorList& errors, const std::vector<std::string>& protectors) {
    return std::ranges::any_of(
        protectors, [&](const std::string& id) { return errors.has_lost("protector", id); });
}

std::vector<std::string> read_protector_ids(TableReader& table, std::string_view key,
                                            const Catalogue& catalogue) {
    const auto stated = table.texts(key);
    std::vector<std::string> ids;
    if (!stated) return ids;
    std::vector<std::string> known;
    for (const auto& id : stated->value) {
        if (catalogue.find(id.value)) {
            ids.push_back(id.value);
        } else {
            if (known.empty()) known = catalogue.ids();
            list_unknown_id(table.errors(), "protector", id, known, "the catalogue is empty");
        }
    }
    return ids;
}

std::vector<std::string> read_wears(TableReader& table, const Catalogue& catalogue,
                                    std::string_view key) {
    std::vector<std::string> wears = read_protector_ids(table, key, catalogue);
    table.attempt([&] {
        if (lost_any(table.errors(), wears)) return;
        const Message obstacle = cannot_be_worn_together(catalogue, wears);
        if (!obstacle.empty()) table.refuse(key, "names " + text_of(obstacle));
    });
    return wears;
}

Wearing read_wearing(TableReader& table) {
    Wearing wearing;
    table.put("worn", wearing.fraction_of_time);
    table.put_whether("fit", "poor", wearing.poor_fit);
    return wearing;
}

Task read_task(TableReader& table, const Plan& plan) {
    Task task{.stated_at = table.position()};
    table.put("title", task.title);
    table.attempt([&] { read_sound(table, plan, task); });
    table.attempt([&] { read_place(table, plan, task); });
    table.put_whether("per", "day", task.once_a_day);
    if (table.has("wears")) task.wears = read_wears(table, plan.catalogue);
    task.wearing = read_wearing(table);
    table.put("worn_uncertainty", task.worn_uncertainty);
    table.attempt([&] {
        for (const char* key : {"worn", "fit", "worn_uncertainty"}) {
            if (task.wears || !table.has(key)) continue;
            table.refuse(
                key, "stands in a task without \"wears\"; accepted: with what is worn during it");
        }
    });
    return task;
}

}  // namespace earbudget::files
