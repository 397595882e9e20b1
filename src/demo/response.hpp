#pragma once

#include <string>

namespace earbudget::demo {

/// The response of the invented unit's scanner, as a file of the program: resonances of each axis
/// and their delays, 10 Hz apart, made up so that the echo planar waveform sounds as its recording
/// does.
[[nodiscard]] std::string scanner_response();

}  // namespace earbudget::demo
