#pragma once

#include <string>
#include <string_view>

#include "earbudget/limits/assessment.hpp"
#include "register/entry.hpp"
#include "sessions/bodies.hpp"
#include "sessions/next.hpp"

namespace earbudget::desk::at_session {

/// What a button calls an event, and what is done at once when it happens.
struct EventWords {
    sessions::EventKind what;
    std::string_view button, key, now;
};
[[nodiscard]] const EventWords& words_for(sessions::EventKind what);

/// Of everything stopped, which is recorded as an event with this note.
inline constexpr std::string_view all_stopped = "everything was stopped";

/// "May it be run again?", in words, and how well that is.
struct AnswerInWords {
    Verdict verdict;
    std::string words;
};
[[nodiscard]] AnswerInWords may_it_run(const sessions::RunsLeft& left);

/// "6 more minutes", of all runs that fit; empty where none do.
[[nodiscard]] std::string time_left(const sessions::RunsLeft& left);

/// How much of a limit is used, 0 to 1 and beyond: of a dose its share, of a level the share of the
/// sound exposure that it permits; none for a peak and without sound.
[[nodiscard]] std::optional<double> used_of(const CriterionResult& result);

/// What an entry is called when it was just recorded.
[[nodiscard]] std::string_view name_for(registers::EntryKind kind);

}  // namespace earbudget::desk::at_session
