#pragma once

#include <cstddef>
#include <functional>
#include <string>
#include <vector>

#include "earbudget/study/catalogue.hpp"

namespace earbudget {

/// What can be worn of a catalogue, as ids: every protector alone, then every plug (no canal cap)
/// under every earmuff, of those that `permitted` lets through, in the order of the catalogue.
[[nodiscard]] std::vector<std::vector<std::string>> wearable_sets(
    const Catalogue& catalogue,
    const std::function<bool(const Protector&)>& permitted = [](const Protector&) { return true; });

/// How many there are of the whole catalogue.
[[nodiscard]] std::size_t number_of_wearable_sets(const Catalogue& catalogue);

}  // namespace earbudget
