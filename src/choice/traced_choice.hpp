#pragma once

#include "earbudget/choice/choose.hpp"

namespace earbudget {

/// How the reduction that a person needs came about, from the result.
[[nodiscard]] Working working_of(const Person& person, const RequiredReduction& required,
                                 const RankedChoice& unprotected);

/// Leaves the average at the ear over the rows with a sequence; `of` is its key.
void leave_scanning(const Plan& plan, const Person& person, const HearingDay& day,
                    const std::optional<LevelA>& level, const std::string& of, Trace& trace);

}  // namespace earbudget
