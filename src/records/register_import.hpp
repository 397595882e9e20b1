#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "register/register.hpp"

namespace earbudget::records {

/// That no such code is known, and what is accepted.
[[nodiscard]] std::string unknown_code(std::string_view code);

/// Whether an entry tells that its session was brought in as a lower bound.
[[nodiscard]] bool is_lower_bound(const registers::Entry& entry);

}  // namespace earbudget::records
