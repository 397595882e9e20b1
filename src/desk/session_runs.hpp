#pragma once

#include <string>

#include "desk/session_look.hpp"

namespace earbudget::desk::at_session {

/// The runs of the plan in order: what was done of each, whether it may be run again, and how it is
/// told. Markup.
[[nodiscard]] std::string runs(const Look& look);

/// "May it be run again?" of one run, for the participant and, where their answer is less, for
/// others who are there; `places` are where it stands in the answers of each. Markup.
[[nodiscard]] std::string answer_for(const Look& look, const std::string& sequence,
                                     const std::vector<const records::NextReport*>& answers);

}  // namespace earbudget::desk::at_session
