#include <algorithm>
#include <stdexcept>

#include "editing/splices.hpp"

namespace earbudget::editing {

using files::TomlArray;
using files::TomlEntry;
using files::TomlTable;
using files::TomlValue;

namespace {

TomlValue* value_of(TomlTable& table, const std::string& key) {
    const auto entry = std::ranges::find(table.entries, key, &TomlEntry::key);
    return entry == table.entries.end() ? nullptr : &entry->value;
}

/// The value of a key, which is this one where there is none.
TomlValue& value_or(TomlTable& table, const std::string& key, TomlValue none) {
    if (TomlValue* value = value_of(table, key)) return *value;
    table.entries.push_back({key, {}, std::move(none)});
    return table.entries.back().value;
}

/// The table that the first so many steps lead to, made where there is none.
TomlTable& table_at(TomlTable& document, const Path& path, std::size_t steps) {
    TomlTable* table = &document;
    for (std::size_t n = 0; n < steps; ++n) {
        TomlValue* value =
            &value_or(*table, std::get<std::string>(path.steps()[n]), {{}, TomlTable{}});
        if (auto* array = std::get_if<TomlArray>(&value->content))
            value = &array->at(std::get<std::size_t>(path.steps()[++n]));
        table = &std::get<TomlTable>(value->content);
    }
    return *table;
}

/// The entries of an array of tables, and the table that it is in.
struct Entries {
    Entries(TomlTable& document, const Path& path)
        : around(table_at(document, path, path.steps().size() - 1)),
          key(std::get<std::string>(path.steps().back())),
          all(std::get<TomlArray>(value_or(around, key, {{}, TomlArray{}}).content)) {}

    [[nodiscard]] TomlArray::iterator at(std::size_t index) {
        return all.begin() + static_cast<std::ptrdiff_t>(index);
    }

    TomlTable& around;
    std::string key;
    TomlArray& all;
};

void apply_to(const Set& set, TomlTable& document) {
    TomlTable& table = table_at(document, set.table, set.table.steps().size());
    const TomlValue value = read_value(set.value);
    value_or(table, set.key, value) = value;
}

void apply_to(const Remove& remove, TomlTable& document) {
    TomlTable& table = table_at(document, remove.table, remove.table.steps().size());
    std::erase_if(table.entries, [&](const TomlEntry& entry) { return entry.key == remove.key; });
}

void apply_to(const MoveEntry& move, TomlTable& document) {
    Entries entries(document, move.array);
    TomlValue moved = entries.all.at(move.from);
    entries.all.erase(entries.at(move.from));
    entries.all.insert(entries.at(move.to), std::move(moved));
}

void apply_to(const RemoveEntry& remove, TomlTable& document) {
    Entries entries(document, remove.array);
    entries.all.erase(entries.at(remove.index));
    if (!entries.all.empty()) return;
    std::erase_if(entries.around.entries,
                  [&](const TomlEntry& entry) { return entry.key == entries.key; });
}

void apply_to(const DuplicateEntry& copy, TomlTable& document) {
    Entries entries(document, copy.array);
    TomlValue copied = entries.all.at(copy.index);
    entries.all.insert(entries.at(copy.index), std::move(copied));
}

void apply_to(const InsertEntry& insert, TomlTable& document) {
    TomlTable table;
    for (const auto& [key, value] : insert.keys)
        table.entries.push_back({key, {}, read_value(value)});
    Entries entries(document, insert.array);
    entries.all.insert(entries.at(insert.index), {{}, std::move(table)});
}

}  // namespace

void apply(const Edit& edit, TomlTable& document) {
    std::visit([&](const auto& each) { apply_to(each, document); }, edit);
}

}  // namespace earbudget::editing
