#include "review/card_words.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <charconv>
#include <cmath>
#include <string>
#include <vector>

namespace earbudget {

namespace {

bool is_of_word(char c) {
    const auto byte = static_cast<unsigned char>(c);
    return std::isalnum(byte) != 0 || byte >= 0x80 || c == '.';
}

/// Words in small letters; a full stop stays between digits only.
std::vector<std::string> words_of(std::string_view text) {
    std::vector<std::string> words = {""};
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        const bool digit_follows =
            i + 1 < text.size() && std::isdigit(static_cast<unsigned char>(text[i + 1])) != 0;
        if (!is_of_word(c) || (c == '.' && !digit_follows)) {
            if (!words.back().empty()) words.emplace_back();
        } else {
            words.back() += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
        }
    }
    return words;
}

std::optional<double> seconds_in(std::string_view unit) {
    if (unit == "s") return 1.0;
    if (unit == "min") return 60.0;
    if (unit == "h") return 3600.0;
    return std::nullopt;
}

struct Number {
    double value;
    std::string_view rest;
};

std::optional<Number> number_at_start(std::string_view word) {
    double value = 0.0;
    const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
    if (error != std::errc() || !std::isfinite(value)) return std::nullopt;
    return Number{value, word.substr(static_cast<std::size_t>(end - word.data()))};
}

}  // namespace

bool has_word(std::string_view text, std::span<const std::string_view> words) {
    return std::ranges::any_of(words_of(text), [&](const std::string& word) {
        return std::ranges::find(words, word) != words.end();
    });
}

bool may_negate(std::string_view text) {
    static constexpr std::array<std::string_view, 5> negations = {"no", "not", "none", "without",
                                                                  "unknown"};
    return has_word(text, negations);
}

std::optional<Seconds> time_in(std::string_view text) {
    const auto words = words_of(text);
    std::optional<double> found;
    std::size_t end_of_last = 0;
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (found && words[i] == "from") break;
        const auto number = number_at_start(words[i]);
        if (!number || !(number->value >= 0.0)) continue;
        const bool apart = number->rest.empty();
        if (apart && i + 1 == words.size()) break;
        const auto unit = seconds_in(apart ? std::string_view(words[i + 1]) : number->rest);
        if (!unit) continue;
        const bool goes_on = found && end_of_last == i;
        found = (goes_on ? *found : 0.0) + number->value * *unit;
        end_of_last = i + (apart ? 2 : 1);
    }
    return found ? std::optional(Seconds(*found)) : std::nullopt;
}

bool has_year(std::string_view text) {
    return std::ranges::any_of(words_of(text), [](const std::string& word) {
        // "2.11.2026" is one word.
        const std::string_view last = std::string_view(word).substr(word.rfind('.') + 1);
        return last.size() == 4 && (last.starts_with("19") || last.starts_with("20")) &&
               std::ranges::all_of(last, [](unsigned char c) { return std::isdigit(c) != 0; });
    });
}

}  // namespace earbudget
