#include "records/session_plan.hpp"

#include <algorithm>
#include <filesystem>

#include <fmt/format.h>

#include "earbudget/study/input_error.hpp"
#include "files/ids.hpp"
#include "report/record.hpp"

namespace earbudget::records {

namespace {

namespace fs = std::filesystem;

std::string absolute_path(const std::string& path) {
    std::error_code ignored;
    const fs::path found = fs::absolute(path, ignored);
    return (ignored ? fs::path(path) : found).lexically_normal().string();
}

/// A file as it is named in the register: from the plan's folder, the same wherever the program was
/// started.
std::string name_beside(const std::string& plan, const std::string& file) {
    const fs::path folder = fs::path(absolute_path(plan)).parent_path();
    return fs::path(absolute_path(file)).lexically_proximate(folder).string();
}

[[noreturn]] void refuse_unknown(const SessionPlan& plan, const char* what, const std::string& id,
                                 const std::vector<std::string>& known) {
    throw InputError({plan.path},
                     fmt::format("has no {} \"{}\"{}; accepted: {}", what, id,
                                 files::nearest_words(id, known), fmt::join(known, ", ")));
}

const std::string& file_of(const Sequence& sequence) { return sequence.stated_at.file.text(); }

}  // namespace

const Person& SessionPlan::person(const std::string& id) const {
    const auto found = std::ranges::find(plan().people, id, &Person::id);
    if (found == plan().people.end())
        refuse_unknown(*this, "person", id, files::ids_of(plan().people));
    return *found;
}

std::size_t SessionPlan::sequence(const std::string& id) const {
    const auto found = sessions::sequence_named(plan(), id);
    if (!found) refuse_unknown(*this, "sequence", id, files::ids_of(plan().sequences));
    return *found;
}

sessions::Provenance SessionPlan::provenance(std::optional<std::size_t> sequence) const {
    sessions::Provenance from{std::string(report::program_version()), {}};
    for (const std::string& file : loaded.files) {
        const auto card = std::ranges::find_if(
            plan().sequences, [&](const Sequence& one) { return file_of(one) == file; });
        const bool is_another = card != plan().sequences.end() &&
                                (!sequence || card - plan().sequences.begin() !=
                                                  static_cast<std::ptrdiff_t>(*sequence));
        if (!is_another) from.files.push_back({name_beside(path, file), inputs.sha256(file)});
    }
    return from;
}

sessions::FileHash SessionPlan::card(std::size_t sequence) const {
    const std::string& file = file_of(plan().sequences[sequence]);
    return {name_beside(path, file), inputs.sha256(file)};
}

std::optional<Seconds> SessionPlan::planned_time(std::size_t sequence) const {
    const auto row = std::ranges::find_if(
        plan().timeline, [&](const TimelineRow& one) { return one.sequence == sequence; });
    return row == plan().timeline.end() ? std::nullopt : std::optional(row->duration);
}

std::optional<files::Located<std::string>> SessionPlan::time_zone() {
    for (const std::string& file : loaded.files) {
        const bool is_card = std::ranges::any_of(
            plan().sequences, [&](const Sequence& one) { return file_of(one) == file; });
        if (is_card) continue;
        if (auto zone = files::read_time_zone(file, inputs)) return zone;
    }
    return std::nullopt;
}

std::size_t SessionPlan::add_card(const std::string& card) {
    files::SequenceFolders folders;
    files::CardInFolder read = files::read_sequence_card_in_folder(card, inputs, folders);
    if (const auto known = sessions::sequence_named(plan(), read.sequence.id)) {
        const std::string& file = file_of(plan().sequences[*known]);
        if (inputs.sha256(file) == inputs.sha256(card)) return *known;
        throw InputError({card}, fmt::format("has the id \"{}\" of a card that the plan has, {}; "
                                             "accepted: a card with another id",
                                             read.sequence.id, file));
    }
    loaded.files.push_back(card);
    loaded.files.insert(loaded.files.end(), read.others.begin(), read.others.end());
    return sessions::add_card(loaded.plan, std::move(read.sequence));
}

SessionPlan read_session_plan(const std::string& path, const std::string& date) {
    SessionPlan plan{.loaded = {}, .path = path};
    plan.loaded = files::read_plan(path, plan.inputs);
    plan.loaded.plan.date = date;
    plan.ref = {absolute_path(path), plan.plan().title, plan.inputs.sha256(path), {}};
    for (const std::string& file : plan.loaded.files) {
        if (file != path)
            plan.ref.data.push_back({name_beside(path, file), plan.inputs.sha256(file)});
    }
    return plan;
}

}  // namespace earbudget::records
