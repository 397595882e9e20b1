#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "files/keys.hpp"
#include "files/written_values.hpp"
#include "tables/unit_tables.hpp"

namespace earbudget::tables {

namespace {

/// Small letters alone: "Ear muffs" is "earmuffs".
std::string letters_of(std::string_view text) {
    std::string letters;
    for (const char c : files::in_small_letters(text))
        if (c >= 'a' && c <= 'z') letters += c;
    return letters;
}

struct TypeWords {
    ProtectorType type;
    std::array<std::string_view, 9> words;
};

/// What people write for a type, in letters alone.
constexpr std::array<TypeWords, 5> type_words = {
    {{ProtectorType::FoamPlug,
      {"foam", "foamplug", "foamplugs", "foamearplug", "foamearplugs", "formableplug", "formable",
       "rolldownplug", "rolldownfoamplug"}},
     {ProtectorType::PremouldedPlug,
      {"premoulded", "premoldedplug", "premolded", "premouldedplugs", "flangedplug", "flanged",
       "premouldedplug", "reusableplug"}},
     {ProtectorType::CustomPlug,
      {"custom", "customplug", "customplugs", "custommoulded", "custommolded", "custommouldedplug",
       "custommoldedplug", "otoplastic"}},
     {ProtectorType::CanalCap, {"canalcap", "canalcaps", "bandedplug", "bandedplugs", "banded"}},
     {ProtectorType::Earmuff, {"earmuff", "earmuffs", "muff", "muffs"}}}};

std::optional<ProtectorType> type_of(std::string_view text) {
    for (const auto& row : protector_types)
        if (row.name == text) return row.key;
    const std::string letters = letters_of(text);
    for (const auto& row : protector_types)
        if (letters_of(row.name) == letters) return row.key;
    for (const TypeWords& one : type_words)
        if (!letters.empty() && std::ranges::count(one.words, letters) > 0) return one.type;
    return std::nullopt;
}

std::string accepted_types() {
    std::string names;
    for (const auto& row : protector_types)
        names += fmt::format("{}{}", names.empty() ? "" : ", ", row.name);
    return names;
}

void read_type(const TableReading& table, std::size_t row, Protector& protector) {
    const TableColumn* column = table.head.find(ColumnKey::Type);
    const std::string_view text = table.text(row, ColumnKey::Type);
    if (!column || text.empty()) {
        table.errors.add({column ? table.at(row, *column) : table.at(row),
                          fmt::format("the row states no type of protector; accepted: a column "
                                      "\"type\" with {}",
                                      accepted_types())});
    } else if (const auto type = type_of(text)) {
        protector.type = *type;
    } else {
        table.report(row, *column,
                     fmt::format("is no type of protector; accepted: {}", accepted_types()));
    }
}

const files::NumberRange& range_of(std::string_view key) {
    return files::attenuation_keys.at(key).range;
}

/// Each band has both a mean and a standard deviation.
void read_attenuation(const TableReading& table, std::size_t row, Protector& protector) {
    std::array<std::optional<double>, octave_band_count> means{}, deviations{};
    const std::size_t before = table.errors.size();
    for (const TableColumn& column : table.head.columns) {
        if (column.key == ColumnKey::Mean)
            means.at(index_of(*column.band)) = table.number(row, column, range_of("mean"));
        if (column.key == ColumnKey::Deviation)
            deviations.at(index_of(*column.band)) = table.number(row, column, range_of("sd"));
    }
    if (table.errors.size() > before) return;
    OctaveAttenuation attenuation;
    std::string incomplete;
    for (const OctaveBand band : octave_bands) {
        const auto& mean = means.at(index_of(band));
        const auto& deviation = deviations.at(index_of(band));
        if (mean.has_value() != deviation.has_value())
            incomplete += fmt::format("{}{} of {} Hz", incomplete.empty() ? "" : ", ",
                                      mean ? "sd" : "mean", name_of(band));
        if (mean && deviation)
            attenuation.set(band, LevelDifference(*mean), LevelDifference(*deviation));
    }
    if (!incomplete.empty()) {
        table.errors.add({table.at(row), fmt::format("the row lacks {}; accepted: mean and sd of "
                                                     "each band, or neither",
                                                     incomplete)});
    } else if (attenuation.bands().any()) {
        protector.octave = attenuation;
    }
}

std::optional<bool> flag_in(const TableReading& table, std::size_t row, ColumnKey key) {
    const TableColumn* column = table.head.find(key);
    return column ? table.flag(row, *column) : std::nullopt;
}

void read_protector(const TableReading& table, std::size_t row, UnitTables& tables) {
    Protector protector{.id = {}, .title = {}};
    read_type(table, row, protector);
    read_attenuation(table, row, protector);
    for (const TableColumn& column : table.head.columns) {
        if (column.key != ColumnKey::Rating) continue;
        const RatingRow& rating = rating_rows[*column.rating];
        if (const auto value = table.number(row, column, range_of(rating.name)))
            protector.ratings.*rating.value = LevelDifference(*value);
    }
    protector.fits_head_coil = flag_in(table, row, ColumnKey::FitsHeadCoil);
    protector.metal_free = flag_in(table, row, ColumnKey::MetalFree);
    auto named = id_and_title(table, row, tables);
    if (!named) return;
    const auto twice = std::ranges::find_if(tables.protectors, [&](const ProtectorRow& other) {
        return other.protector.id == named->id;
    });
    if (twice != tables.protectors.end()) {
        table.errors.add({table.at(row),
                          fmt::format("the id \"{}\" stands twice, first at {}; accepted: each id "
                                      "once",
                                      named->id, twice->at.text())});
        return;
    }
    protector.id = std::move(named->id);
    protector.title = std::move(named->title);
    tables.protectors.push_back({std::move(protector), table.at(row)});
}

}  // namespace

void read_protectors(const TableReading& table, UnitTables& tables) {
    for (std::size_t row = table.head.row + 1; row < table.cells.rows.size(); ++row)
        if (!is_empty_row(table.cells, row)) read_protector(table, row, tables);
}

}  // namespace earbudget::tables
