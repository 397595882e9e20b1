#pragma once

#include <string>

#include "desk/session_look.hpp"

namespace earbudget::desk::at_session {

/// The run that goes on: its clock, Stop, and past its planned end the question whether it is over.
/// Markup.
[[nodiscard]] std::string running_now(const Look& look);

/// Runs that are over and of which nobody said how long they lasted: the same question.
[[nodiscard]] std::string unconfirmed(const Look& look);

/// A time as clocks of the page count: "4:07", "1:04:07".
[[nodiscard]] std::string clock_words(std::int64_t ms);

/// So long a run must have lasted, as a field with its button tells it; `id` tells them apart.
[[nodiscard]] std::string minutes_field(std::string_view id);

}  // namespace earbudget::desk::at_session
