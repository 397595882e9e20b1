#pragma once

#include <array>
#include <string_view>

#include "report/cautions.hpp"

namespace earbudget::report {

/// What must be read with levels of a recording, beside what must be read with every decision.
inline constexpr std::string_view measure_caution =
    "Levels are as good as microphone, calibration and position: state them.";

inline constexpr std::array<std::string_view, 5> measure_cautions = {
    measure_caution, cautions[0], cautions[1], cautions[2], cautions[3]};

}  // namespace earbudget::report
