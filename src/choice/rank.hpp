#pragma once

#include <vector>

#include "earbudget/choice/choose.hpp"

namespace earbudget {

/// Sorts choices, best first, and says in `reason` why each stands behind the one above it: the
/// first of these in which they differ: the verdict, how far over a limit, more protection than
/// useful, fit in the head coil, stated free of metal, comfort, one protector or two, distance of
/// the level while scanning from `least_useful` in whole decibels, worn now, the distance.
void rank(std::vector<RankedChoice>& choices, LevelA least_useful);

}  // namespace earbudget
