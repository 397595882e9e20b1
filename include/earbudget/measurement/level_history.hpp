#pragma once

#include <vector>

#include "earbudget/acoustics/duration.hpp"

namespace earbudget {

/// How A-weighted sound went on: its mean square in each of many short, equal steps, re full scale
/// as in ChannelReading (a full-scale sine has 0.5).
///
/// Steps last about 50 ms, a tenth of a pump's stroke, and follow one another from the start of the
/// recording without gaps; what remains at the end and fills no step is left out. Single precision
/// keeps three hours in under a megabyte.
struct LevelHistory {
    Seconds step{0.05};
    std::vector<float> mean_square;
};

}  // namespace earbudget
