#include "earbudget/study/catalogue.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "earbudget/protection/predict.hpp"
#include "earbudget/protection/worn.hpp"

namespace earbudget {

namespace {

using PlugAndMuff = std::pair<const Protector*, const Protector*>;

PlugAndMuff plug_and_muff(const Catalogue& catalogue, WornIds worn) {
    const Protector* first = &catalogue.find(worn[0])->protector;
    const Protector* second = &catalogue.find(worn[1])->protector;
    if (first->is_earmuff()) std::swap(first, second);
    return {first, second};
}

}  // namespace

const CatalogueEntry* Catalogue::find(std::string_view id) const {
    const auto found =
        std::find_if(protectors.begin(), protectors.end(),
                     [id](const CatalogueEntry& entry) { return entry.protector.id == id; });
    return found == protectors.end() ? nullptr : &*found;
}

std::vector<std::string> Catalogue::ids() const {
    std::vector<std::string> result;
    result.reserve(protectors.size());
    for (const CatalogueEntry& entry : protectors)
        result.push_back(entry.protector.id);
    return result;
}

bool are_same_set(WornIds a, WornIds b) {
    return a.size() == b.size() && std::is_permutation(a.begin(), a.end(), b.begin());
}

std::vector<std::string> in_order(const Catalogue& catalogue, WornIds worn) {
    std::vector<std::string> ids(worn.begin(), worn.end());
    std::ranges::stable_sort(
        ids, {}, [&](const std::string& id) { return catalogue.find(id)->protector.is_earmuff(); });
    return ids;
}

std::string short_names_of(const Catalogue& catalogue, WornIds worn) {
    std::string names;
    for (const std::string& id : in_order(catalogue, worn))
        names += (names.empty() ? "" : " under ") + id;
    return names.empty() ? "nothing worn" : names;
}

std::string names_of(const Catalogue& catalogue, WornIds worn) {
    std::string names;
    for (const std::string& id : in_order(catalogue, worn))
        names += fmt::format("{}{} ({})", names.empty() ? "" : " under ",
                             catalogue.find(id)->protector.title, id);
    return names.empty() ? "nothing worn" : names;
}

Message cannot_be_worn_together(const Catalogue& catalogue, WornIds worn) {
    if (worn.size() < 2) return {};
    if (worn.size() > 2) return say<ObstaclePhrase::MoreThanTwo>();
    const auto [plug, earmuff] = plug_and_muff(catalogue, worn);
    for (const Protector* one : {plug, earmuff}) {
        if (one->type == ProtectorType::Pad) return say<ObstaclePhrase::PadBesideAnother>();
    }
    if (plug->is_earmuff()) return say<ObstaclePhrase::TwoEarmuffs>();
    if (!earmuff->is_earmuff()) return say<ObstaclePhrase::TwoPlugs>();
    if (!plug->goes_under_earmuff()) return say<ObstaclePhrase::CapUnderEarmuff>();
    return {};
}

std::optional<AttenuationData> attenuation_of(const Catalogue& catalogue, WornIds worn,
                                              double alpha) {
    if (worn.empty()) return std::nullopt;
    if (worn.size() == 1) return catalogue.find(worn[0])->protector.attenuation();
    const auto [plug, earmuff] = plug_and_muff(catalogue, worn);
    for (const MeasuredPair& pair : catalogue.pairs) {
        if (pair.plug != plug->id || pair.earmuff != earmuff->id) continue;
        if (has_data(pair.attenuation)) return pair.attenuation;  // else as if nobody measured it
    }
    return estimate_pair(*plug, *earmuff, alpha);
}

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

namespace {

WearableNumbers numbers_of(const Catalogue& catalogue, const auto& is_counted) {
    WearableNumbers numbers;
    for (const CatalogueEntry& entry : catalogue.protectors) {
        if (!is_counted(entry)) continue;
        ++numbers.single;
        if (entry.protector.is_earmuff()) ++numbers.earmuffs;
        if (entry.protector.goes_under_earmuff()) ++numbers.plugs;
    }
    return numbers;
}

}  // namespace

WearableNumbers wearable_numbers(const Catalogue& catalogue) {
    return numbers_of(catalogue, [](const CatalogueEntry& /*any*/) { return true; });
}

WearableNumbers wearable_numbers_for(const Catalogue& catalogue, std::string_view person) {
    return numbers_of(catalogue, [person](const CatalogueEntry& entry) {
        return entry.owner.empty() || entry.owner == person;
    });
}

}  // namespace earbudget
