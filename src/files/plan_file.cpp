#include <algorithm>
#include <filesystem>

#include <fmt/format.h>

#include "files/ids.hpp"
#include "files/study_files.hpp"
#include "files/table_reader.hpp"
#include "files/text_inputs.hpp"

namespace earbudget::files {

namespace {

std::string beside(const std::string& plan_path, const std::string& relative) {
    return (std::filesystem::path(plan_path).parent_path() / relative).string();
}

/// Throws InputError for keys that do not belong together.
void read_timeline_row(TableReader& table, const std::vector<Sequence>& sequences,
                       std::string_view why_no_cards, TimelineRow& row) {
    ErrorList& errors = table.errors();
    const auto sequence = table.text("sequence");
    const auto rest = table.duration("rest");
    const auto duration = table.duration("duration");
    table.put("repeat", row.repeat);
    if (sequence.has_value() == rest.has_value() || sequence.has_value() != duration.has_value()) {
        throw InputError(
            table.position(),
            "[[timeline]] must hold either a sequence with its duration or a rest; accepted: "
            "sequence = \"…\" and duration = \"8 min\", or rest = \"2 min\"");
    }
    if (sequence) {
        errors.attempt([&] {
            row.sequence = index_named(errors, "sequence", *sequence, sequences, why_no_cards);
        });
    }
    row.duration_from = table.choice("duration_from", duration_sources);
    if (row.duration_from && rest) {
        table.refuse("duration_from", "stands beside a rest; accepted: with a sequence");
    }
    if (const auto reinsert = table.boolean("reinsert")) {
        if (sequence) {
            table.refuse("reinsert",
                         "stands beside a sequence; accepted: with a rest, during which protectors "
                         "are taken out and put in again");
        }
        row.reinsert = reinsert->value;
    }
    row.duration = sequence ? duration->value : rest->value;
}

std::vector<TimelineRow> read_timeline(TableReader& plan, const std::vector<Sequence>& sequences) {
    std::vector<TimelineRow> timeline;
    const std::string_view why_no_cards =
        plan.has("sequences")
            ? "there are no cards in the folder that the plan's key "
              "\"sequences\" names (subfolders are not read)"
            : "the plan has no key \"sequences\", which names the folder of cards";
    for (TableReader& table : plan.tables("timeline")) {
        timeline.push_back({.sequence = {}, .stated_at = table.position()});
        if (!table.attempt(
                [&] { read_timeline_row(table, sequences, why_no_cards, timeline.back()); }))
            plan.errors().lose("timeline", std::nullopt);
    }
    if (timeline.empty()) {
        plan.errors().lose("timeline", std::nullopt);
        if (plan.is_misspelt("timeline")) throw AlreadyListed();
        throw InputError(plan.position_of("timeline"),
                         "the timeline is empty; accepted: at least one [[timeline]] row");
    }
    return timeline;
}

/// How many rows a person's day is computed from.
std::size_t exposure_rows_of(const Person& person, std::size_t timeline) {
    std::size_t rows = person.role == Role::Participant ? timeline : 0;
    for (const Task& task : person.tasks)
        rows += task.duration ? 1 : timeline;
    return rows;
}

void check_size(const TableReader& file, const Plan& plan) {
    std::size_t rows = 0;
    for (const Person& person : plan.people)
        rows += exposure_rows_of(person, plan.timeline.size());
    if (rows > most_exposure_rows) {
        throw InputError(file.position_of("person"),
                         fmt::format("all people together hear {} timeline rows and tasks; "
                                     "accepted: at most {}, for example fewer people in one plan",
                                     rows, most_exposure_rows));
    }
}

Policy read_policy(TableReader& plan, const std::vector<Criterion>& own_criteria) {
    Policy policy;
    if (auto table = plan.table("policy")) read_policy_keys(*table, own_criteria, policy);
    return policy;
}

std::optional<Contact> read_contact(TableReader& plan) {
    auto table = plan.table("contact");
    if (!table) return std::nullopt;
    Contact contact;
    table->put("name", contact.name);
    table->put("role", contact.role);
    table->put("phone", contact.phone);
    table->attempt([&] {
        if (!contact.name.empty() || !contact.role.empty() || !contact.phone.empty()) return;
        throw InputError(table->position(),
                         "[contact] says nobody; accepted: any of name, role, phone as text");
    });
    return contact;
}

/// Reads what a key names. Where it cannot be read nobody knows which ids of that sort there are.
template <class Read>
void read_named(TableReader& file, std::string_view key, const std::string& sort, Read&& read) {
    const auto stated = file.text(key);
    bool is_there = !stated && !file.has(key) && !file.is_misspelt(key);
    if (stated) {
        file.errors().attempt([&] {
            read(*stated);
            is_there = true;
        });
    }
    if (!is_there) file.errors().lose(sort, std::nullopt);
}

void read_sequences(TableReader& file, const std::string& path, LoadedPlan& loaded,
                    TextInputs& inputs) {
    read_named(file, "sequences", "sequence", [&](const Located<std::string>& folder) {
        loaded.plan.sequences = read_sequence_folder(beside(path, folder.value), folder.position,
                                                     inputs, file.errors());
    });
    for (const Sequence& card : loaded.plan.sequences)
        loaded.files.push_back(card.stated_at.file);
}

void read_catalogue(TableReader& file, const std::string& path, LoadedPlan& loaded,
                    TextInputs& inputs) {
    read_named(file, "protectors", "protector", [&](const Located<std::string>& stated) {
        const std::string catalogue = beside(path, stated.value);
        loaded.files.push_back(catalogue);
        const TomlTable document = read_toml(catalogue, inputs, &stated.position, "protectors");
        loaded.plan.catalogue = read_protector_catalogue(document, catalogue, file.errors());
    });
}

std::optional<SoundLevels> read_own_levels(TableReader& file, std::string_view key) {
    auto table = file.table(key);
    return table ? std::optional(read_levels(*table)) : std::nullopt;
}

/// Rooms of the plan, and of the site where it names one.
void read_rooms(TableReader& file, const std::string& path, LoadedPlan& loaded,
                TextInputs& inputs) {
    Plan& plan = loaded.plan;
    plan.background = read_own_levels(file, "background");
    plan.background_stated_at = file.position();
    plan.intercom = read_own_levels(file, "intercom");
    read_positions(file, path, plan, loaded.files, inputs);
    read_named(file, "site", "position", [&](const Located<std::string>& site) {
        read_site(beside(path, site.value), site.position, plan, loaded.files, inputs,
                  file.errors());
    });
}

void read_plan(const TomlTable& document, const std::string& path, LoadedPlan& loaded,
               TextInputs& inputs, ErrorList& errors) {
    TableReader file = open_document(document, path, plan_file, errors);
    Plan& plan = loaded.plan;
    file.put("title", plan.title);
    loaded.contact = read_contact(file);
    read_sequences(file, path, loaded, inputs);
    read_catalogue(file, path, loaded, inputs);
    read_rooms(file, path, loaded, inputs);
    errors.attempt([&] { plan.timeline = read_timeline(file, plan.sequences); });
    const auto own_criteria = read_own_criteria(file);
    const Policy policy = read_policy(file, own_criteria);
    errors.attempt([&] { plan.people = read_people(file, plan, policy, own_criteria); });
    add_unnamed_criteria(own_criteria, policy, plan.people);
    if (errors.empty()) check_size(file, plan);
}

/// Whether a sequence runs in the timeline or in somebody's task, or lends its bands to one.
bool is_used(std::size_t sequence, const Plan& plan) {
    const auto runs = [&](const auto& row) {
        if (!row.sequence) return false;
        return row.sequence == sequence ||
               plan.sequences[*row.sequence].spectrum_like == plan.sequences[sequence].id;
    };
    return std::ranges::any_of(plan.timeline, runs) ||
           std::ranges::any_of(plan.people, [&runs](const Person& person) {
               return std::ranges::any_of(person.tasks, runs);
           });
}

/// Of all files those that say they are examples, but for cards of sequences that are not used.
std::vector<std::string> examples_among(const LoadedPlan& loaded, const TextInputs& inputs) {
    std::set<std::string> unused;
    for (std::size_t n = 0; n < loaded.plan.sequences.size(); ++n)
        if (!is_used(n, loaded.plan)) unused.insert(loaded.plan.sequences[n].stated_at.file);
    std::vector<std::string> examples;
    for (const std::string& file : loaded.files)
        if (inputs.is_example(file) && !unused.contains(file)) examples.push_back(file);
    return examples;
}

}  // namespace

LoadedPlan read_plan(const std::string& path, TextInputs& inputs) {
    return read_plan(read_toml(path, inputs), path, inputs);
}

LoadedPlan read_plan(const std::string& path) {
    TextInputs inputs;
    return read_plan(path, inputs);
}

LoadedPlan read_plan(const TomlTable& document, const std::string& path, TextInputs& inputs) {
    LoadedPlan loaded{.plan = {.title = path}, .files = {path}};
    ErrorList errors;
    errors.attempt([&] { read_plan(document, path, loaded, inputs, errors); });
    errors.throw_if_any();
    loaded.notes = errors.notes();
    loaded.folders = errors.folders();
    loaded.examples = examples_among(loaded, inputs);
    loaded.plan.examples = loaded.examples;
    return loaded;
}

}  // namespace earbudget::files
