#pragma once

#include <optional>
#include <string>

#include "desk/try_trial.hpp"
#include "earbudget/limits/assessment.hpp"

namespace earbudget::desk::trying {

/// What a button does that follows an advice: fields of the form with their new values, as press
/// takes them, and what it says.
struct Measure {
    std::string label;
    std::string changes;
};

/// None for what a form cannot do: advice on a check, on data, on what it does not show.
[[nodiscard]] std::optional<Measure> measure_for(const Advice& advice, const PersonResult& person,
                                                 const Trial& trial);

}  // namespace earbudget::desk::trying
