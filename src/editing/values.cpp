#include <algorithm>
#include <cmath>
#include <stdexcept>

#include <fmt/format.h>

#include "editing/splices.hpp"
#include "files/written_values.hpp"

namespace earbudget::editing {

using files::TomlArray;
using files::TomlEntry;
using files::TomlTable;
using files::TomlValue;

namespace {

std::string written(bool value) { return value ? "true" : "false"; }
std::string written(std::int64_t value) { return fmt::format("{}", value); }
std::string written(const std::string& value) { return files::toml_string(value); }

std::string written(double value) {
    if (!std::isfinite(value)) throw std::logic_error("no file holds what is no number");
    std::string text = fmt::format("{}", value + 0.0);  // no -0
    if (text.find_first_of(".e") == text.npos) text += ".0";
    return text;
}

template <class Element>
std::string written(const std::vector<Element>& values) {
    std::string text = "[";
    for (const Element& value : values)
        text += (text.size() > 1 ? ", " : "") + written(value);
    return text + "]";
}

template <class Element>
TomlValue as_read(const Element& value) {
    return {{}, value};
}

template <class Element>
TomlValue as_read(const std::vector<Element>& values) {
    TomlArray array;
    for (const Element& value : values)
        array.push_back(as_read(value));
    return {{}, array};
}

std::optional<double> number_of(const TomlValue& value) {
    if (const auto* count = std::get_if<std::int64_t>(&value.content))
        return static_cast<double>(*count);
    if (const auto* number = std::get_if<double>(&value.content)) return *number;
    return std::nullopt;
}

bool is_empty_table(const TomlValue& value) {
    const auto* table = std::get_if<TomlTable>(&value.content);
    return table && std::ranges::all_of(table->entries, [](const TomlEntry& entry) {
               return is_empty_table(entry.value);
           });
}

/// Whether all that one has, the other has too.
bool holds(const TomlTable& all, const TomlTable& some) {
    return std::ranges::all_of(some.entries, [&](const TomlEntry& entry) {
        if (is_empty_table(entry.value)) return true;
        const auto other = std::ranges::find(all.entries, entry.key, &TomlEntry::key);
        return other != all.entries.end() && is_alike(other->value, entry.value);
    });
}

bool is_alike(const TomlArray& one, const TomlArray& other) {
    return std::ranges::equal(
        one, other, [](const TomlValue& a, const TomlValue& b) { return editing::is_alike(a, b); });
}

}  // namespace

std::string written_value(const Value& value) {
    return std::visit([](const auto& each) { return written(each); }, value);
}

std::string written_pair(std::string_view key, const Value& value) {
    return written_key(key) + " = " + written_value(value);
}

TomlValue read_value(const Value& value) {
    return std::visit([](const auto& each) { return as_read(each); }, value);
}

bool is_alike(const TomlTable& one, const TomlTable& other) {
    return holds(one, other) && holds(other, one);
}

bool is_alike(const TomlValue& one, const TomlValue& other) {
    const auto a = number_of(one);
    const auto b = number_of(other);
    if (a && b) return *a == *b || (std::isnan(*a) && std::isnan(*b));
    if (one.content.index() != other.content.index()) return false;
    if (const auto* flag = std::get_if<bool>(&one.content))
        return *flag == std::get<bool>(other.content);
    if (const auto* text = std::get_if<std::string>(&one.content))
        return *text == std::get<std::string>(other.content);
    if (const auto* array = std::get_if<TomlArray>(&one.content))
        return is_alike(*array, std::get<TomlArray>(other.content));
    if (const auto* table = std::get_if<TomlTable>(&one.content))
        return is_alike(*table, std::get<TomlTable>(other.content));
    return true;  // dates, which no edit sets
}

}  // namespace earbudget::editing
