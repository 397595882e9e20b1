#pragma once

#include <array>
#include <cstddef>
#include <set>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <variant>
#include <vector>

#include "earbudget/acoustics/units.hpp"
#include "earbudget/computing/source_position.hpp"

namespace earbudget {

// What the rooms say to one another and to a reader: a phrase and its arguments. The words stand in
// report/words alone, so that another language is another table. Phrases are listed by subject:
enum class FindingPhrase : unsigned char;
enum class ObstaclePhrase : unsigned char;
enum class CriterionPhrase : unsigned char;
enum class OriginPhrase : unsigned char;
enum class StepPhrase : unsigned char;
enum class WarningPhrase : unsigned char;
enum class RemarkPhrase : unsigned char;
enum class ChoicePhrase : unsigned char;
enum class AdvicePhrase : unsigned char;
enum class ReviewPhrase : unsigned char;
enum class CheckPhrase : unsigned char;
enum class WorkPhrase : unsigned char;

/// A phrase as its list has it.
struct PhraseRow {
    std::string_view name;
    std::string_view arguments;  ///< a letter each: kind_of
    std::string_view code = {};  ///< of a warning, as results name it
};

struct Argument;

/// Something to be said: a phrase with its arguments, or a text of the user as it stands; nothing
/// by default.
struct Message {
    std::variant<std::monostate, FindingPhrase, ObstaclePhrase, CriterionPhrase, OriginPhrase,
                 StepPhrase, WarningPhrase, RemarkPhrase, ChoicePhrase, AdvicePhrase, ReviewPhrase,
                 CheckPhrase, WorkPhrase>
        phrase;
    std::vector<Argument> arguments;

    [[nodiscard]] bool empty() const { return phrase.index() == 0 && arguments.empty(); }
    /// Whether it is this phrase, whatever its arguments.
    template <class Phrase>
    [[nodiscard]] bool is(Phrase one) const {
        const Phrase* const said = std::get_if<Phrase>(&phrase);
        return said && *said == one;
    }
};

/// How a type is an argument: 's' an id, a name or a text of the user; 'n' a number, a level in
/// decibels, or which wording it is: true the first of two, the n-th of an enumeration the n-th;
/// 't' a time; 'w' a place in a file; 'l' a list of names; 'm' a message; 'p' messages in a list.
template <class Type>
[[nodiscard]] consteval char kind_of() {
    if constexpr (std::is_convertible_v<Type, std::string_view>) return 's';
    if constexpr (std::is_arithmetic_v<Type> || std::is_enum_v<Type>) return 'n';
    if constexpr (requires(Type level) { level.dB(); }) return 'n';
    if constexpr (std::is_same_v<Type, Seconds>) return 't';
    if constexpr (std::is_same_v<Type, SourcePosition>) return 'w';
    if constexpr (std::is_same_v<Type, std::vector<std::string>> ||
                  std::is_same_v<Type, std::set<std::string>>)
        return 'l';
    if constexpr (std::is_same_v<Type, Message>) return 'm';
    if constexpr (std::is_same_v<Type, std::vector<Message>>) return 'p';
    return '?';
}

/// One argument of a message.
struct Argument {
    std::variant<std::string, double, Seconds, SourcePosition, std::vector<std::string>, Message,
                 std::vector<Message>>
        value;

    template <class Type>
    [[nodiscard]] static Argument of(const Type& given) {
        if constexpr (kind_of<Type>() == 's') {
            return {std::string(std::string_view(given))};
        } else if constexpr (std::is_arithmetic_v<Type>) {
            return {static_cast<double>(given)};
        } else if constexpr (std::is_enum_v<Type>) {
            return {1.0 + static_cast<double>(given)};
        } else if constexpr (kind_of<Type>() == 'n') {
            return {given.dB()};
        } else if constexpr (kind_of<Type>() == 'l') {
            return {std::vector<std::string>(given.begin(), given.end())};
        } else {
            return {given};
        }
    }
};

/// Whether they say the same; and any order of what does not, for looking up.
[[nodiscard]] bool operator==(const Message& one, const Message& other);
[[nodiscard]] bool operator<(const Message& one, const Message& other);

/// A phrase with its arguments; others than it is listed with do not compile.
template <auto phrase, class... Types>
[[nodiscard]] Message say(const Types&... given) {
    constexpr std::array<char, sizeof...(Types) + 1> kinds = {kind_of<std::decay_t<Types>>()...};
    static_assert(row_of(phrase).arguments == std::string_view(kinds.data(), sizeof...(Types)),
                  "a phrase takes the arguments that it is listed with");
    return {phrase, {Argument::of<std::decay_t<const Types&>>(given)...}};
}

/// Words of the user, or of a published row, as they stand.
[[nodiscard]] inline Message as_it_stands(std::string_view text) {
    if (text.empty()) return {};
    return {std::monostate(), {Argument::of(text)}};
}

// A list of phrases is a macro that makes a row of each: row(Name, "arguments").
#define EARBUDGET_PHRASE(name, ...) name,
#define EARBUDGET_PHRASE_ROW(name, ...) PhraseRow{#name, __VA_ARGS__},
#define EARBUDGET_PHRASES(Family, list)                                       \
    enum class Family : unsigned char { list(EARBUDGET_PHRASE) };             \
    inline constexpr std::array rows_of_##Family{list(EARBUDGET_PHRASE_ROW)}; \
    [[nodiscard]] constexpr const PhraseRow& row_of(Family phrase) {          \
        return rows_of_##Family[static_cast<std::size_t>(phrase)];            \
    }                                                                         \
    [[nodiscard]] constexpr std::size_t number_of(Family) { return rows_of_##Family.size(); }

}  // namespace earbudget
