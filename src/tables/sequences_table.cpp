#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "earbudget/study/sequence.hpp"
#include "earbudget/study/visible_text.hpp"
#include "files/written_values.hpp"
#include "report/words/words.hpp"
#include "tables/unit_tables.hpp"

namespace earbudget::tables {

namespace {

/// A level of a column in the range of its key in files.
template <class Level>
std::optional<Level> level_in(const TableReading& table, std::size_t row, ColumnKey key) {
    const TableColumn* column = table.head.find(key);
    const auto value = column ? table.number(row, *column, files::level_range) : std::nullopt;
    return value ? std::optional(Level(*value)) : std::nullopt;
}

OctaveLevelsZ bands_in(const TableReading& table, std::size_t row) {
    OctaveLevelsZ bands;
    for (const TableColumn& column : table.head.columns) {
        if (column.key != ColumnKey::Band) continue;
        if (const auto value = table.number(row, column, files::level_range))
            bands.set(*column.band, LevelZ(*value));
    }
    return bands;
}

/// Where what contradicts itself stands: the column of its key, else the row.
SourcePosition place_of(const TableReading& table, std::size_t row, const std::string& key) {
    for (const TableColumn& column : table.head.columns) {
        const bool is_it = (key == "LAeq" && column.key == ColumnKey::LAeq) ||
                           (key == "LCeq" && column.key == ColumnKey::LCeq) ||
                           (key == "LCpeak" && column.key == ColumnKey::LCpeak) ||
                           (key == "LZpeak" && column.key == ColumnKey::LZpeak) ||
                           (key == "octave" && column.key == ColumnKey::Band) ||
                           (key == "uncertainty" && column.key == ColumnKey::Uncertainty);
        if (is_it) return table.at(row, column);
    }
    return table.at(row);
}

/// None where the row states no level at all.
std::optional<SoundLevels> levels_in(const TableReading& table, std::size_t row) {
    SoundLevels levels{.LAeq = LevelA(0.0)};
    const std::size_t before = table.errors.size();
    const auto LAeq = level_in<LevelA>(table, row, ColumnKey::LAeq);
    levels.LCeq = level_in<LevelC>(table, row, ColumnKey::LCeq);
    levels.LCpeak = level_in<PeakLevelC>(table, row, ColumnKey::LCpeak);
    levels.LZpeak = level_in<PeakLevelZ>(table, row, ColumnKey::LZpeak);
    levels.octave = bands_in(table, row);
    if (const TableColumn* column = table.head.find(ColumnKey::Uncertainty)) {
        const auto value = table.number(row, *column, files::level_keys.at("uncertainty").range);
        if (value) levels.uncertainty = LevelDifference(*value);
    }
    if (LAeq && !(*LAeq > LevelA(0.0))) {
        table.report(row, *table.head.find(ColumnKey::LAeq),
                     "is no level of a sequence; accepted: above 0 dB, or an empty cell where it is "
                     "not known");
    }
    if (table.errors.size() > before) return std::nullopt;
    const bool states = levels.LCeq || levels.LCpeak || levels.LZpeak || levels.uncertainty;
    if (!LAeq && levels.octave.empty() && !states) return std::nullopt;
    if (!LAeq && levels.octave.empty()) {
        table.errors.add({table.at(row),
                          "the row states levels, but neither LAeq nor octave bands; accepted: at "
                          "least one of them, or no level at all"});
        return std::nullopt;
    }
    levels.LAeq = LAeq ? *LAeq : *levels.a_weighted_octaves().sum();
    if (const auto contradiction = contradiction_in(levels)) {
        table.errors.add({place_of(table, row, contradiction->key), text_of(contradiction->says)});
        return std::nullopt;
    }
    return levels;
}

std::optional<Seconds> time_in(const TableReading& table, std::size_t row, ColumnKey key) {
    const TableColumn* column = table.head.find(key);
    return column ? table.duration(row, *column) : std::nullopt;
}

/// As spreadsheets call their last row, in English, German, French, Spanish and Italian.
bool is_name_of_sum(std::string_view title) {
    constexpr std::array<std::string_view, 9> names = {
        "total", "sum", "totals", "all", "summe", "gesamt", "insgesamt", "somme", "totale"};
    return std::ranges::find(names, files::in_small_letters(title)) != names.end();
}

void read_sequence(const TableReading& table, std::size_t row, UnitTables& tables) {
    SequenceRow sequence{.id = {}, .title = {}, .at = table.at(row)};
    sequence.levels = levels_in(table, row);
    sequence.duration = time_in(table, row, ColumnKey::Duration);
    if (sequence.duration && *sequence.duration <= Seconds(0.0)) {
        table.report(row, *table.head.find(ColumnKey::Duration),
                     "is no time to run; accepted: longer than 0 s");
    }
    sequence.rest_after = time_in(table, row, ColumnKey::RestAfter);
    if (sequence.rest_after && *sequence.rest_after <= Seconds(0.0)) sequence.rest_after.reset();
    if (const TableColumn* column = table.head.find(ColumnKey::Repeat))
        sequence.repeat = table.count(row, *column).value_or(1);
    auto named = id_and_title(table, row, tables);
    if (!named) return;
    if (!sequence.levels && is_name_of_sum(named->title)) {
        table.errors.add({table.at(row), fmt::format("the row \"{}\" looks like the sum of the "
                                                     "others; accepted: a row a sequence",
                                                     visible_text(named->title))});
        return;
    }
    sequence.id = std::move(named->id);
    sequence.title = std::move(named->title);
    tables.sequences.push_back(std::move(sequence));
}

}  // namespace

void read_sequences(const TableReading& table, UnitTables& tables) {
    for (std::size_t row = table.head.row + 1; row < table.cells.rows.size(); ++row)
        if (!is_empty_row(table.cells, row)) read_sequence(table, row, tables);
}

}  // namespace earbudget::tables
