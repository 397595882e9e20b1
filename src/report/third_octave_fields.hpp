#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "earbudget/acoustics/bands.hpp"
#include "report/fields.hpp"

namespace earbudget::report {

/// Levels, or differences, by third octave: all, null where there is none.
template <class V>
[[nodiscard]] auto all_third_octaves(
    const std::array<std::optional<V>, third_octave_count>& bands) {
    Map<std::optional<V>> map;
    for (std::size_t n = 0; n < third_octave_count; ++n)
        map.emplace_back(third_octave_names[n], bands[n]);
    return map;
}

/// What a schema says of such a map.
[[nodiscard]] inline Note by_third_octave_band(int decimals) {
    return {.means = "by nominal mid-band frequency, Hz",
            .names =
                [] {
                    return std::vector<std::string>(third_octave_names.begin(),
                                                    third_octave_names.end());
                },
            .decimals = decimals};
}

}  // namespace earbudget::report
