#include "files/keys.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include <fmt/format.h>

#include "files/ids.hpp"
#include "files/text_inputs.hpp"
#include "files/written_values.hpp"

namespace earbudget::files {

std::vector<const KeyTable*> KeyTable::parts() const {
    std::vector<const KeyTable*> parts;
    for (const KeyTable* part : {before, this, after, last})
        if (part) parts.push_back(part);
    return parts;
}

std::vector<std::string> KeyTable::names() const {
    std::vector<std::string> names;
    for (const KeyTable* part : parts())
        for (const Key& key : part->own)
            names.emplace_back(key.name);
    return names;
}

const Key* KeyTable::find(std::string_view wanted) const {
    for (const KeyTable* part : {before, this, after, last}) {
        if (!part) continue;
        for (const Key& key : part->own)
            if (key.name == wanted) return &key;
    }
    return any;
}

const Key& KeyTable::at(std::string_view wanted) const {
    if (const Key* key = find(wanted)) return *key;
    throw std::logic_error(fmt::format("\"{}\" is no key of {}", wanted, name));
}

std::string one_of(const Words& words) {
    std::string text;
    for (std::size_t n = 0; n < words.size(); ++n) {
        const std::string_view comma = n == 0 ? "" : n + 1 < words.size() ? ", " : " or ";
        text += fmt::format("{}\"{}\"", comma, words[n]);
    }
    return text;
}

std::string text_of(const NumberRange& range) {
    const auto plain = [](double number) {
        return number == std::round(number) ? fmt::format("{:.0f}", number)
                                            : fmt::format("{:g}", number);
    };
    if (range.lowest == range.highest) return plain(range.lowest);
    return fmt::format("{} to {}{}{}", plain(range.lowest), plain(range.highest),
                       range.unit.empty() ? "" : " ", range.unit);
}

std::string accepted_number(const Key& key) {
    if (key.range.lowest == key.range.highest) return text_of(key.range);
    return fmt::format("{} from {}", key.type == Key::Type::Count ? "a whole number" : "a number",
                       text_of(key.range));
}

std::string accepted_by(const Key& key) {
    switch (key.type) {
        case Key::Type::Text:
            return key.table ? "text in quotes, or { sequence = \"…\", duration = \"…\" }"
                             : "text in quotes";
        case Key::Type::Id:
            return std::string(accepted_ids);
        case Key::Type::Word:
            return one_of(key.words()) + (key.table ? ", or { dB = … }" : "");
        case Key::Type::Flag:
            return "true or false";
        case Key::Type::Number:
        case Key::Type::Count:
            return accepted_number(key) + (key.words ? ", or " + one_of(key.words()) : "");
        case Key::Type::Duration:
            return std::string(accepted_durations);
        case Key::Type::Texts:
            if (key.or_one) return "text in quotes, or an array of texts, [\"…\", \"…\"]";
            return key.words ? "an array of " + one_of(key.words())
                             : "an array of texts, [\"…\", \"…\"]";
        case Key::Type::Numbers:
            return "an array of numbers, [1, 2]";
        case Key::Type::Table:
            return "a table";
        case Key::Type::Tables:
            return "an array of tables";
    }
    return "";
}

InputError wrong_type(const TomlValue& value, const Key& key, std::string_view accepted) {
    return {value.position,
            fmt::format("\"{}\" is {}; accepted: {}", key.name, value.kind(), accepted)};
}

namespace {

template <class T>
const T& content_of(const TomlValue& value, const Key& key, std::string_view accepted) {
    if (const T* content = std::get_if<T>(&value.content)) return *content;
    throw wrong_type(value, key, accepted);
}

}  // namespace

double number_of(const TomlValue& value, const Key& key) {
    const auto* integer = std::get_if<std::int64_t>(&value.content);
    const double number = integer ? static_cast<double>(*integer)
                                  : content_of<double>(value, key, accepted_number(key));
    if (!std::isfinite(number) || number < key.range.lowest || number > key.range.highest) {
        throw InputError(value.position, fmt::format("\"{}\" is {:g}; accepted: {}", key.name,
                                                     number, accepted_number(key)));
    }
    return number == 0.0 ? 0.0 : number;  // not -0
}

unsigned count_of(const TomlValue& value, const Key& key) {
    if (const auto* decimal = std::get_if<double>(&value.content)) {
        throw InputError(value.position,
                         fmt::format("\"{}\" is {:#}, not written as a whole number; accepted: {}",
                                     key.name, *decimal, accepted_by(key)));
    }
    const auto integer = content_of<std::int64_t>(value, key, accepted_by(key));
    const auto number = static_cast<double>(integer);
    if (number < key.range.lowest || number > key.range.highest) {
        throw InputError(value.position, fmt::format("\"{}\" is {}; accepted: {}", key.name,
                                                     integer, accepted_by(key)));
    }
    return static_cast<unsigned>(integer);
}

bool flag_of(const TomlValue& value, const Key& key) {
    return content_of<bool>(value, key, accepted_by(key));
}

const std::string& text_of(const TomlValue& value, const Key& key) {
    const auto& text = content_of<std::string>(value, key, accepted_by(key));
    if (text.size() > longest_text) {
        throw InputError(value.position, fmt::format("\"{}\" has {} bytes; accepted: at most {}",
                                                     key.name, text.size(), longest_text));
    }
    return text;
}

void check_is_one_of(const TomlValue& value, const Key& key) {
    if (!key.words) return;
    const std::string& text = text_of(value, key);
    const Words words = key.words();
    if (std::ranges::find(words, text) == words.end()) {
        throw InputError(value.position, fmt::format("\"{}\" is \"{}\"; accepted: {}", key.name,
                                                     text, accepted_by(key)));
    }
}

const std::string& line_of(const TomlValue& value, const Key& key) {
    const std::string& text = text_of(value, key);
    const auto is_control = [](unsigned char c) { return c < 0x20 || c == 0x7f; };
    if (std::ranges::any_of(text, is_control)) {
        throw InputError(
            value.position,
            fmt::format("\"{}\" holds a control character or a line break, as \\t in a Windows "
                        "path is one; accepted: text in one line, with / in paths",
                        key.name));
    }
    check_is_one_of(value, key);
    return text;
}

const TomlArray& array_of(const TomlValue& value, const Key& key, std::string_view accepted) {
    const auto& array = content_of<TomlArray>(value, key, accepted);
    if (array.size() > key.most) {
        throw InputError(value.position, fmt::format("\"{}\" has {} entries; accepted: at most {}",
                                                     key.name, array.size(), key.most));
    }
    return array;
}

}  // namespace earbudget::files
