#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "files/written_values.hpp"
#include "tables/unit_tables.hpp"

namespace earbudget::tables {

namespace {

struct RoleWords {
    Role role;
    std::array<std::string_view, 9> words;
};

/// What people write for a role.
constexpr std::array<RoleWords, 3> role_words = {
    {{Role::Participant, {"participant", "participants", "subject", "volunteer", "patient"}},
     {Role::Staff,
      {"staff", "operator", "radiographer", "technologist", "technician", "nurse", "worker",
       "physicist", "employee"}},
     {Role::Accompanying,
      {"accompanying", "accompanying person", "companion", "parent", "carer", "visitor"}}}};

std::optional<Role> role_of(std::string_view text) {
    const std::string small = files::in_small_letters(text);
    for (const RoleWords& one : role_words)
        if (std::ranges::count(one.words, small) > 0) return one.role;
    return std::nullopt;
}

/// "plug + muff", "plug, muff", "none".
std::vector<std::string> things_in(std::string_view cell) {
    constexpr std::array<std::string_view, 3> nothing = {"none", "nothing", "no"};
    std::vector<std::string> things;
    if (is_blank_cell(cell) || std::ranges::count(nothing, files::in_small_letters(cell)) > 0)
        return things;
    while (!cell.empty()) {
        const std::size_t end = std::min(cell.find_first_of("+,;&"), cell.size());
        const std::string_view thing = files::trimmed(cell.substr(0, end));
        if (!thing.empty()) things.emplace_back(thing);
        cell.remove_prefix(std::min(end + 1, cell.size()));
    }
    return things;
}

void read_person(const TableReading& table, std::size_t row, UnitTables& tables) {
    PersonRow person{.id = {}, .wears_at = table.at(row)};
    const TableColumn* role = table.head.find(ColumnKey::Role);
    const std::string_view stated = table.text(row, ColumnKey::Role);
    if (!role || stated.empty()) {
        table.errors.add({role ? table.at(row, *role) : table.at(row),
                          "the row states no role; accepted: a column \"role\" with participant, "
                          "staff or accompanying"});
    } else if (const auto known = role_of(stated)) {
        person.role = *known;
    } else {
        table.report(row, *role, "is no role; accepted: participant, staff or accompanying");
    }
    if (const TableColumn* age = table.head.find(ColumnKey::AgeGroup)) {
        const std::string word = files::in_small_letters(table.text(row, ColumnKey::AgeGroup));
        if (!word.empty()) person.age_group = age_groups.parse(word);
        if (!word.empty() && !person.age_group)
            table.report(row, *age, "is no age group; accepted: adult, teenager, child, neonate");
    }
    if (const TableColumn* wears = table.head.find(ColumnKey::Wears)) {
        person.wears = things_in(table.cells.at(row, wears->index));
        person.wears_at = table.at(row, *wears);
    }
    auto named = id_and_title(table, row, tables);
    if (!named) return;
    const auto twice = std::ranges::find(tables.people, named->id, &PersonRow::id);
    if (twice != tables.people.end()) {
        table.errors.add({table.at(row),
                          fmt::format("the id \"{}\" stands twice, first in row {}; accepted: each "
                                      "person once",
                                      named->id, twice->wears_at.line)});
        return;
    }
    person.id = std::move(named->id);
    tables.people.push_back(std::move(person));
}

}  // namespace

void read_people(const TableReading& table, UnitTables& tables) {
    for (std::size_t row = table.head.row + 1; row < table.cells.rows.size(); ++row)
        if (!is_empty_row(table.cells, row)) read_person(table, row, tables);
}

}  // namespace earbudget::tables
