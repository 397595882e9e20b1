#pragma once

#include <string>

#include "earbudget/protection/protector.hpp"

namespace earbudget::desk::at_session {

/// How a protector of this type is put in or on, as line drawings side by side: an SVG, or several.
/// The words beside them say the same, so that they are hidden from readers of the screen.
[[nodiscard]] std::string how_to_seat(ProtectorType type);

}  // namespace earbudget::desk::at_session
