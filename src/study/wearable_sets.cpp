#include "earbudget/study/wearable_sets.hpp"

#include <algorithm>

namespace earbudget {

std::vector<std::vector<std::string>> wearable_sets(
    const Catalogue& catalogue, const std::function<bool(const Protector&)>& permitted) {
    std::vector<const Protector*> wearable;
    for (const CatalogueEntry& entry : catalogue.protectors)
        if (permitted(entry.protector)) wearable.push_back(&entry.protector);
    std::vector<std::vector<std::string>> sets;
    sets.reserve(wearable.size());
    for (const Protector* single : wearable)
        sets.push_back({single->id});
    for (const Protector* plug : wearable) {
        for (const Protector* earmuff : wearable) {
            if (plug->goes_under_earmuff() && earmuff->is_earmuff())
                sets.push_back({plug->id, earmuff->id});
        }
    }
    return sets;
}

std::size_t number_of_wearable_sets(const Catalogue& catalogue) {
    const auto& all = catalogue.protectors;
    const auto count = [&all](bool (Protector::*is_so)() const) {
        return static_cast<std::size_t>(std::ranges::count_if(
            all, [is_so](const auto& entry) { return (entry.protector.*is_so)(); }));
    };
    return all.size() + count(&Protector::is_earmuff) * count(&Protector::goes_under_earmuff);
}

}  // namespace earbudget
