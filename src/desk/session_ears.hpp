#pragma once

#include <string>
#include <utility>
#include <vector>

#include "desk/session_look.hpp"

namespace earbudget::desk::at_session {

/// Both ears of somebody to be ticked; where one was told not to be seated, the spare and what else
/// is done. Markup.
[[nodiscard]] std::string ticks(const Look& look, const Plan& plan, const Somebody& one);

/// What a button tells of somebody who wears these from now on.
[[nodiscard]] std::vector<std::pair<std::string, std::string>> wear_fields(
    const Somebody& one, const std::vector<std::string>& ids);

}  // namespace earbudget::desk::at_session
