#include "desk/sounds_fields.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>

#include <fmt/format.h>

#include "earbudget/study/visible_text.hpp"
#include "files/written_values.hpp"

namespace earbudget::desk {

namespace {

using files::Key;
using files::TomlArray;
using files::TomlEntry;
using files::TomlTable;
using files::TomlValue;

bool has_field(const Key& key) {
    return key.type != Key::Type::Numbers && key.type != Key::Type::Tables;
}

void add_fields(const files::KeyTable& keys, const editing::Path& table, const std::string& before,
                const std::vector<std::string_view>& left_out, std::vector<KeyField>& fields) {
    for (const std::string& name : keys.names()) {
        const Key& key = keys.at(name);
        const std::string whole = before + name;
        if (!has_field(key) || std::ranges::find(left_out, whole) != left_out.end()) continue;
        if (key.type == Key::Type::Table) {
            add_fields(*key.table, table / name, whole + ".", left_out, fields);
        } else {
            fields.push_back({whole, table, &key});
        }
    }
}

/// One text a line.
std::string lines_of(const TomlArray& array) {
    std::string lines;
    for (const TomlValue& value : array)
        if (const auto* text = std::get_if<std::string>(&value.content))
            lines += (lines.empty() ? "" : "\n") + *text;
    return lines;
}

struct Shown {
    std::string operator()(bool flag) const { return flag ? "true" : "false"; }
    std::string operator()(std::int64_t number) const { return fmt::format("{}", number); }
    std::string operator()(double number) const { return shown_number(number); }
    std::string operator()(const std::string& text) const { return text; }
    std::string operator()(const files::TomlDate&) const { return ""; }
    std::string operator()(const TomlArray& array) const { return lines_of(array); }
    std::string operator()(const TomlTable&) const { return ""; }
};

std::vector<std::string> typed_lines(const std::string& text) {
    std::vector<std::string> lines;
    std::size_t at = 0;
    while (at <= text.size()) {
        const std::size_t end = std::min(text.find('\n', at), text.size());
        const std::string line(files::trimmed(std::string_view(text).substr(at, end - at)));
        if (!line.empty()) lines.push_back(line);
        at = end + 1;
    }
    return lines;
}

editing::Value value_typed(const Key& key, const std::string& text) {
    if (key.type == Key::Type::Flag && (text == "true" || text == "false")) return text == "true";
    if (key.type == Key::Type::Texts) return typed_lines(text);
    if (key.type != Key::Type::Number && key.type != Key::Type::Count) return text;
    const auto number = typed_number(text);
    if (!number) return text;
    constexpr double largest_whole = 1e15;
    if (key.type == Key::Type::Count && *number == std::floor(*number) &&
        std::abs(*number) < largest_whole)
        return static_cast<std::int64_t>(*number);
    return *number;
}

/// Whether a place is in one line with another, and not before it.
bool is_behind(const SourcePosition& place, const SourcePosition& other) {
    return place.line == other.line && place.column >= other.column;
}

const std::string no_text;

const std::string& text_at(const Typed& values, const std::string& name) {
    const auto found = values.find(name);
    return found == values.end() ? no_text : found->second;
}

/// As a browser sends it back.
std::string as_sent(const std::string& value) {
    std::string sent;
    for (const std::string& line : typed_lines(value))
        sent += (sent.empty() ? "" : "\n") + visible_text(line);
    return sent;
}

/// The field whose key stands closest before a mistake in its line; null for none.
const KeyField* field_at(const SourcePosition& place, const TomlTable& document,
                         const std::vector<KeyField>& fields) {
    const KeyField* nearest = nullptr;
    unsigned column = 0;
    for (const KeyField& field : fields) {
        const TomlEntry* entry = entry_in(document, field.table, field.key->name);
        if (!entry || !is_behind(place, entry->position) || entry->position.column < column)
            continue;
        nearest = &field;
        column = entry->position.column;
    }
    return nearest;
}

/// The name of the field that a mistake is of; empty for none.
std::string name_at(const SourcePosition& place, const TomlTable& document,
                    const std::vector<KeyField>& fields, const Places& places) {
    for (const auto& [stands_at, name] : places)
        if (stands_at.line == place.line && stands_at.column == place.column) return name;
    const KeyField* field = field_at(place, document, fields);
    return field ? field->name : std::string();
}

}  // namespace

std::vector<KeyField> fields_of(const files::KeyTable& keys, const editing::Path& table,
                                const std::vector<std::string_view>& left_out) {
    std::vector<KeyField> fields;
    add_fields(keys, table, "", left_out, fields);
    return fields;
}

const TomlTable* table_in(const TomlTable& document, const editing::Path& path) {
    const TomlTable* table = &document;
    const auto& steps = path.steps();
    for (std::size_t n = 0; n < steps.size(); ++n) {
        const auto& name = std::get<std::string>(steps[n]);
        const auto entry = std::ranges::find(table->entries, name, &TomlEntry::key);
        if (entry == table->entries.end()) return nullptr;
        const TomlValue* value = &entry->value;
        if (const auto* array = std::get_if<TomlArray>(&value->content)) {
            if (++n >= steps.size() || !std::holds_alternative<std::size_t>(steps[n]))
                return nullptr;
            const std::size_t index = std::get<std::size_t>(steps[n]);
            if (index >= array->size()) return nullptr;
            value = &(*array)[index];
        }
        table = std::get_if<TomlTable>(&value->content);
        if (!table) return nullptr;
    }
    return table;
}

const TomlEntry* entry_in(const TomlTable& document, const editing::Path& path,
                          std::string_view key) {
    const TomlTable* table = table_in(document, path);
    if (!table) return nullptr;
    const auto entry = std::ranges::find(table->entries, key, &TomlEntry::key);
    return entry == table->entries.end() ? nullptr : &*entry;
}

Typed shown_values(const TomlTable& document, const std::vector<KeyField>& fields) {
    Typed values;
    for (const KeyField& field : fields)
        if (const TomlEntry* entry = entry_in(document, field.table, field.key->name))
            values[field.name] = std::visit(Shown(), entry->value.content);
    return values;
}

Typed typed_values(const Form& form, const std::vector<KeyField>& fields) {
    Typed values;
    for (const KeyField& field : fields) {
        if (!form.has(field.name)) continue;
        std::string text;
        for (const std::string& one : form.all(field.name))
            text += (text.empty() ? "" : "\n") + one;
        std::erase(text, '\r');
        values[field.name] = files::trimmed(text);
    }
    return values;
}

std::vector<editing::Edit> edits_between(const Typed& shown, const Typed& typed,
                                         const std::vector<KeyField>& fields) {
    std::vector<editing::Edit> edits;
    for (const KeyField& field : fields) {
        const auto now = typed.find(field.name);
        if (now == typed.end() || now->second == as_sent(text_at(shown, field.name))) continue;
        const std::string key(field.key->name);
        if (now->second.empty()) {
            edits.emplace_back(editing::Remove{field.table, key});
        } else {
            edits.emplace_back(
                editing::Set{field.table, key, value_typed(*field.key, now->second)});
        }
    }
    return edits;
}

const std::string& Mistakes::of(const std::string& name) const {
    const auto found = at.find(name);
    return found == at.end() ? no_text : found->second;
}

void sort_mistakes(const files::InputErrors& errors, const std::string& path,
                   const TomlTable& document, const std::vector<KeyField>& fields,
                   const Places& places, Mistakes& mistakes) {
    for (const InputError& error : errors.all()) {
        const bool is_here = error.position().file.text() == path;
        const std::string name = is_here ? name_at(error.position(), document, fields, places) : "";
        if (!name.empty() && !mistakes.at.contains(name)) {
            mistakes.at[name] = error.message();
        } else {
            mistakes.others.emplace_back(is_here ? error.message() : error.what());
        }
    }
    if (errors.unlisted() > 0)
        mistakes.others.push_back(fmt::format("and {} more", errors.unlisted()));
}

std::optional<double> typed_number(std::string_view text) {
    double value = 0.0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    const bool whole = error == std::errc() && end == text.data() + text.size();
    return whole && std::isfinite(value) ? std::optional(value + 0.0) : std::nullopt;
}

std::string shown_number(double value) { return fmt::format("{}", value + 0.0); }

}  // namespace earbudget::desk
