#pragma once

#include <algorithm>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "earbudget/choice/choose.hpp"
#include "report/words/words.hpp"
#include "support/simple_plan.hpp"

namespace earbudget::test {

/// A protector of stated PAR that may enter the bore and fits the head coil.
inline Protector plug_of(std::string id, double PAR,
                         ProtectorType type = ProtectorType::PremouldedPlug) {
    Protector protector{.id = std::move(id), .title = "invented", .type = type};
    protector.fits_head_coil = true;
    protector.metal_free = true;
    protector.ratings.PAR = LevelDifference(PAR);
    return protector;
}

/// One sequence and one participant, who wears nothing, with these protectors to choose from.
inline Plan plan_of(double LAeq, double minutes, const std::vector<Protector>& protectors) {
    Plan plan = simple_plan(LAeq, minutes, 0.0);
    plan.people.front().wears = {};
    plan.catalogue.protectors.clear();
    for (const Protector& protector : protectors)
        plan.catalogue.protectors.push_back({protector});
    return plan;
}

/// Leaves one criterion of the first person.
inline void judge_only_by(Plan& plan, std::string_view id) {
    std::erase_if(plan.people.front().policy.criteria,
                  [id](const Criterion& criterion) { return criterion.id != id; });
}

/// Lets the first person hear the timeline as staff beside the participant.
inline void make_staff(Plan& plan) {
    plan.positions.push_back({"beside", LevelDifference(0.0)});
    Person& person = plan.people.front();
    person.role = Role::Staff;
    person.tasks = {{.position = plan.positions.size() - 1}};
}

inline bool says(const RankedChoice& choice, std::string_view words) {
    return std::any_of(choice.notes.begin(), choice.notes.end(), [words](const Message& message) {
        const std::string note = text_of(message);
        return note.find(words) != std::string::npos;
    });
}

}  // namespace earbudget::test
