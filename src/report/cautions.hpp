#pragma once

#include <array>
#include <span>
#include <string>
#include <string_view>

#include "report/text_style.hpp"

namespace earbudget::report {

/// What must be read with every decision about someone's hearing.
inline constexpr std::array<std::string_view, 4> cautions = {
    "These results support and do not replace a competent person's measurement and judgement.",
    "Local law, the facility's rules and licensed or certified practice come first.",
    "Ear protection works only as fitted: check both ears before the first run.",
    "Anyone with pain, ringing or dulled hearing stops at once and is referred."};

/// The block "Cautions" at the end of a text.
[[nodiscard]] inline std::string cautions_text(std::span<const std::string_view> lines = cautions) {
    std::string text = "\nCautions\n";
    for (const std::string_view line : lines)
        text += wrapped(line, 2, 4);
    return text;
}

}  // namespace earbudget::report
