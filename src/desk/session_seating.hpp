#pragma once

#include <string>

#include "desk/session_look.hpp"

namespace earbudget::desk::at_session {

/// What counts as worn by whose session it is while nobody told that anything was put on; a text,
/// empty once somebody did.
[[nodiscard]] std::string counted_words(const Look& look);

/// What is handed out to the participant and how it is seated, both ears to be ticked, the spare;
/// then what others who are there are given. Markup.
[[nodiscard]] std::string seating(const Look& look);

}  // namespace earbudget::desk::at_session
