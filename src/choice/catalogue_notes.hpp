#pragma once

#include <vector>

#include "earbudget/choice/check_ratings.hpp"

namespace earbudget {

/// What looks mistyped in attenuation by band, and the bands that it lacks. `octave` may be absent.
[[nodiscard]] std::vector<CatalogueNote> notes_on_octaves(
    const std::optional<OctaveAttenuation>& octave, bool states_ratings);

/// What looks mistyped in the stated ratings by themselves; `computed` says what the data allow.
[[nodiscard]] std::vector<CatalogueNote> notes_on_ratings(const Ratings& stated,
                                                          const Ratings& computed);

/// Ratings stated that lie far from those computed.
[[nodiscard]] std::vector<CatalogueNote> notes_on_comparisons(
    const std::vector<RatingComparison>& comparisons,
    const std::optional<OctaveAttenuation>& octave);

/// A measured pair that attenuates less than one of the two alone.
[[nodiscard]] std::vector<CatalogueNote> notes_on_pair(const MeasuredPair& pair,
                                                       const Catalogue& catalogue);

}  // namespace earbudget
