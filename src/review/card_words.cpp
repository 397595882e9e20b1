#include "review/card_words.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <string>
#include <vector>

namespace earbudget {

namespace {

bool is_of_word(char c) {
    const auto byte = static_cast<unsigned char>(c);
    return std::isalnum(byte) != 0 || byte >= 0x80 || c == '.';
}

}  // namespace

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

bool has_year(std::string_view text) {
    return std::ranges::any_of(words_of(text), [](const std::string& word) {
        // "2.11.2026" is one word.
        const std::string_view last = std::string_view(word).substr(word.rfind('.') + 1);
        return last.size() == 4 && (last.starts_with("19") || last.starts_with("20")) &&
               std::ranges::all_of(last, [](unsigned char c) { return std::isdigit(c) != 0; });
    });
}

}  // namespace earbudget
