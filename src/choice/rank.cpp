#include "choice/rank.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

namespace earbudget {

namespace {

// Lower is better, the first difference decides. Levels less than a decibel apart say nothing
// beside what methods and people differ by.
using Keys = std::array<double, 10>;

Keys keys_of(const RankedChoice& choice, LevelA least_useful) {
    // What cannot be computed stands behind what is known to be over.
    const double verdict =
        choice.verdict == Verdict::Unknown ? 9.0 : static_cast<double>(choice.verdict);
    const double apart =
        choice.while_scanning ? std::abs((*choice.while_scanning - least_useful).dB()) : 0.0;
    const bool over = choice.verdict == Verdict::Over;
    return {verdict,
            over && choice.worst_margin ? -choice.worst_margin->dB() : 0.0,
            choice.more_than_useful ? 1.0 : 0.0,
            choice.fits_head_coil ? 0.0 : 1.0,
            choice.stated_metal_free ? 0.0 : 1.0,
            choice.comfortable ? 0.0 : 1.0,
            static_cast<double>(choice.wears.size()),
            std::round(apart),
            choice.worn_now ? 0.0 : 1.0,
            apart};
}

std::string why_behind(const Keys& above, const Keys& here, LevelA least_useful) {
    static constexpr std::array<const char*, 10> words = {
        "its verdict is worse",
        "it is further over the limit",
        "it protects more than is useful",
        "it does not fit the head coil",
        "it is not stated to be free of metal",
        "it is not what the person agrees to or has ear canals for",
        "two have to be seated, one would do",
        "",
        "the one above is worn now",
        "",
    };
    const auto differs = std::ranges::mismatch(above, here).in1 - above.begin();
    if (differs == 10) return "as good as the one above, which comes first in the catalogue";
    if (differs == 7 || differs == 9) {
        return fmt::format("the level at its ear is further from {:.0f} dB(A), the least useful",
                           least_useful.dB());
    }
    return words[static_cast<std::size_t>(differs)];
}

}  // namespace

void rank(std::vector<RankedChoice>& choices, LevelA least_useful) {
    std::ranges::stable_sort(
        choices, {}, [&](const RankedChoice& choice) { return keys_of(choice, least_useful); });
    for (std::size_t n = 1; n < choices.size(); ++n) {
        choices[n].reason = why_behind(keys_of(choices[n - 1], least_useful),
                                       keys_of(choices[n], least_useful), least_useful);
    }
}

}  // namespace earbudget
