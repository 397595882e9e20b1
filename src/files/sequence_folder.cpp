#include <algorithm>
#include <filesystem>
#include <map>
#include <memory>
#include <string_view>
#include <system_error>

#include <fmt/format.h>

#include "files/ids.hpp"
#include "files/open_file.hpp"
#include "files/study_files.hpp"
#include "files/text_inputs.hpp"

namespace earbudget::files {

namespace {

std::vector<std::string> toml_files(const std::string& folder, const SourcePosition& named_at) {
    std::error_code failure;
    std::filesystem::directory_iterator entries(folder, failure);
    if (failure) {
        if (is_machine_fault(failure.value())) throw std::system_error(failure, folder);
        const auto is_folder = [](const std::filesystem::path& other) {
            std::error_code ignored;
            return std::filesystem::is_directory(other, ignored);
        };
        const std::string why = failure == std::errc::no_such_file_or_directory
                                    ? "no such folder" + nearest_there(folder, is_folder)
                                : failure == std::errc::not_a_directory ? "this is no folder"
                                                                        : failure.message();
        throw InputError(
            named_at,
            fmt::format("cannot read the folder \"{}\": {}; accepted: a folder of sequence cards",
                        folder, why));
    }
    std::vector<std::string> paths;
    for (const auto& entry : entries) {
        if (!is_read_in_folder(entry.path())) continue;
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
    return kind == "plan" || kind == "protectors" || kind == "site" || kind == "study" ||
           kind == "setup" || kind == "response";
}

/// None for a file that is no card but belongs to a study.
std::optional<Sequence> read_card_in_folder(const std::string& path, TextInputs& inputs,
                                            ErrorList& errors) {
    static_cast<void>(inputs.text(path, {path}, largest_card));
    const TomlTable document = read_toml(path, inputs);
    if (is_other_kind(document)) return std::nullopt;
    return read_sequence_card(document, path, errors);
}

bool has_spectrum(const Sequence& card) {
    return hold_all_from_125_Hz(card.levels.a_weighted_octaves().bands());
}

/// The card that another names in `spectrum_like`.
const Sequence& spectrum_for(const Sequence& card, const std::vector<Sequence>& cards) {
    const auto refuse = [&](std::string_view why) {
        throw InputError(
            card.spectrum_like_at,
            fmt::format("\"spectrum_like\" is \"{}\", {}; accepted: the id of another card of this "
                        "folder with octave bands of its own from 125 to 8000 Hz",
                        card.spectrum_like, why));
    };
    if (card.spectrum_like == card.id) refuse("the card itself");
    const auto found = std::ranges::find(cards, card.spectrum_like, &Sequence::id);
    if (found == cards.end()) {
        const auto ids = ids_of(cards, has_spectrum);
        throw unknown_id("sequence", {card.spectrum_like, card.spectrum_like_at}, ids,
                         "no card of this folder has octave bands from 125 to 8000 Hz");
    }
    if (!found->spectrum_like.empty()) refuse("which has its bands from another card itself");
    if (!has_spectrum(*found)) refuse("which has no octave bands from 125 to 8000 Hz");
    return *found;
}

void borrow_spectrum(Sequence& card, const std::vector<Sequence>& cards,
                     const std::vector<SoundLevels>& spectra, const ErrorList& errors) {
    const bool known = std::ranges::find(cards, card.spectrum_like, &Sequence::id) != cards.end();
    if (!known && errors.may_have_lost("sequence")) return;  // perhaps one that could not be read
    const SoundLevels& other = spectrum_for(card, cards).levels;
    const LevelDifference louder = card.levels.LAeq - other.LAeq;
    card.levels.octave = other.octave.shifted(louder);
    card.levels.octave_A = other.octave_A.shifted(louder);
    card.levels.borrowed = std::make_shared<const BorrowedSpectrum>(
        BorrowedSpectrum{.card = card.spectrum_like, .others = spectra});
}

/// Puts the bands of the cards that `spectrum_like` names where they are asked for.
void borrow_spectra(std::vector<Sequence>& cards, ErrorList& errors) {
    std::vector<SoundLevels> spectra;
    for (const Sequence& card : cards)
        if (has_spectrum(card)) spectra.push_back(card.levels);
    const std::vector<Sequence> as_stated = cards;
    for (Sequence& card : cards) {
        if (card.spectrum_like.empty()) continue;
        errors.attempt([&] { borrow_spectrum(card, as_stated, spectra, errors); });
    }
}

}  // namespace

bool is_read_in_folder(const std::filesystem::path& path) {
    // Hidden files are what editors and file managers leave behind.
    const bool hidden = path.filename().string().starts_with('.');
    return !hidden && path.extension() == ".toml";
}

std::vector<Sequence> read_sequence_folder(const std::string& folder,
                                           const SourcePosition& named_at, TextInputs& inputs,
                                           ErrorList& errors) {
    std::vector<Sequence> sequences;
    std::map<std::string, std::string> path_of_id;
    errors.list_folder(folder);
    inputs.refuse_outside(folder, named_at);
    for (const std::string& path : toml_files(folder, named_at)) {
        std::optional<Sequence> sequence;
        const bool is_right =
            errors.attempt([&] { sequence = read_card_in_folder(path, inputs, errors); });
        if (!sequence && !is_right) errors.lose("sequence", std::nullopt);
        if (!sequence) continue;
        const auto [known, is_new] = path_of_id.emplace(sequence->id, path);
        if (!is_new && !sequence->id.empty()) {
            errors.add(
                {{path},
                 fmt::format("the id \"{}\" is also that of \"{}\"; accepted: each id on one card",
                             sequence->id, known->second)});
            errors.lose("sequence", std::nullopt);
        }
        sequences.push_back(*std::move(sequence));
    }
    borrow_spectra(sequences, errors);
    return sequences;
}

CardInFolder read_sequence_card_in_folder(const std::string& path, TextInputs& inputs,
                                          SequenceFolders& folders) {
    Sequence card = read_sequence_card(read_toml(path, inputs), path);
    if (card.spectrum_like.empty()) return {std::move(card), {}};
    const std::string folder = folder_of(path);
    auto cards = folders.find(folder);
    if (cards == folders.end()) {
        auto read = without_mistakes([&](ErrorList& errors) {
            return read_sequence_folder(folder, card.spectrum_like_at, inputs, errors);
        });
        cards = folders.emplace(folder, std::move(read)).first;
    }
    const auto found = std::ranges::find(cards->second, card.id, &Sequence::id);
    // A hidden file, or one with another ending, is not among them.
    if (found == cards->second.end()) {
        throw InputError(card.spectrum_like_at,
                         "\"spectrum_like\" needs the card to be among others of its folder; "
                         "accepted: a file name that ends in .toml and does not begin with a dot");
    }
    CardInFolder result{*found, {}};
    result.sequence.stated_at = card.stated_at;
    result.sequence.spectrum_like_at = card.spectrum_like_at;
    // The spread of all spectra there counts too.
    for (const Sequence& other : cards->second)
        if (other.id != card.id) result.others.push_back(other.stated_at.file);
    return result;
}

}  // namespace earbudget::files
