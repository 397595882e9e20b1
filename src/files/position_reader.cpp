#include <algorithm>
#include <filesystem>

#include <fmt/format.h>

#include "files/ids.hpp"
#include "files/study_files.hpp"
#include "files/written_values.hpp"
#include "files/text_inputs.hpp"

namespace earbudget::files {

namespace {

/// What the cards measured at a position are read with.
struct Folder {
    std::string of_file;  ///< the file that names it
    const Plan& plan;
    std::vector<std::string>& paths;
    std::size_t& cards;     ///< so many were read for positions of that file
    SequenceFolders& read;  ///< those that were read, by where they are
    TextInputs& inputs;
    ErrorList& errors;
};

/// The cards of a folder, which is read once however many positions name it, and however they do.
const std::vector<Sequence>& cards_in(const std::string& path, const SourcePosition& named_at,
                                      const Folder& folder) {
    std::error_code failure;
    const auto canonical = std::filesystem::weakly_canonical(path, failure);
    const std::string place = failure ? path : canonical.string();
    const auto known = folder.read.find(place);
    if (known != folder.read.end()) return known->second;
    auto cards = read_sequence_folder(path, named_at, folder.inputs, folder.errors);
    return folder.read.emplace(place, std::move(cards)).first->second;
}

void read_measured(const Folder& folder, const Located<std::string>& stated,
                   Transmission& transmission) {
    const auto path = (std::filesystem::path(folder.of_file).parent_path() / stated.value).string();
    const std::vector<Sequence>& cards = cards_in(path, stated.position, folder);
    folder.cards += cards.size();
    if (folder.cards > most_cards_at_positions) {
        throw InputError(stated.position, fmt::format("the folders of all positions hold more than "
                                                      "{} cards; accepted: those that are needed",
                                                      most_cards_at_positions));
    }
    for (const Sequence& card : cards) {
        const auto& sequences = folder.plan.sequences;
        const auto found = std::ranges::find(sequences, card.id, &Sequence::id);
        // A site's cards serve several plans: those of other sequences are passed over.
        if (found == sequences.end()) continue;
        const auto index = static_cast<std::size_t>(found - sequences.begin());
        transmission.measured.emplace(index, card.levels);
        transmission.measured_origin.emplace(index, card.origin);
        folder.paths.push_back(card.stated_at.file);
    }
}

Transmission read_transmission(TableReader& table, const Folder& folder) {
    Transmission transmission;
    table.put("difference_dB", transmission.difference);
    if (auto bands = table.table("octave")) {
        for (const OctaveBand band : octave_bands)
            if (const auto difference = bands->number(name_of(band)))
                transmission.octave_difference.emplace(band, LevelDifference(difference->value));
    }
    table.put("uncertainty", transmission.uncertainty);
    if (auto background = table.table("background"))
        transmission.background = read_levels(*background);
    const auto sequences = table.text("sequences");
    if (sequences) {
        table.errors().attempt([&] {
            read_measured(folder, {sequences->value, sequences->position}, transmission);
        });
    }
    const bool differs = transmission.difference || !transmission.octave_difference.empty();
    if (!differs && !sequences) {
        throw InputError(
            table.position(),
            fmt::format("{} says nothing of the levels there; accepted: difference_dB, [octave] "
                        "differences or a folder \"sequences\" of cards measured there",
                        table.name()));
    }
    return transmission;
}

Position read_position(TableReader& table, const Folder& folder) {
    Position position{.id = "", .stated_at = table.position()};
    if (!folder.errors.attempt([&] { position.id = require_id(table).value; }))
        folder.errors.lose("position", std::nullopt);
    table.put("near_magnet", position.near_magnet);
    table.attempt([&] { position.door_shut = read_transmission(table, folder); });
    if (auto open = table.table("door_open")) {
        position.door_open.emplace();
        open->attempt([&] { position.door_open = read_transmission(*open, folder); });
        // An open door lets nothing of what is heard there anyway out.
        if (!position.door_open->background) {
            position.door_open->background = position.door_shut.background;
        }
    }
    if (table.has_mistakes()) folder.errors.lose("position", position.id);
    return position;
}

}  // namespace

void read_positions(TableReader& file, const std::string& path, Plan& plan,
                    std::vector<std::string>& paths, TextInputs& inputs) {
    std::size_t cards = 0;
    SequenceFolders read;
    for (TableReader& table : file.tables("position")) {
        Position position =
            read_position(table, {path, plan, paths, cards, read, inputs, file.errors()});
        const auto same = std::ranges::find(plan.positions, position.id, &Position::id);
        if (same != plan.positions.end() && !position.id.empty()) {
            table.report_twice(position.id, same->stated_at);
            file.errors().lose("position", std::nullopt);
        }
        plan.positions.push_back(std::move(position));
    }
    if (file.is_misspelt("position")) file.errors().lose("position", std::nullopt);
}

std::optional<Located<std::string>> read_time_zone(TableReader& site) {
    auto zone = site.text("time_zone");
    constexpr std::string_view others = "/_+-";
    const bool is_name = !zone || std::ranges::all_of(zone->value, [&](char c) {
        return is_digit(c) || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
               others.find(c) != others.npos;
    });
    if (is_name && (!zone || !zone->value.empty())) return zone;
    site.report("time_zone",
                fmt::format("is \"{}\", which is no time zone; accepted: a name of the IANA "
                            "database, such as \"Europe/Berlin\" or \"UTC\"",
                            zone->value));
    return std::nullopt;
}

std::optional<Located<std::string>> read_time_zone(const std::string& path, TextInputs& inputs) {
    const TomlTable document = read_toml(path, inputs);
    if (kind_of(document) != site_file.name) return std::nullopt;
    ErrorList errors;
    TableReader site = open_document(document, path, site_file, errors);
    return read_time_zone(site);
}

void read_site(const std::string& path, const SourcePosition& named_at, Plan& plan,
               std::vector<std::string>& paths, TextInputs& inputs, ErrorList& errors) {
    read_site(read_toml(path, inputs, &named_at, "site"), path, plan, paths, inputs, errors);
}

void read_site(const TomlTable& document, const std::string& path, Plan& plan,
               std::vector<std::string>& paths) {
    TextInputs inputs;
    ErrorList errors;
    errors.attempt([&] { read_site(document, path, plan, paths, inputs, errors); });
    errors.throw_if_any();
}

void read_site(const TomlTable& document, const std::string& path, Plan& plan,
               std::vector<std::string>& paths, TextInputs& inputs, ErrorList& errors) {
    TableReader file = open_document(document, path, site_file, errors);
    static_cast<void>(file.text("title"));
    static_cast<void>(read_time_zone(file));
    static_cast<void>(read_match(file));
    if (auto background = file.table("background")) {
        const SoundLevels levels = read_levels(*background);
        if (!plan.background) {
            plan.background = levels;
            plan.background_stated_at = background->position();
        }
    }
    read_positions(file, path, plan, paths, inputs);
    paths.push_back(path);
}

}  // namespace earbudget::files
