#include "files/duration_parser.hpp"

#include <array>
#include <charconv>
#include <cmath>
#include <cstdint>

namespace earbudget::files {

namespace {

struct Unit {
    std::string_view name;
    double seconds;
};

// Largest first, the order in which they may follow one another.
constexpr std::array<Unit, 4> units = {{{"h", 3600.0}, {"min", 60.0}, {"s", 1.0}, {"ms", 0.001}}};

bool is_digit(char c) { return c >= '0' && c <= '9'; }

void skip_spaces(std::string_view& text) {
    while (!text.empty() && text.front() == ' ')
        text.remove_prefix(1);
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
    std::size_t length = 0;
    while (length < text.size() && text[length] >= 'a' && text[length] <= 'z')
        ++length;
    for (std::size_t i = 0; i < units.size(); ++i) {
        if (text.substr(0, length) == units[i].name) {
            text.remove_prefix(length);
            return i;
        }
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
        sum += *number * units[*unit].seconds;
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

std::optional<Seconds> parse_clock(std::string_view text) {
    constexpr double limit = 60.0;
    const auto hours = take_whole(text, 4);
    if (!hours || !take_colon(text)) return std::nullopt;
    const auto minutes = take_whole(text, 2);
    if (!minutes || *minutes >= limit || !take_colon(text)) return std::nullopt;
    const auto seconds = take_number(text);
    if (!seconds || *seconds >= limit || !text.empty()) return std::nullopt;
    return Seconds(3600.0 * *hours + 60.0 * *minutes + *seconds);
}

}  // namespace

std::optional<Seconds> parse_duration(std::string_view text) {
    if (text.find(':') != std::string_view::npos) return parse_clock(text);
    return parse_units(text);
}

}  // namespace earbudget::files
