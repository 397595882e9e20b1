#include "files/sequence_folder.hpp"

#include <algorithm>
#include <filesystem>
#include <map>

#include <fmt/format.h>

#include "files/file_kind.hpp"
#include "files/limits.hpp"
#include "files/sequence_card.hpp"

namespace earbudget::files {

namespace {

std::vector<std::string> toml_files(const std::string& folder, const SourcePosition& named_at) {
    std::error_code failure;
    std::filesystem::directory_iterator entries(folder, failure);
    if (failure) {
        throw InputError(named_at, fmt::format("cannot read the folder \"{}\": {}; accepted: a "
                                               "folder of sequence cards",
                                               folder, failure.message()));
    }
    std::vector<std::string> paths;
    for (const auto& entry : entries) {
        // Hidden files are what editors and file managers leave behind.
        const bool hidden = entry.path().filename().string().starts_with('.');
        if (hidden || entry.path().extension() != ".toml") continue;
        paths.push_back(entry.path().string());
        if (paths.size() > most_cards) {
            throw InputError(named_at, fmt::format("the folder \"{}\" holds more than {} cards; "
                                                   "accepted: those that the plan needs",
                                                   folder, most_cards));
        }
    }
    std::sort(paths.begin(), paths.end());
    return paths;
}

bool is_other_kind(const TomlTable& document) {
    const std::string_view kind = kind_of(document);
    return kind == "plan" || kind == "protectors" || kind == "site";
}

/// None for a file that is no card but belongs to a study.
std::optional<Sequence> read_card_in_folder(const std::string& path, ErrorList& errors) {
    std::error_code failure;
    const auto size = std::filesystem::file_size(path, failure);
    if (!failure && size > largest_card) {
        throw InputError({path}, fmt::format("the file is larger than {} KiB; accepted: a sequence "
                                             "card of at most that",
                                             largest_card / 1024));
    }
    const TomlTable document = read_toml(path);
    if (is_other_kind(document)) return std::nullopt;
    return read_sequence_card(document, path, errors);
}

}  // namespace

std::vector<Sequence> read_sequence_folder(const std::string& folder,
                                           const SourcePosition& named_at, ErrorList& errors) {
    std::vector<Sequence> sequences;
    std::map<std::string, std::string> path_of_id;
    for (const std::string& path : toml_files(folder, named_at)) {
        std::optional<Sequence> sequence;
        const bool is_right = errors.attempt([&] { sequence = read_card_in_folder(path, errors); });
        if (!sequence && !is_right) errors.lose("sequence", std::nullopt);
        if (!sequence) continue;
        const auto [known, is_new] = path_of_id.emplace(sequence->id, path);
        if (!is_new && !sequence->id.empty()) {
            errors.add({{path},
                        fmt::format("the id \"{}\" is also that of \"{}\"; accepted: each "
                                    "id on one card",
                                    sequence->id, known->second)});
            errors.lose("sequence", std::nullopt);
        }
        sequences.push_back(*std::move(sequence));
    }
    return sequences;
}

}  // namespace earbudget::files
