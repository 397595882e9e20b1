#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "earbudget/choice/choose.hpp"
#include "earbudget/limits/assessment.hpp"

namespace earbudget {

/// What somebody is given at the scanner, so that the planned day keeps its limits.
struct HandOut {
    enum class Kind {
        AsPlanned,  ///< what the plan says, which keeps every limit that protection can keep
        Instead,    ///< what `choose` answers, or the plan's own well seated and all the time
        Nothing,    ///< nothing that can be worn is known to keep the limits
        Undecided   ///< nothing can be said of what the plan says is worn, nor of anything else
    };
    Kind kind = Kind::AsPlanned;
    std::vector<std::string> wears =
        {};  ///< ids, possibly none; meaningless for the last two kinds
    /// Whether the plan has what the person does not agree to or has no ear canals for, or what is
    /// stated not to fit the head coil.
    bool plan_is_refused = false;
    /// The day with it, where that is not the plan's.
    std::optional<PersonResult> day = std::nullopt;
    /// Ids of what comes next in the ranking and keeps the limits, for whom `wears` does not seat;
    /// empty where there is nothing.
    std::vector<std::string> spare = {};
    /// Of a spare that the plan itself states (Person::instead), which need not keep the limits.
    std::optional<Verdict> spare_verdict = std::nullopt;
};

/// What is handed out to each person of an assessment, in its order. Owns the plan that the days
/// of `each` point into; the assessment must outlive it.
struct HandOuts {
    std::unique_ptr<const Plan> plan_instead;
    std::vector<HandOut> each;
};

/// The first of a ranking after `worn` that is an answer (RankedChoice::is_answer) and holds no
/// part of it, since what does not seat alone does not seat in a pair either, and is not just
/// `refused`, which the plan itself says is over a limit, nor closer to one than `most`; null where
/// there is none.
[[nodiscard]] const RankedChoice* spare_for(const PersonChoice& choice, WornIds worn,
                                            WornIds refused = {}, Verdict most = Verdict::Close);

/// The same without the days, and the verdicts of the plan that it follows from.
struct PlannedHandOuts {
    Assessment assessment;  ///< verdicts alone
    std::vector<HandOut> each = {};
};

/// As hand_out, of what `choose` found for each person of the plan. Throws the Obstacle as
/// `assess`.
[[nodiscard]] PlannedHandOuts planned_hand_outs(const Plan& plan,
                                                const std::vector<PersonChoice>& choices);

/// What to hand out: what the plan says where that is within every exposure limit that protection
/// can keep (CriterionResult::by_probability), or as close to one as everything else, and holds no
/// metal near the magnet; else what `choose` answers. Each with its spare, and the day with it
/// where the plan has another.
[[nodiscard]] HandOuts hand_out(const Assessment& assessment);

/// Whether the plan has for somebody what that person must not wear: refused, not fitting, metal
/// near the magnet. What else there is, it does not look for.
[[nodiscard]] bool has_what_does_not_suit(const Plan& plan);
/// Whether there is somebody to whom nothing can be handed out.
[[nodiscard]] bool leaves_somebody_without(const HandOuts& outs);

}  // namespace earbudget
