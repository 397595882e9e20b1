#pragma once

#include <vector>

#include "earbudget/measurement/channel_reading.hpp"
#include "earbudget/measurement/sample_source.hpp"

namespace earbudget {

/// Reads a recording to its end, each channel on its own; several channels share the processor's
/// cores. Throws what `source` throws.
[[nodiscard]] std::vector<ChannelReading> read_channels(SampleSource& source);

}  // namespace earbudget
