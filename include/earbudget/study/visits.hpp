#pragma once

#include <string>
#include <vector>

#include "earbudget/study/plan.hpp"

namespace earbudget {

/// A visit of a study: what is done then, how often, and how far apart.
struct Visit {
    Plan plan;
    std::string title;
    unsigned times = 1;       ///< on days of their own
    unsigned days_apart = 1;  ///< at least, from the visit before and from one of them to the next
    SourcePosition stated_at = {};
};

/// A study of visits that differ, in their order.
struct Study {
    std::string title;
    std::vector<Visit> visits = {};
};

}  // namespace earbudget
