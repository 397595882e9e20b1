#pragma once

#include <string>
#include <utility>
#include <vector>

#include "serving/exchange.hpp"

namespace earbudget::serving {

/// What every answer says of itself to the browser: nothing is loaded from elsewhere, no script and
/// no style stands in a page, nobody frames it, nothing is kept. The styles of a report that is a
/// whole file of its own are let in by their sum (W3C, Content Security Policy Level 3).
[[nodiscard]] std::vector<std::pair<std::string, std::string>> policy_headers(const Reply& reply);

}  // namespace earbudget::serving
