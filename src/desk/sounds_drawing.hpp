#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/protection/octave_attenuation.hpp"
#include "earbudget/study/sequence.hpp"
#include "report/document.hpp"

namespace earbudget::desk {

/// The octave bands of a card, unweighted and A-weighted, as drawing with its numbers, and the
/// levels as a table. `id` is unique on the page.
[[nodiscard]] std::vector<report::Block> level_blocks(const std::string& id, const Sequence& card);

/// The attenuation of a protector by octave band: mean, and mean − sd, which 84 % of people reach.
[[nodiscard]] std::vector<report::Block> attenuation_blocks(const std::string& id,
                                                            const std::string& of,
                                                            const OctaveAttenuation& attenuation);

}  // namespace earbudget::desk
