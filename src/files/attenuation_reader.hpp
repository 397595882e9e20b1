#pragma once

#include <optional>
#include <string>
#include <vector>

#include "earbudget/protection/protector.hpp"
#include "files/table_reader.hpp"

namespace earbudget::files {

/// The keys of a table of the catalogue, and after them those that state attenuation, which a
/// protector and a pair have in common.
[[nodiscard]] std::vector<std::string> with_attenuation_keys(std::vector<std::string> keys);

/// "frequency", "mean" and "sd": all three or none. Throws InputError.
[[nodiscard]] std::optional<OctaveAttenuation> read_octave_attenuation(TableReader& table);

/// SNR, H, M, L, NRR, NRR_SF, SLC80, PAR. Throws InputError.
[[nodiscard]] Ratings read_ratings(TableReader& table);

}  // namespace earbudget::files
