#pragma once

#include <array>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/acoustics/message.hpp"
#include "earbudget/study/result.hpp"

namespace earbudget {

/// What a message says, in English.
[[nodiscard]] std::string text_of(const Message& message);

/// The same of several, one after the other.
[[nodiscard]] std::vector<std::string> texts_of(const std::vector<Message>& messages);
/// And in one text.
[[nodiscard]] std::string text_of(const std::vector<Message>& messages, std::string_view between);
/// "FILE:LINE:COLUMN: what is wrong; accepted: what is".
[[nodiscard]] std::string text_of(const Obstacle& obstacle);

namespace report {

/// The words of a phrase. A place for an argument is written as fmt does, "{}" or "{1:.1f}"; a list
/// is joined by what stands behind the colon, as in "{0:, }"; "{2:?one|other}" is the n-th of its
/// wordings, the last where there is no n-th: of a yes or no, of one or several, of an enumeration.
template <class Phrase>
struct Words {
    Phrase phrase;
    std::string_view pattern;
};

/// Whether a table holds every phrase of a list once, in the list's order.
template <class Phrase, std::size_t number>
[[nodiscard]] consteval bool are_complete(const std::array<Words<Phrase>, number>& table) {
    if (number != number_of(Phrase{})) return false;
    for (std::size_t n = 0; n < number; ++n)
        if (table[n].phrase != static_cast<Phrase>(n) || table[n].pattern.empty()) return false;
    return true;
}

[[nodiscard]] std::string_view pattern_of(FindingPhrase phrase);
[[nodiscard]] std::string_view pattern_of(ObstaclePhrase phrase);
[[nodiscard]] std::string_view pattern_of(CriterionPhrase phrase);
[[nodiscard]] std::string_view pattern_of(OriginPhrase phrase);
[[nodiscard]] std::string_view pattern_of(StepPhrase phrase);
[[nodiscard]] std::string_view pattern_of(WarningPhrase phrase);
[[nodiscard]] std::string_view pattern_of(RemarkPhrase phrase);
[[nodiscard]] std::string_view pattern_of(ChoicePhrase phrase);
[[nodiscard]] std::string_view pattern_of(AdvicePhrase phrase);
[[nodiscard]] std::string_view pattern_of(ReviewPhrase phrase);
[[nodiscard]] std::string_view pattern_of(CheckPhrase phrase);
[[nodiscard]] std::string_view pattern_of(WorkPhrase phrase);

// Defines pattern_of by a table of rows {Name, "words"}.
#define EARBUDGET_WORDS(Family, ...)                                                     \
    std::string_view pattern_of(Family phrase) {                                         \
        using enum Family;                                                               \
        static constexpr auto words = std::to_array<Words<Family>>({__VA_ARGS__});       \
        static_assert(are_complete(words), "each phrase has its words, in their order"); \
        return words[static_cast<std::size_t>(phrase)].pattern;                          \
    }

}  // namespace report

}  // namespace earbudget
