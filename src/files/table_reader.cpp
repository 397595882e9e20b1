#include "files/table_reader.hpp"

#include <algorithm>
#include <stdexcept>
#include <type_traits>
#include <utility>

#include <fmt/format.h>

#include "files/ids.hpp"
#include "files/written_values.hpp"

namespace earbudget::files {

namespace {

constexpr Seconds longest_duration = Hours(1000);

}  // namespace

TableReader::TableReader(const TomlTable& table, SourcePosition position, std::string name,
                         const KeyTable& keys, ErrorList& errors)
    : table_(&table),
      errors_(&errors),
      position_(std::move(position)),
      name_(std::move(name)),
      keys_(&keys) {
    list_unknown_keys();
}

void TableReader::list_unknown_keys() {
    for (const TomlEntry& entry : table_->entries) {
        if (keys_->find(entry.key)) continue;
        if (!begun_at_) begun_at_ = errors_->size();
        const auto known = keys_->names();
        const auto nearest = errors_->is_full() ? std::nullopt : nearest_name(entry.key, known);
        if (nearest) meant_keys_.push_back(*nearest);
        errors_->add(
            {entry.position,
             fmt::format("unknown key \"{}\" in {}{}; accepted: {}", entry.key, name_,
                         nearest ? fmt::format(", the nearest known is \"{}\"", *nearest) : "",
                         fmt::join(known, ", "))});
    }
}

const TomlEntry* TableReader::find(std::string_view key) const {
    for (const TomlEntry& entry : table_->entries) {
        if (entry.key == key) return &entry;
    }
    return nullptr;
}

const TomlEntry* TableReader::take(std::string_view key) {
    static_cast<void>(keys_->at(key));
    if (!begun_at_) begun_at_ = errors_->size();
    return find(key);
}

bool TableReader::attempt(const std::function<void()>& read) {
    if (!begun_at_) begun_at_ = errors_->size();
    return errors_->attempt_since(*begun_at_, read);
}

void TableReader::refuse_absent(std::string_view key) const {
    const bool is_listed = has(key) || is_misspelt(key);
    if (!is_listed) {
        errors_->add({position_, fmt::format("{} has no \"{}\"; accepted: {}", name_, key,
                                             accepted_by(keys_->at(key)))});
    }
    throw AlreadyListed();
}

template <class Convert>
auto TableReader::converted(std::string_view name, Convert&& convert) {
    using Value = std::decay_t<decltype(convert(std::declval<const TomlValue&>(),
                                                std::declval<const Key&>()))>;
    const TomlEntry* entry = take(name);
    std::optional<Located<Value>> result;
    if (!entry) return result;
    Key key = keys_->at(name);
    key.name = name;  // which a key of any name has not
    errors_->attempt([&] {
        result = Located<Value>{convert(entry->value, key), entry->value.position};
    });
    return result;
}

std::optional<Located<double>> TableReader::number(std::string_view key) {
    return converted(key, number_of);
}

Located<double> TableReader::require_number(std::string_view key) {
    const auto found = number(key);
    if (!found) refuse_absent(key);
    return *found;
}

std::optional<Located<unsigned>> TableReader::count(std::string_view key) {
    return converted(key, count_of);
}

std::optional<Located<bool>> TableReader::boolean(std::string_view key) {
    return converted(key, flag_of);
}

std::optional<Located<std::string>> TableReader::text(std::string_view key) {
    return converted(key, line_of);
}

Located<std::string> TableReader::require_text(std::string_view key) {
    auto found = text(key);
    if (!found) refuse_absent(key);
    if (found->value.empty()) {
        report(key, fmt::format("is empty; accepted: {}", accepted_by(keys_->at(key))));
        throw AlreadyListed();
    }
    return *found;
}

std::optional<Located<Seconds>> TableReader::duration(std::string_view name) {
    return converted(name, [this](const TomlValue& value, const Key& key) {
        const std::string& text = text_of(value, key);
        const auto parsed = parse_duration(text);
        if (!parsed || !(*parsed > Seconds(0.0)) || *parsed > longest_duration) {
            refuse(key.name,
                   fmt::format("is \"{}\"{}; accepted: {}, longer than 0 s and at most 1000 h",
                               text, parsed ? "" : why_no_duration(text), accepted_durations));
        }
        if (auto note = note_on_duration(text))
            errors_->note({"duration-as-minutes", *std::move(note), value.position});
        return *parsed;
    });
}

std::optional<Located<std::vector<Located<std::string>>>> TableReader::texts(
    std::string_view name) {
    return converted(name, [this](const TomlValue& array, const Key& key) {
        std::vector<Located<std::string>> values;
        if (key.or_one && std::holds_alternative<std::string>(array.content)) {
            values.push_back({line_of(array, key), array.position});
            return values;
        }
        for (const TomlValue& value : array_of(array, key, accepted_by(key))) {
            const std::string& text = text_of(value, key);
            errors_->attempt([&] {
                check_is_one_of(value, key);
                values.push_back({text, value.position});
            });
        }
        return values;
    });
}

std::optional<Located<std::vector<Located<double>>>> TableReader::numbers(std::string_view name) {
    return converted(name, [this](const TomlValue& array, const Key& key) {
        std::vector<Located<double>> values;
        for (const TomlValue& value : array_of(array, key, accepted_by(key))) {
            errors_->attempt([&] { values.push_back({number_of(value, key), value.position}); });
        }
        return values;
    });
}

/// "person.task" of "[[person]]".
std::string TableReader::name_of_part(std::string_view key) const {
    const std::size_t first = name_.find_first_not_of('[');
    const std::string parent = first == 0 ? "" : name_.substr(first, name_.find(']') - first) + ".";
    return parent + std::string(key);
}

std::optional<TableReader> TableReader::table(std::string_view key) {
    const TomlEntry* entry = take(key);
    if (!entry) return std::nullopt;
    std::string name = fmt::format("[{}]", name_of_part(key));
    const auto* content = std::get_if<TomlTable>(&entry->value.content);
    if (!content) {
        errors_->add(wrong_type(entry->value, keys_->at(key), "a table, " + name));
        return std::nullopt;
    }
    return TableReader(*content, entry->value.position, std::move(name), *keys_->at(key).table,
                       *errors_);
}

bool TableReader::is_table(std::string_view key) const {
    const TomlEntry* entry = find(key);
    return entry && std::holds_alternative<TomlTable>(entry->value.content);
}

std::vector<TableReader> TableReader::tables(std::string_view name) {
    const TomlEntry* entry = take(name);
    std::vector<TableReader> readers;
    if (!entry) return readers;
    const Key& key = keys_->at(name);
    const std::string heading = fmt::format("[[{}]]", name_of_part(name));
    const std::string accepted = "an array of tables, " + heading;
    errors_->attempt([&] {
        for (const TomlValue& value : array_of(entry->value, key, accepted)) {
            const auto* content = std::get_if<TomlTable>(&value.content);
            if (!content) throw wrong_type(value, key, accepted);
            readers.emplace_back(*content, value.position, heading, *key.table, *errors_);
        }
    });
    return readers;
}

const TomlValue* TableReader::any(std::string_view key) {
    const TomlEntry* entry = take(key);
    return entry ? &entry->value : nullptr;
}

bool TableReader::has(std::string_view key) const { return find(key) != nullptr; }

std::vector<std::string> TableReader::keys_there() const {
    std::vector<const TomlEntry*> entries;
    for (const TomlEntry& entry : table_->entries)
        entries.push_back(&entry);
    std::ranges::sort(entries, {}, [](const TomlEntry* entry) {
        return std::pair(entry->position.line, entry->position.column);
    });
    std::vector<std::string> keys;
    for (const TomlEntry* entry : entries)
        keys.push_back(entry->key);
    return keys;
}

bool TableReader::is_misspelt(std::string_view key) const {
    return std::ranges::find(meant_keys_, key) != meant_keys_.end();
}

SourcePosition TableReader::position_of(std::string_view key) const {
    const TomlEntry* entry = find(key);
    return entry ? entry->value.position : position_;
}

void TableReader::refuse(std::string_view key, const std::string& message) const {
    throw InputError(position_of(key), fmt::format("\"{}\" {}", key, message));
}

void TableReader::report(std::string_view key, const std::string& message) const {
    errors_->add({position_of(key), fmt::format("\"{}\" {}", key, message)});
}

void TableReader::report_twice(std::string_view id, const SourcePosition& first) const {
    report("id", fmt::format("\"{}\" stands twice, first at {}; accepted: each id once", id,
                             first.text()));
}

}  // namespace earbudget::files
