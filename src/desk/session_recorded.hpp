#pragma once

#include <string>

#include "desk/session_look.hpp"

namespace earbudget::desk::at_session {

/// What to do now, after an event or where somebody must stop; loud. Markup, empty where nothing
/// is.
[[nodiscard]] std::string what_to_do_now(const Look& look);

/// What was recorded last, and how it is taken back or put right. Markup.
[[nodiscard]] std::string recorded_last(const Look& look);

/// An entry in a line: when, what, who told it.
[[nodiscard]] std::string words_of_told(const Look& look, const registers::Entry& entry);

}  // namespace earbudget::desk::at_session
