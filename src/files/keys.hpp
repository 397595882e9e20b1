#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/acoustics/sound_levels.hpp"
#include "earbudget/protection/derating.hpp"
#include "earbudget/protection/protector.hpp"
#include "files/text_inputs.hpp"
#include "files/toml_tree.hpp"

namespace earbudget::files {

// What the keys of all files of the program are, once: the readers take type and range from here,
// and so do their hints, the tables in docs/files.md and the schemas in docs/schemas/inputs/.

/// Numbers that a key accepts, both ends included, and their unit for messages ("dB", "", …).
struct NumberRange {
    double lowest = 0.0;
    double highest = 0.0;
    std::string_view unit = {};
};

/// The range of every level in a file.
inline constexpr NumberRange level_range{lowest_level_dB, highest_level_dB, "dB"};
/// Of plans and reviews alike. Own choices: of sessions of a quarter of an hour no more than 96 fit
/// into a day; less than one day a week is a day every few weeks, and none at all would be no
/// exposure.
inline constexpr NumberRange sessions_per_day_range{1.0, 100.0, ""};
inline constexpr NumberRange days_per_week_range{0.01, 7.0, "days"};

/// Texts that a key accepts.
using Words = std::vector<std::string_view>;

struct KeyTable;

/// A key of a table of a file.
struct Key {
    /// The value that is accepted. Beside a number a word may stand, and beside a word a table.
    enum class Type {
        Text,
        Id,
        Word,
        Flag,
        Number,
        Count,
        Duration,
        Texts,
        Numbers,
        Table,
        Tables
    };

    std::string_view name;
    Type type;
    std::string_view doc;               ///< what it says, in one line of Markdown
    std::string_view when_absent = {};  ///< `needed`, or what then counts; empty: nothing does
    NumberRange range = {};             ///< of a Number, a Count and Numbers
    Words (*words)() = nullptr;         ///< the only texts accepted, where there are such
    const KeyTable* table = nullptr;    ///< the keys of the table, or of each of several
    std::size_t most = 0;               ///< entries of an array
    bool or_one = false;                ///< of Texts: a text alone is a list of one
};

/// `when_absent` of a key that must be stated.
inline constexpr std::string_view needed = "needed";

/// Rows of tables of keys, each with what its type needs.
namespace row {

using Doc = std::string_view;
using Type = Key::Type;

constexpr Key text(Doc name, Doc doc, Doc when_absent = {}) {
    return {name, Type::Text, doc, when_absent};
}
/// A text, or a table that says more.
constexpr Key text_or_table(Doc name, const KeyTable* keys, Doc doc) {
    return {name, Type::Text, doc, {}, {}, nullptr, keys};
}
constexpr Key id(Doc name, Doc doc, Doc when_absent = {}) {
    return {name, Type::Id, doc, when_absent};
}
constexpr Key flag(Doc name, Doc doc, Doc when_absent = {}) {
    return {name, Type::Flag, doc, when_absent};
}
constexpr Key duration(Doc name, Doc doc, Doc when_absent = {}) {
    return {name, Type::Duration, doc, when_absent};
}
constexpr Key word(Doc name, Words (*words)(), Doc doc, Doc when_absent = {},
                   const KeyTable* table = nullptr) {
    return {name, Type::Word, doc, when_absent, {}, words, table};
}
constexpr Key number(Doc name, NumberRange range, Doc doc, Doc when_absent = {},
                     Words (*words)() = nullptr) {
    return {name, Type::Number, doc, when_absent, range, words};
}
constexpr Key count(Doc name, NumberRange range, Doc doc, Doc when_absent = {}) {
    return {name, Type::Count, doc, when_absent, range};
}
constexpr Key texts(Doc name, Doc doc, Doc when_absent = {}, Words (*words)() = nullptr,
                    std::size_t most = most_values) {
    return {name, Type::Texts, doc, when_absent, {}, words, nullptr, most};
}
constexpr Key texts_or_one(Doc name, Doc doc) {
    return {name, Type::Texts, doc, {}, {}, nullptr, nullptr, most_values, true};
}
constexpr Key numbers(Doc name, NumberRange range, Doc doc) {
    return {name, Type::Numbers, doc, {}, range, nullptr, nullptr, most_values};
}
constexpr Key table(Doc name, const KeyTable* keys, Doc doc, Doc when_absent = {}) {
    return {name, Type::Table, doc, when_absent, {}, nullptr, keys};
}
constexpr Key tables(Doc name, const KeyTable* keys, std::size_t most, Doc doc,
                     Doc when_absent = {}) {
    return {name, Type::Tables, doc, when_absent, {}, nullptr, keys, most};
}

/// A row for each octave band.
constexpr auto bands(NumberRange range) {
    std::array<Key, octave_band_count> rows{};
    for (std::size_t n = 0; n < rows.size(); ++n)
        rows[n] = number(octave_band_names[n], range, "octave band of this mid-band frequency, Hz");
    return rows;
}

}  // namespace row

/// The keys of a table.
struct KeyTable {
    std::string_view name;  ///< in docs and schemas: "levels", "person", …
    std::span<const Key> own;
    const KeyTable* before = nullptr;  ///< whose keys are accepted too, and named before these
    const KeyTable* after = nullptr;   ///< the same, named after these
    const KeyTable* last = nullptr;    ///< the same, named after those
    const Key* any = nullptr;          ///< what keys of every other name are; null: not accepted

