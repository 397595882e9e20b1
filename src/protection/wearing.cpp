#include "earbudget/protection/wearing.hpp"

#include <algorithm>

namespace earbudget {

LevelDifference reduction_as_fitted(LevelDifference predicted, bool poor_fit) {
    return poor_fit ? std::min(predicted, poor_fit_reduction) : predicted;
}

LevelA level_over_wearing_time(LevelA outside, LevelA while_worn, double fraction_of_time) {
    if (fraction_of_time == 1.0) return while_worn;  // no detour through the logarithm
    const double ratio =
        fraction_of_time * energy_ratio(while_worn - outside) + (1.0 - fraction_of_time);
    return outside + difference_of_energy_ratio(ratio);
}

}  // namespace earbudget
