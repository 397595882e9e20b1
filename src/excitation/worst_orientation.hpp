#pragma once

#include <optional>
#include <vector>

#include "earbudget/excitation/prediction.hpp"
#include "excitation/driven_sound.hpp"

namespace earbudget {

/// The orientation in which a waveform would be loudest by what is known of the response; none
/// without sound. Looked for among some 23,000 rotations, then nearby: within 0.01 dB of the
/// loudest.
[[nodiscard]] std::optional<WorstOrientation> worst_orientation(const DrivenSound& driven,
                                                                const ScannerResponse& response,
                                                                const Raster& raster,
                                                                const std::vector<double>& gains);

}  // namespace earbudget
