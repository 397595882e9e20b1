#pragma once

#include "excitation/tied.hpp"

namespace earbudget {

/// What a response predicts of a recording, less what was measured.
[[nodiscard]] HeldBack compared(const ScannerResponse& response, const Recorded& recording,
                                std::size_t number);

}  // namespace earbudget
