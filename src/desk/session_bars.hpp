#pragma once

#include <string>

#include "desk/session_look.hpp"
#include "sessions/judged.hpp"

namespace earbudget::desk::at_session {

/// A bar a limit of the participant, and of others where one of theirs is close or over; where they
/// come from. Markup.
[[nodiscard]] std::string bars(const Look& look);

/// A bar a limit: filled to what is used `now`, drawn faintly to what it will be `then`. Peaks are
/// told in words.
[[nodiscard]] std::string bars_of(const sessions::Judged& now, const sessions::Judged& then);

}  // namespace earbudget::desk::at_session
