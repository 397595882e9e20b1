#pragma once

#include <optional>

#include "earbudget/protection/protector.hpp"

namespace earbudget {

/// The least reduction, to the next tenth of a decibel, that is not `over`; none where not even
/// highest_attenuation does. `over` is true up to some reduction and false from there on.
template <class Over>
[[nodiscard]] std::optional<LevelDifference> least_reduction(const Over& over) {
    const auto reduction = [](int tenths) { return LevelDifference(0.1 * tenths); };
    int within = static_cast<int>(10.0 * highest_attenuation.dB());
    int beyond = -1;
    if (over(reduction(within))) return std::nullopt;
    while (within - beyond > 1) {
        const int middle = (within + beyond) / 2;
        (over(reduction(middle)) ? beyond : within) = middle;
    }
    return reduction(within);
}

}  // namespace earbudget
