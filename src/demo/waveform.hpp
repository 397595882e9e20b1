#pragma once

#include <string>

namespace earbudget::demo {

/// The invented unit's echo planar sequence as a file in the open format, version 1.4.1, signed:
/// one volume of 32 slices with 60 echoes 0.89 ms apart, a slice each 62 ms, then 62 ms of nothing,
/// as the recording of epi-2mm sounds.
[[nodiscard]] std::string epi_waveform();

}  // namespace earbudget::demo
