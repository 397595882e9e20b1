#include <algorithm>
#include <array>
#include <cmath>

#include "choice/choice_notes.hpp"
#include "earbudget/choice/phrases.hpp"

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

Message why_behind(const Keys& above, const Keys& here, LevelA least_useful) {
    const auto differs = std::ranges::mismatch(above, here).in1 - above.begin();
    if (differs == 10) return say<ChoicePhrase::LaterInCatalogue>();
    if (differs == 7 || differs == 9) return say<ChoicePhrase::FurtherFromUseful>(least_useful);
    return say<ChoicePhrase::BehindFor>(differs + 1);
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
