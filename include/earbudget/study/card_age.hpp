#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/computing/rows.hpp"
#include "earbudget/study/sequence.hpp"

namespace earbudget {

// Days are texts, YYYY-MM-DD, whose order is that of the calendar.

/// Whether a text is a day of the calendar written as YYYY-MM-DD, from 0001-01-01.
[[nodiscard]] bool is_calendar_day(std::string_view text);

/// The day that a free text begins with: "2026-11-02", "2026-11-02, after the service"; empty where
/// it begins with none.
[[nodiscard]] std::string day_at_start(std::string_view text);

/// The day after one of the calendar.
[[nodiscard]] std::string day_after(std::string_view day);

/// How many days `later` is behind `earlier`, negative where it is before it.
[[nodiscard]] int days_between(std::string_view earlier, std::string_view later);

/// The clock's day, local.
[[nodiscard]] std::string today();

/// Whether a card is used still.
enum class CardState {
    Current,
    Stale,      ///< its last day is over
    Superseded  ///< another card stands for it
};

inline constexpr auto card_states = rows_of<NameRow<CardState>>({
    {CardState::Current, "current"},
    {CardState::Stale, "stale"},
    {CardState::Superseded, "superseded"},
});

/// As written in JSON: "current", "stale", "superseded".
[[nodiscard]] constexpr std::string_view name_of(CardState state) {
    return card_states[state].name;
}

/// Whether the last day of a card is before this one; not where either is not known.
[[nodiscard]] bool is_stale(const Sequence& card, std::string_view day);

/// The ids of the cards among these that say that they stand for it.
[[nodiscard]] std::vector<std::string> superseded_by(const Sequence& card,
                                                     const std::vector<Sequence>& cards);

}  // namespace earbudget
