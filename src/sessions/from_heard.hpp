#pragma once

#include <string>
#include <vector>

#include "earbudget/advice/assess.hpp"
#include "sessions/next.hpp"

namespace earbudget::sessions {

/// The parts of a person's day as the plan has them, one after the other from a moment on: as if
/// all ran as planned. What is done once a day comes first, then each session. Repeats of one row
/// are one part, as in a plan. Throws the Obstacle as day_exposure.
[[nodiscard]] std::vector<Heard> as_planned(const Plan& plan, const Person& person, Instant begin,
                                            const Provenance& provenance);

/// One person of a plan, and what the person who will be that has heard.
struct PersonFromHeard {
    std::string id;  ///< in the plan
    std::string as;  ///< the code
    HeardByPerson heard;
};

/// What that comes to with the plan's day on top.
struct AssessedFromHeard {
    std::string id, as;
    std::shared_ptr<const Judged> so_far = nullptr;
    std::shared_ptr<const Judged> together = nullptr;
    std::vector<RunsLeft> runs_left = {};  ///< after all of the plan's day
    std::optional<HeardEvent> stop = std::nullopt;
};

/// Judges the plan's day together with what was heard on this day and in the windows of a week. The
/// plan's day begins now, or when what goes on is over.
[[nodiscard]] AssessedFromHeard assess_from(const Plan& plan, const PersonFromHeard& person,
                                            Instant now, Judge& judge,
                                            const Provenance& provenance);

/// The assessment with these people as judged together: their criteria, verdict and runs left. What
/// else an assessment says of them, advice above all, is of the plan's day alone and left out. The
/// results must outlive it.
[[nodiscard]] Assessment with_heard(Assessment assessment,
                                    const std::vector<AssessedFromHeard>& people);

}  // namespace earbudget::sessions
