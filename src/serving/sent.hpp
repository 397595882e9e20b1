#pragma once

#include <string>

#include "serving/exchange.hpp"

namespace earbudget::serving {

/// An answer as it travels, head and body, with what every answer says of itself (policy.hpp).
[[nodiscard]] std::string as_sent(const Reply& reply, bool without_body);

}  // namespace earbudget::serving
