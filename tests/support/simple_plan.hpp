#pragma once

#include <algorithm>
#include <string_view>

#include "earbudget/limits/assessment.hpp"
#include "report/words/words.hpp"
#include "support/random_plan.hpp"

namespace earbudget::test {

/// One sequence, one participant with a plug of stated PAR: every level follows by subtraction, and
/// without any error, so that within is never close.
inline Plan simple_plan(double LAeq, double minutes, double attenuation) {
    Plan plan{.title = "simple"};
    Protector plug{.id = "plug", .title = "Plug", .type = ProtectorType::PremouldedPlug};
    plug.fits_head_coil = true;
    plug.metal_free = true;
    plug.ratings.PAR = LevelDifference(attenuation);
    plan.catalogue.protectors.push_back({plug});
    plan.sequences.push_back(
        {.id = "a",
         .title = "A",
         .levels = {.LAeq = LevelA(LAeq), .uncertainty = LevelDifference(0.0)}});
    plan.timeline.push_back({.sequence = 0, .duration = Seconds(60.0 * minutes)});
    plan.people.push_back(participant({"plug"}));
    return plan;
}

inline bool advises(const PersonResult& person, std::string_view code) {
    return std::any_of(person.advice.begin(), person.advice.end(),
                       [code](const Advice& advice) { return name_of(advice.code) == code; });
}

inline const Advice& advice_of(const PersonResult& person, std::string_view code) {
    return *std::find_if(person.advice.begin(), person.advice.end(),
                         [code](const Advice& advice) { return name_of(advice.code) == code; });
}

inline bool says(const Advice& advice, std::string_view words) {
    return text_of(advice.says, " ").find(words) != std::string::npos;
}

}  // namespace earbudget::test