    /// The tables that this one consists of, in the order in which messages name their keys; itself
    /// among them.
    [[nodiscard]] std::vector<const KeyTable*> parts() const;

    /// All keys, in the order in which messages name them.
    [[nodiscard]] std::vector<std::string> names() const;
    /// None for a name that is not among them, where no other is accepted.
    [[nodiscard]] const Key* find(std::string_view name) const;
    /// Throws std::logic_error for a name that is not among them.
    [[nodiscard]] const Key& at(std::string_view name) const;
};

// Whole files.
extern const KeyTable card_file, catalogue_file, plan_file, site_file, study_file, setup_file,
    response_file;
inline constexpr std::array all_files = {&card_file,  &catalogue_file, &plan_file,    &site_file,
                                         &study_file, &setup_file,     &response_file};
// Tables that several files, or several tables, hold.
extern const KeyTable file_keys, level_keys, octave_keys, transmission_keys, position_keys,
    attenuation_keys, protector_keys;
// Tables of a plan.
extern const KeyTable policy_keys, person_keys, match_keys, criterion_keys, derating_keys;

/// The names of rows.
template <class Rows>
[[nodiscard]] Words names_of(const Rows& rows) {
    Words words;
    for (const auto& row : rows)
        words.push_back(row.name);
    return words;
}

/// The same, for rows of tables of keys.
template <const auto& Rows>
[[nodiscard]] Words words_of() {
    return names_of(Rows);
}

/// `"a", "b" or "c"`.
[[nodiscard]] std::string one_of(const Words& words);

/// "0 to 80 dB".
[[nodiscard]] std::string text_of(const NumberRange& range);

/// The numbers that a key accepts, for messages: "a number from 0 to 80 dB".
[[nodiscard]] std::string accepted_number(const Key& key);

/// All that a key accepts, for messages.
[[nodiscard]] std::string accepted_by(const Key& key);

// What a key has as its value. Each throws InputError for a value of another type or out of range.

[[nodiscard]] InputError wrong_type(const TomlValue& value, const Key& key,
                                    std::string_view accepted);
[[nodiscard]] double number_of(const TomlValue& value, const Key& key);
[[nodiscard]] unsigned count_of(const TomlValue& value, const Key& key);
[[nodiscard]] bool flag_of(const TomlValue& value, const Key& key);
[[nodiscard]] const std::string& text_of(const TomlValue& value, const Key& key);
/// Refuses what is none of the key's words, where it has such.
void check_is_one_of(const TomlValue& value, const Key& key);
/// A text in one line, without control characters, and where the key has words one of them.
[[nodiscard]] const std::string& line_of(const TomlValue& value, const Key& key);
/// `accepted` is for messages.
[[nodiscard]] const TomlArray& array_of(const TomlValue& value, const Key& key,
                                        std::string_view accepted);

}  // namespace earbudget::files
