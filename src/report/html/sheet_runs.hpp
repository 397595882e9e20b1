#pragma once

#include <string>
#include <vector>

#include "earbudget/decision/assessment.hpp"

namespace earbudget::report::html {

/// What a part of the sheet says, and what it had no room for.
struct SheetPart {
    std::string markup = {};
    std::vector<std::string> left_out = {};  ///< texts
    std::size_t lines = 0;                   ///< of the sheet that it takes
};

/// Everyone, the worst verdict first: what has no room is at the end.
[[nodiscard]] std::vector<const PersonResult*> worst_first(const Assessment& assessment);

/// The timeline's runs in order, with the part of the day's allowance used after each and how many
/// more fit, for those who are in the room.
[[nodiscard]] SheetPart runs_part(const Assessment& assessment);

}  // namespace earbudget::report::html
