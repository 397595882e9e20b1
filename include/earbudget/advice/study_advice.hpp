#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "earbudget/advice/assess_study.hpp"
#include "earbudget/advice/hand_out.hpp"

namespace earbudget {

/// What `assess` says of the plan of one visit, with what is handed out then. Weeks hold the visit
/// as often as the study has it in one, in the place of what the plan states.
struct VisitAdvice {
    std::unique_ptr<const Plan> plan;
    Assessment assessment;  ///< of it
    HandOuts outs;
};

/// What to do at each visit of a study.
struct StudyAdvice {
    std::vector<VisitAdvice> visits = {};  ///< in order
    /// The study with what is handed out, and its answer; null where all is as planned.
    std::unique_ptr<const Study> study_instead = nullptr;
    std::unique_ptr<const StudyAssessment> instead = nullptr;

    /// A person with what is handed out; null where that is what the plans have.
    [[nodiscard]] const PersonOfStudy* with_it(const std::string& person) const;
};

/// What to hand out and to do at each visit, found visit by visit as for a plan alone, and what the
/// study comes to with all that is handed out. Throws the Obstacle as `assess`.
[[nodiscard]] StudyAdvice advise(const Study& study);

}  // namespace earbudget
