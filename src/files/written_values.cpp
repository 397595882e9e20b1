#include "files/written_values.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdint>

#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"

namespace earbudget::files {

namespace {

/// Units by all their names, in the order in which they may follow one another.
struct Unit {
    double seconds;
    std::array<std::string_view, 5> names;
};

constexpr std::array<Unit, 4> units = {{{3600.0, {"h", "hr", "hrs", "hour", "hours"}},
                                        {60.0, {"min", "m", "mins", "minute", "minutes"}},
                                        {1.0, {"s", "sec", "secs", "second", "seconds"}},
                                        {0.001, {"ms", "millisecond", "milliseconds"}}}};

/// Also those that do not break, which come with copied text.
void skip_spaces(std::string_view& text) {
    constexpr std::array<std::string_view, 3> spaces = {" ", "\u00a0", "\u202f"};
    const auto starts = [&text](std::string_view space) { return text.starts_with(space); };
    for (auto found = std::ranges::find_if(spaces, starts); found != spaces.end();
         found = std::ranges::find_if(spaces, starts))
        text.remove_prefix(found->size());
}

// A decimal number without sign or exponent.
std::optional<double> take_number(std::string_view& text) {
    std::size_t length = 0;
    while (length < text.size() && (is_digit(text[length]) || text[length] == '.'))
        ++length;
    double value = 0.0;
    const char* end = text.data() + length;
    const auto [stop, failure] = std::from_chars(text.data(), end, value, std::chars_format::fixed);
    if (length == 0 || failure != std::errc() || stop != end || !std::isfinite(value)) {
        return std::nullopt;
    }
    text.remove_prefix(length);
    return value;
}

std::optional<std::size_t> take_unit(std::string_view& text) {
    const auto is_letter = [](char c) { return c >= 'a' && c <= 'z'; };
    std::string name = in_small_letters(text);
    name.erase(std::ranges::find_if_not(name, is_letter), name.end());
    for (std::size_t n = 0; n < units.size() && !name.empty(); ++n) {
        if (std::ranges::count(units.at(n).names, name) == 0) continue;
        text.remove_prefix(name.size());
        return n;
    }
    return std::nullopt;
}

std::optional<Seconds> parse_units(std::string_view text) {
    double sum = 0.0;
    std::size_t next_unit = 0;
    skip_spaces(text);
    if (text.empty()) return std::nullopt;
    while (!text.empty()) {
        const auto number = take_number(text);
        if (!number) return std::nullopt;
        skip_spaces(text);
        const auto unit = take_unit(text);
        if (!unit || *unit < next_unit) return std::nullopt;
        next_unit = *unit + 1;
        sum += *number * units.at(*unit).seconds;
        skip_spaces(text);
    }
    return Seconds(sum);
}

std::optional<double> take_whole(std::string_view& text, std::size_t most_digits) {
    std::size_t length = 0;
    while (length < text.size() && is_digit(text[length]))
        ++length;
    if (length == 0 || length > most_digits) return std::nullopt;
    std::uint32_t value = 0;
    std::from_chars(text.data(), text.data() + length, value);
    text.remove_prefix(length);
    return value;
}

bool take_colon(std::string_view& text) {
    if (text.empty() || text.front() != ':') return false;
    text.remove_prefix(1);
    return true;
}

/// At most two digits before a point.
std::optional<double> take_below_sixty(std::string_view& text) {
    constexpr double limit = 60.0;
    const auto value = take_number(text);
    return value && *value < limit ? value : std::nullopt;
}

std::optional<Seconds> parse_clock(std::string_view text) {
    constexpr std::size_t most_digits = 4;
    const auto first = take_whole(text, most_digits);
    if (!first || !take_colon(text)) return std::nullopt;
    if (text.find(':') == std::string_view::npos) {
        // Of minutes and seconds both digits, so that "8:5" is not taken for 8:50 or 8:05.
        const bool has_two = text.size() >= 2 && is_digit(text[0]) && is_digit(text[1]);
        const auto seconds = has_two ? take_below_sixty(text) : std::nullopt;
        if (!seconds || !text.empty()) return std::nullopt;
        return Seconds(60.0 * *first + *seconds);
    }
    const auto minutes = take_whole(text, 2);
    if (!minutes || *minutes >= 60.0 || !take_colon(text)) return std::nullopt;
    const auto seconds = take_below_sixty(text);
    if (!seconds || !text.empty()) return std::nullopt;
    return Seconds(3600.0 * *first + 60.0 * *minutes + *seconds);
}

}  // namespace

std::string in_small_letters(std::string_view text) {
    std::string result(text);
    for (char& c : result)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return result;
}

std::string toml_string(std::string_view text) {
    std::string result = "\"";
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        if (c == '"' || c == '\\') {
            result += '\\';
            result += c;
        } else if (byte < 0x20 || byte == 0x7f) {
            result += fmt::format("\\u{:04X}", byte);
        } else {
            result += c;
        }
    }
    return result + '"';
}

