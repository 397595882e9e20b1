#pragma once

#include <array>
#include <string_view>

namespace earbudget::report {

/// What must be read with every decision about someone's hearing.
inline constexpr std::array<std::string_view, 4> cautions = {
    "These results support and do not replace a competent person's measurement and judgement.",
    "Local law, the facility's rules and licensed or certified practice come first.",
    "Ear protection works only as fitted: check both ears before the first run.",
    "Anyone with pain, ringing or dulled hearing stops at once and is referred."};

}  // namespace earbudget::report
