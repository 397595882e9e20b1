#pragma once

#include <string_view>

#include "earbudget/protection/protector.hpp"

namespace earbudget {

/// How a protector is put on, as one clause without a full stop (common practice, no source).
[[nodiscard]] std::string_view how_to_seat(ProtectorType type);

/// How the one who hands it out sees and hears that it is well seated (common practice, no source).
[[nodiscard]] std::string_view how_to_check(ProtectorType type);

}  // namespace earbudget