std::string toml_float(double value) {
    std::string text = decimal_text(value, 3);
    while (text.back() == '0' && text[text.size() - 2] != '.')
        text.pop_back();
    return text;
}

std::string written_duration(Seconds time) {
    const double thousandths = std::round(time.count() * 1000.0);
    const double hours = std::floor(thousandths / 3'600'000.0);
    const double minutes = std::floor((thousandths - hours * 3'600'000.0) / 60'000.0);
    const double rest = thousandths - hours * 3'600'000.0 - minutes * 60'000.0;
    std::string text;
    if (hours > 0.0) text += fmt::format("{:.0f} h ", hours);
    if (minutes > 0.0) text += fmt::format("{:.0f} min ", minutes);
    if (rest > 0.0 || text.empty()) text += fmt::format("{:g} s ", rest / 1000.0);
    text.pop_back();
    return text;
}

std::string_view trimmed(std::string_view text, std::string_view blanks) {
    const std::size_t begin = text.find_first_not_of(blanks);
    if (begin == text.npos) return "";
    return text.substr(begin, text.find_last_not_of(blanks) + 1 - begin);
}

std::optional<Seconds> parse_duration(std::string_view text) {
    if (text.find(':') != std::string_view::npos) return parse_clock(text);
    return parse_units(text);
}

std::optional<std::string> note_on_duration(std::string_view text) {
    if (std::ranges::count(text, ':') != 1) return std::nullopt;
    const auto time = parse_duration(text);
    if (!time) return std::nullopt;
    const double minutes = std::floor(time->count() / 60.0);
    const double seconds = time->count() - 60.0 * minutes;
    const std::string written = seconds > 0.0 && minutes > 0.0
                                    ? fmt::format("{:g} min {:g} s", minutes, seconds)
                                : seconds > 0.0 ? fmt::format("{:g} s", seconds)
                                                : fmt::format("{:g} min", minutes);
    return fmt::format("\"{}\" is taken as {:g} min {:g} s; write \"{}\"", text, minutes, seconds,
                       written);
}

std::string_view why_no_duration(std::string_view text) {
    const auto of_number = [](char c) { return is_digit(c) || c == '.' || c == ' '; };
    if (text.find(',') != std::string_view::npos) return ", with a comma instead of a point";
    if (!text.empty() && std::ranges::all_of(text, of_number)) return ", without a unit";
    return "";
}

std::optional<std::string> with_decimal_point(std::string_view number) {
    const bool has_sign = number.starts_with('-') || number.starts_with('+');
    const std::string_view digits = number.substr(has_sign ? 1 : 0);
    const std::size_t comma = digits.find(',');
    if (comma == digits.npos || comma == 0 || comma + 1 == digits.size()) return std::nullopt;
    if (!std::ranges::all_of(digits.substr(0, comma), is_digit) ||
        !std::ranges::all_of(digits.substr(comma + 1), is_digit))
        return std::nullopt;
    std::string result(number);
    std::ranges::replace(result, ',', '.');
    return result;
}

std::string as_typed(std::string_view word) {
    constexpr std::string_view plain =
        "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_./:=,+@%";
    if (!word.empty() && word.find_first_not_of(plain) == word.npos) return std::string(word);
    std::string result = "'";
    for (const char c : word)
        result += c == '\'' ? std::string("'\\''") : std::string(1, c);
    return result + "'";
}

}  // namespace earbudget::files
