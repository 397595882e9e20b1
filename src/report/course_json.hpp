#pragma once

#include <nlohmann/json.hpp>

#include "earbudget/limits/assessment.hpp"

namespace earbudget::report {

/// What the day uses of each limit as it goes on.
[[nodiscard]] nlohmann::ordered_json course_json(const PersonResult& result);

/// The bands of the sequence with most of the sound energy at the ear, outside and at the ear; null
/// where there is none.
[[nodiscard]] nlohmann::ordered_json spectrum_json(const Plan& plan, const PersonResult& result);

}  // namespace earbudget::report
