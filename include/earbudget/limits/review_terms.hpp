#pragma once

#include <optional>
#include <string>
#include <vector>

#include "earbudget/study/plan.hpp"

namespace earbudget {

/// By what a committee reviews sequences.
struct ReviewTerms {
    std::optional<Catalogue> catalogue = std::nullopt;  ///< none: nothing worn is all there is
    Role role = Role::Participant;
    AgeGroup age = AgeGroup::Adult;
    /// Ids of criteria made for another age group than this: shown beside, deciding nothing.
    std::vector<std::string> for_others = {};
    Policy policy = {};  ///< method, derating, performance and criteria, each for the role
    unsigned sessions_per_day = 1;
    double days_per_week = 1.0;  ///< days like it, for criteria on a week
    std::string date = {};       ///< YYYY-MM-DD of the day of the review; empty: not known
    DrawSettings draws = {};     ///< by which confident times are found
    /// The time a day that at least one choice must permit by every deciding criterion.
    Seconds least_time = default_least_time;

    /// Of `least_time`: a long run (ours).
    static constexpr Seconds default_least_time{600.0};
};

}  // namespace earbudget
