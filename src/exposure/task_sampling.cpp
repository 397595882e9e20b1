#include "earbudget/exposure/task_sampling.hpp"

#include <algorithm>
#include <cmath>

namespace earbudget {

LevelA level_of_samples(LevelSamples samples) {
    return energy_mean<quantity::AWeighted>(samples).value();
}

LevelDifference sampling_uncertainty(LevelSamples samples) {
    const auto count = static_cast<double>(samples.size());
    double mean = 0.0;
    for (const LevelA sample : samples)
        mean += sample.dB() / count;
    double squares = 0.0;
    for (const LevelA sample : samples)
        squares += (sample.dB() - mean) * (sample.dB() - mean);
    return LevelDifference(std::sqrt(squares / (count * (count - 1.0))));
}

LevelDifference spread_of_samples(LevelSamples samples) {
    const auto [lowest, highest] = std::ranges::minmax_element(samples);
    return *highest - *lowest;
}

bool asks_for_more_samples(LevelSamples samples) {
    return samples.size() < 2 * fewest_samples &&
           spread_of_samples(samples) >= spread_that_asks_for_more;
}

}  // namespace earbudget
