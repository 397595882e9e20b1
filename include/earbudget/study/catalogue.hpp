#pragma once

#include <cstddef>
#include <functional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/computing/source_position.hpp"
#include "earbudget/protection/protector.hpp"

namespace earbudget {

/// A protector of the catalogue and where it is stated.
struct CatalogueEntry {
    Protector protector;
    SourcePosition stated_at = {};
    std::string owner = {};  ///< id of the only person who may wear it; empty: everybody
};

/// A plug and an earmuff worn together, as measured together.
struct MeasuredPair {
    std::string plug;     ///< id
    std::string earmuff;  ///< id
    AttenuationData attenuation = {};
    SourcePosition stated_at = {};
};

/// The protectors a facility keeps.
struct Catalogue {
    std::vector<CatalogueEntry> protectors;
    std::vector<MeasuredPair> pairs;

    /// The protector with this id; null when there is none.
    [[nodiscard]] const CatalogueEntry* find(std::string_view id) const;

    /// The ids of all protectors, in the order of the file.
    [[nodiscard]] std::vector<std::string> ids() const;
};

/// What is worn: the ids of nothing, one protector, or a plug and an earmuff in either order.
using WornIds = std::span<const std::string>;

/// Whether the same is worn, in whatever order the ids stand.
[[nodiscard]] bool are_same_set(WornIds a, WornIds b);

/// What is worn as it is put on, the plug first, in whatever order it was stated. Every id must be
/// in the catalogue, here and below.
[[nodiscard]] std::vector<std::string> in_order(const Catalogue& catalogue, WornIds worn);

/// The one name of what is worn: by ids, "foam under muff"; "nothing worn".
[[nodiscard]] std::string short_names_of(const Catalogue& catalogue, WornIds worn);

/// The same with titles, "Foam plug (foam) under Earmuff (muff)".
[[nodiscard]] std::string names_of(const Catalogue& catalogue, WornIds worn);

/// What stands against wearing these together, an ObstaclePhrase; empty when nothing does: more
/// than two, two plugs, two earmuffs, a canal cap under an earmuff. Every id must be in the
/// catalogue.
[[nodiscard]] Message cannot_be_worn_together(const Catalogue& catalogue, WornIds worn);

/// The attenuation of what is worn, none for nothing: one protector's own, a pair as measured, else
/// as estimated (protection/worn.hpp). `alpha` is that of the protection performance.
/// Every id must be in the catalogue and the combination possible.
[[nodiscard]] std::optional<AttenuationData> attenuation_of(const Catalogue& catalogue,
                                                            WornIds worn, double alpha);

/// What can be worn of a catalogue, as ids: every protector alone, then every plug (no canal cap)
/// under every earmuff, of those that `permitted` lets through, in the order of the catalogue.
[[nodiscard]] std::vector<std::vector<std::string>> wearable_sets(
    const Catalogue& catalogue,
    const std::function<bool(const Protector&)>& permitted = [](const Protector&) { return true; });

/// How many there are of a catalogue.
struct WearableNumbers {
    std::size_t single = 0;
    std::size_t plugs = 0, earmuffs = 0;  ///< of these, those that go into pairs

    [[nodiscard]] std::size_t pairs() const { return plugs * earmuffs; }
    [[nodiscard]] std::size_t sets() const { return single + pairs(); }
};
/// Of the whole.
[[nodiscard]] WearableNumbers wearable_numbers(const Catalogue& catalogue);
/// Of what is for a person of this id: everybody's and their own.
[[nodiscard]] WearableNumbers wearable_numbers_for(const Catalogue& catalogue,
                                                   std::string_view person);

}  // namespace earbudget
