#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "files/toml_tree.hpp"
#include "files/written_values.hpp"

namespace earbudget::files {

namespace {

bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }

std::string small(std::string_view text) {
    std::string result(text);
    for (char& c : result)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return result;
}

bool is_yes_or_no(std::string_view value) {
    constexpr std::array<std::string_view, 6> words = {"true", "false", "yes", "no", "on", "off"};
    return std::ranges::find(words, small(value)) != words.end();
}

/// Digits with signs, points and commas at the begin.
std::string_view number_at_begin(std::string_view value) {
    return value.substr(0, std::min(value.find_first_not_of("+-.,0123456789"), value.size()));
}

std::string mistake_of_number(std::string_view value, std::string_view number) {
    if (const auto with_point = with_decimal_point(number)) {
        return fmt::format("{} has a decimal comma; accepted: a decimal point, {}", excerpt(number),
                           excerpt(*with_point));
    }
    if (value.find(':') != value.npos) {
        return fmt::format(
            "{} is a time without quotes; accepted: a duration in quotes, such as \"8 min\"",
            excerpt(value));
    }
    if (std::ranges::any_of(value.substr(number.size()), is_letter)) {
        const std::string quoted =
            parse_duration(value) ? "a duration in quotes" : "text in quotes";
        return fmt::format(
            "{0} without quotes; accepted: {2}, \"{0}\", or a number without its unit, {1}",
            excerpt(value), excerpt(number), quoted);
    }
    if (number.size() == value.size()) {
        return fmt::format(
            "{} is no number as TOML writes it; accepted: a digit on both sides of the point and "
            "no leading zero, such as 0.5",
            excerpt(value));
    }
    return fmt::format("\"{}\" does not end with its number; accepted: one key = value in a line",
                       excerpt(value));
}

}  // namespace

std::string excerpt(std::string_view text) {
    constexpr std::size_t longest = 40;
    if (text.size() <= longest) return std::string(text);
    std::size_t end = longest;
    while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U)
        --end;
    return std::string(text.substr(0, end)) + "…";
}

std::string toml_value_mistake(std::string_view value) {
    if (value.empty()) return "no value behind \"=\"; accepted: key = value";
    for (const std::string_view dash : {"\u2212", "\u2013", "\u2012"}) {
        if (value.starts_with(dash)) {
            return fmt::format("{} begins with a dash; accepted: a minus as it is typed, -{}",
                               excerpt(value), excerpt(value.substr(dash.size())));
        }
    }
    if (is_yes_or_no(value)) {
        return fmt::format("{} as it stands is no value; accepted: true or false, in small letters",
                           value);
    }
    if (is_digit(value[0]) || value[0] == '+' || value[0] == '-' || value[0] == '.') {
        return mistake_of_number(value, number_at_begin(value));
    }
    if (value[0] == '[') {
        return "a list that is not written right; accepted: texts in quotes or numbers, with "
               "commas between them, [\"foam\", \"muff\"] or [20.0, 22.5]";
    }
    if (value[0] == '{') {
        return "a table in a line that is not written right; accepted: { key = value, key = value "
               "}";
    }
    if (value[0] == '"' || value[0] == '\'') {
        return "more behind the closing quote; accepted: one key = value in a line, without a "
               "comma or semicolon at the end";
    }
    return fmt::format("{0} without quotes; accepted: text in quotes, \"{0}\"", excerpt(value));
}

}  // namespace earbudget::files
