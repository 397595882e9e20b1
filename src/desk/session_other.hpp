#pragma once

#include "desk/session_look.hpp"

namespace earbudget::desk::at_session {

/// A run of a card of the folder that is not on the plan: which one, whether it may be run, and its
/// buttons.
[[nodiscard]] Reply not_on_the_plan(Look look);

}  // namespace earbudget::desk::at_session
