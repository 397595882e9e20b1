#include "files/table_reader.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <type_traits>
#include <utility>

#include <fmt/format.h>

#include "files/ids.hpp"
#include "files/limits.hpp"
#include "files/written_values.hpp"

namespace earbudget::files {

namespace {

constexpr Seconds longest_duration = Hours(1000);

std::string accepted_range(const NumberRange& range) {
    return fmt::format("a number from {:g} to {:g}{}{}", range.lowest, range.highest,
                       range.unit.empty() ? "" : " ", range.unit);
}

InputError wrong_type(const TomlValue& value, std::string_view key, std::string_view accepted) {
    return {value.position, fmt::format("\"{}\" is {}; accepted: {}", key, value.kind(), accepted)};
}

double to_number(const TomlValue& value, std::string_view key, const NumberRange& range) {
    double number = 0.0;
    if (const auto* integer = std::get_if<std::int64_t>(&value.content)) {
        number = static_cast<double>(*integer);
    } else if (const auto* floating = std::get_if<double>(&value.content)) {
        number = *floating;
    } else {
        throw wrong_type(value, key, accepted_range(range));
    }
    if (!std::isfinite(number) || number < range.lowest || number > range.highest) {
        throw InputError(value.position, fmt::format("\"{}\" is {:g}; accepted: {}", key, number,
                                                     accepted_range(range)));
    }
    return number == 0.0 ? 0.0 : number;  // not -0
}

const std::string& to_text(const TomlValue& value, std::string_view key,
                           std::string_view accepted) {
    const auto* text = std::get_if<std::string>(&value.content);
    if (!text) throw wrong_type(value, key, accepted);
    if (text->size() > longest_text) {
        throw InputError(value.position, fmt::format("\"{}\" has {} bytes; accepted: at most {}",
                                                     key, text->size(), longest_text));
    }
    return *text;
}

const TomlArray& to_array(const TomlValue& value, std::string_view key, std::string_view accepted,
                          std::size_t most) {
    const auto* array = std::get_if<TomlArray>(&value.content);
    if (!array) throw wrong_type(value, key, accepted);
    if (array->size() > most) {
        throw InputError(value.position, fmt::format("\"{}\" has {} entries; accepted: at most {}",
                                                     key, array->size(), most));
    }
    return *array;
}

bool is_among(std::string_view key, const std::vector<std::string>& keys) {
    return std::find(keys.begin(), keys.end(), key) != keys.end();
}

}  // namespace

TableReader::TableReader(const TomlTable& table, SourcePosition position, std::string name,
                         std::vector<std::string> accepted_keys, ErrorList& errors)
    : table_(&table),
      errors_(&errors),
      position_(std::move(position)),
      name_(std::move(name)),
      accepted_keys_(std::move(accepted_keys)) {
    list_unknown_keys();
}

void TableReader::list_unknown_keys() {
    for (const TomlEntry& entry : table_->entries) {
        if (is_among(entry.key, accepted_keys_)) continue;
        if (!begun_at_) begun_at_ = errors_->size();
        const auto nearest =
            errors_->is_full() ? std::nullopt : nearest_name(entry.key, accepted_keys_);
        if (nearest) meant_keys_.push_back(*nearest);
        errors_->add(
            {entry.position,
             fmt::format("unknown key \"{}\" in {}{}; accepted: {}", entry.key, name_,
                         nearest ? fmt::format(", the nearest known is \"{}\"", *nearest) : "",
                         fmt::join(accepted_keys_, ", "))});
    }
}

const TomlEntry* TableReader::find(std::string_view key) const {
    for (const TomlEntry& entry : table_->entries) {
        if (entry.key == key) return &entry;
    }
    return nullptr;
}

const TomlEntry* TableReader::take(std::string_view key) {
    if (!is_among(key, accepted_keys_)) {
        throw std::logic_error(fmt::format("\"{}\" is no key of {}", key, name_));
    }
    if (!begun_at_) begun_at_ = errors_->size();
    return find(key);
}

bool TableReader::attempt(const std::function<void()>& read) {
    if (!begun_at_) begun_at_ = errors_->size();
    return errors_->attempt_since(*begun_at_, read);
}

void TableReader::refuse_absent(std::string_view key, std::string_view accepted) const {
    const bool is_listed = has(key) || is_misspelt(key);
    if (!is_listed) {
        errors_->add(
            {position_, fmt::format("{} has no \"{}\"; accepted: {}", name_, key, accepted)});
    }
    throw AlreadyListed();
}

template <class Convert>
auto TableReader::converted(std::string_view key, Convert&& convert) {
    using Value = std::decay_t<decltype(convert(std::declval<const TomlValue&>()))>;
    const TomlEntry* entry = take(key);
    std::optional<Located<Value>> result;
    if (!entry) return result;
    errors_->attempt([&] {
        result = Located<Value>{convert(entry->value), entry->value.position};
    });
    return result;
}

std::optional<Located<double>> TableReader::number(std::string_view key, const NumberRange& range) {
    return converted(key, [&](const TomlValue& value) { return to_number(value, key, range); });
}

Located<double> TableReader::require_number(std::string_view key, const NumberRange& range) {
    auto found = number(key, range);
    if (!found) refuse_absent(key, accepted_range(range));
    return *found;
}

std::optional<Located<unsigned>> TableReader::count(std::string_view key, unsigned lowest,
                                                    unsigned highest) {
    const std::string accepted = lowest == highest
                                     ? fmt::format("{}", lowest)
                                     : fmt::format("a whole number from {} to {}", lowest, highest);
    return converted(key, [&](const TomlValue& value) {
        const auto* integer = std::get_if<std::int64_t>(&value.content);
        if (!integer) throw wrong_type(value, key, accepted);
        if (*integer < static_cast<std::int64_t>(lowest) ||
            *integer > static_cast<std::int64_t>(highest)) {
            throw InputError(value.position,
                             fmt::format("\"{}\" is {}; accepted: {}", key, *integer, accepted));
        }
        return static_cast<unsigned>(*integer);
    });
}

Located<unsigned> TableReader::require_count(std::string_view key, unsigned lowest,
                                             unsigned highest, std::string_view accepted) {
    const auto found = count(key, lowest, highest);
    if (!found) refuse_absent(key, accepted);
    return *found;
}

std::optional<Located<bool>> TableReader::boolean(std::string_view key) {
    return converted(key, [&](const TomlValue& value) {
        const auto* flag = std::get_if<bool>(&value.content);
        if (!flag) throw wrong_type(value, key, "true or false");
        return *flag;
    });
}

std::optional<Located<std::string>> TableReader::text(std::string_view key,
                                                      std::string_view accepted) {
    return converted(key, [&](const TomlValue& value) {
        std::string text = to_text(value, key, accepted);
        const auto control = [](char c) {
            return static_cast<unsigned char>(c) < 0x20 || c == 0x7f;
        };
        if (std::any_of(text.begin(), text.end(), control)) {
            throw InputError(value.position,
                             fmt::format("\"{}\" holds a control character or a line break, as \\t "
                                         "in a Windows path is one; accepted: text in one line, "
                                         "with / in paths",
                                         key));
        }
        return text;
    });
}

Located<std::string> TableReader::require_text(std::string_view key, std::string_view accepted) {
    auto found = text(key, accepted);
    if (!found) refuse_absent(key, accepted);
    if (found->value.empty()) {
        report(key, fmt::format("is empty; accepted: {}", accepted));
        throw AlreadyListed();
    }
    return *found;
}

std::optional<Located<Seconds>> TableReader::duration(std::string_view key) {
    return converted(key, [&](const TomlValue& value) {
        const std::string& text = to_text(value, key, accepted_durations);
        const auto parsed = parse_duration(text);
        if (!parsed || !(*parsed > Seconds(0.0)) || *parsed > longest_duration) {
            refuse(key, fmt::format("is \"{}\"{}; accepted: {}, longer than 0 s and at most 1000 h",
                                    text, parsed ? "" : why_no_duration(text), accepted_durations));
        }
        if (auto note = note_on_duration(text))
            errors_->note({"duration-as-minutes", *std::move(note), value.position});
        return *parsed;
    });
}

std::optional<Located<std::vector<Located<std::string>>>> TableReader::texts(std::string_view key) {
    constexpr std::string_view accepted = "an array of texts, [\"…\", \"…\"]";
    return converted(key, [&](const TomlValue& array) {
        std::vector<Located<std::string>> values;
        for (const TomlValue& value : to_array(array, key, accepted, most_values))
            values.push_back({to_text(value, key, accepted), value.position});
        return values;
    });
}

std::optional<Located<std::vector<Located<double>>>> TableReader::numbers(
    std::string_view key, const NumberRange& range) {
    return converted(key, [&](const TomlValue& array) {
        std::vector<Located<double>> values;
        for (const TomlValue& value :
             to_array(array, key, "an array of numbers, [1, 2]", most_values)) {
            errors_->attempt([&] {
                values.push_back({to_number(value, key, range), value.position});
            });
        }
        return values;
    });
}

std::optional<TableReader> TableReader::table(std::string_view key, std::string name,
                                              std::vector<std::string> accepted_keys) {
    const TomlEntry* entry = take(key);
    if (!entry) return std::nullopt;
    const auto* content = std::get_if<TomlTable>(&entry->value.content);
    if (!content) {
        errors_->add(wrong_type(entry->value, key, fmt::format("a table, {}", name)));
        return std::nullopt;
    }
    return TableReader(*content, entry->value.position, std::move(name), std::move(accepted_keys),
                       *errors_);
}

std::vector<TableReader> TableReader::tables(std::string_view key, std::string name,
                                             const std::vector<std::string>& accepted_keys,
                                             std::size_t most) {
    const TomlEntry* entry = take(key);
    std::vector<TableReader> readers;
    if (!entry) return readers;
    const std::string accepted = fmt::format("an array of tables, {}", name);
    errors_->attempt([&] {
        for (const TomlValue& value : to_array(entry->value, key, accepted, most)) {
            const auto* content = std::get_if<TomlTable>(&value.content);
            if (!content) throw wrong_type(value, key, accepted);
            readers.emplace_back(*content, value.position, name, accepted_keys, *errors_);
        }
    });
    return readers;
}

const TomlValue* TableReader::any(std::string_view key) {
    const TomlEntry* entry = take(key);
    return entry ? &entry->value : nullptr;
}

bool TableReader::has(std::string_view key) const { return find(key) != nullptr; }

bool TableReader::is_misspelt(std::string_view key) const { return is_among(key, meant_keys_); }

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

}  // namespace earbudget::files
