#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "earbudget/study/visible_text.hpp"
#include "files/ids.hpp"
#include "tables/decoded_text.hpp"
#include "tables/unit_tables.hpp"

namespace earbudget::tables {

namespace {

using Units = std::vector<std::string_view>;

/// Those that a column may have, beside none.
Units units_of(ColumnKey key) {
    switch (key) {
        case ColumnKey::Duration:
        case ColumnKey::RestAfter:
            return {"s", "min", "h", "ms", "min:s", "h:min:s", "h:min"};
        case ColumnKey::LAeq:
            return {"db", "dba"};
        case ColumnKey::LCeq:
        case ColumnKey::LCpeak:
            return {"db", "dbc"};
        case ColumnKey::LZpeak:
        case ColumnKey::Band:
            return {"db", "dbz"};
        case ColumnKey::Uncertainty:
        case ColumnKey::Rating:
        case ColumnKey::Mean:
        case ColumnKey::Deviation:
            return {"db"};
        case ColumnKey::Id:
        case ColumnKey::Title:
        case ColumnKey::Repeat:
        case ColumnKey::Type:
        case ColumnKey::FitsHeadCoil:
        case ColumnKey::MetalFree:
        case ColumnKey::Role:
        case ColumnKey::AgeGroup:
        case ColumnKey::Wears:
            return {};
    }
    return {};
}

}  // namespace

void check_units(const TableReading& table) {
    for (const TableColumn& column : table.head.columns) {
        const Units units = units_of(column.key);
        if (column.unit.empty() || std::ranges::count(units, column.unit) > 0) continue;
        table.errors.add({table.at(table.head.row, column),
                          fmt::format("the heading \"{}\" states the unit {}; accepted: {}",
                                      column.name, column.unit,
                                      units.empty() ? std::string("no unit")
                                      : column.key == ColumnKey::Uncertainty
                                          ? std::string("db, the standard uncertainty (k = 1)")
                                          : fmt::format("{}, or none", fmt::join(units, ", ")))});
    }
}

std::optional<IdAndTitle> id_and_title(const TableReading& table, std::size_t row,
                                       UnitTables& tables) {
    IdAndTitle result{.id = std::string(table.text(row, ColumnKey::Id)),
                      .title = std::string(table.text(row, ColumnKey::Title))};
    if (result.id.empty() && result.title.empty()) {
        table.errors.add({table.at(row),
                          "the row has neither an id nor a title; accepted: at least one of them"});
        return std::nullopt;
    }
    if (result.id.empty()) {
        result.id = id_from_title(result.title);
        tables.notes.push_back(fmt::format("{}: the id \"{}\" is made of the title \"{}\"",
                                           table.at(row).text(), result.id, result.title));
    }
    if (const auto why = files::why_no_id(result.id)) {
        table.report(row, *table.head.find(ColumnKey::Id),
                     fmt::format("is no id{}; accepted: {}", *why, files::accepted_ids));
        return std::nullopt;
    }
    if (result.title.empty()) result.title = result.id;
    return result;
}

void read_table(const std::string& path, files::TextInputs& inputs, UnitTables& tables,
                files::ErrorList& errors) {
    const DecodedText decoded = decoded_text(inputs.text(path, {path}), path);
    if (!decoded.note.empty()) tables.notes.push_back(decoded.note);
    const std::size_t before = errors.size();
    const Cells cells = cells_of(decoded.text, path, errors);
    if (errors.size() > before) return;
    const TableHead head = head_of(cells, path, errors);
    for (const std::string& heading : head.left_out)
        tables.notes.push_back(fmt::format("{}: the column \"{}\" is left out, as its # asks for",
                                           visible_text(path), heading));
    const TableReading table(path, cells, head, errors);
    check_units(table);
    bool any = false;
    for (std::size_t row = head.row + 1; row < cells.rows.size(); ++row)
        any = any || !is_empty_row(cells, row);
    if (!any)
        throw InputError({path}, fmt::format("{} without a row; accepted: rows below the headings",
                                             name_of(head.kind)));
    if (head.kind == TableKind::Sequences) read_sequences(table, tables);
    if (head.kind == TableKind::Protectors) read_protectors(table, tables);
    if (head.kind == TableKind::People) read_people(table, tables);
}

}  // namespace earbudget::tables
