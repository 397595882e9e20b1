#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <functional>
#include <numbers>
#include <random>
#include <utility>
#include <vector>

#include "earbudget/measurement/meters/time_weighted_meter.hpp"

namespace earbudget::test {

using Random = std::mt19937_64;

/// Level in dB at a time in seconds.
using Course = std::function<double(double)>;

/// Steps of 50 ms of a sound whose level goes as told, in random noise: each step's mean square is
/// spread as that of noise with `freedom` degrees of freedom, twice bandwidth times step (30 for a
/// bandwidth of 300 Hz: 1.1 dB); 0 for none.
inline LevelHistory history_of(const Course& level, double seconds, double freedom,
                               Random& random) {
    LevelHistory history;
    std::gamma_distribution<double> spread(freedom > 0.0 ? 0.5 * freedom : 1.0,
                                           freedom > 0.0 ? 2.0 / freedom : 1.0);
    const auto steps = static_cast<std::size_t>(std::lround(seconds / history.step.count()));
    for (std::size_t n = 0; n < steps; ++n) {
        double energy = 0.0;
        for (const double part : {0.125, 0.375, 0.625, 0.875}) {
            const double time = history.step.count() * (static_cast<double>(n) + part);
            energy += 0.25 * std::pow(10.0, 0.1 * level(time));
        }
        const double factor = freedom > 0.0 ? spread(random) : 1.0;
        history.mean_square.push_back(static_cast<float>(factor * energy));
    }
    return history;
}

inline double uniform(Random& random, double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
}

/// The place in a cycle, 0 to 1.
inline double phase_of(double time, double period) {
    return time / period - std::floor(time / period);
}

/// Background at −70 dB with strokes that rise at once by `swing` dB and die away.
inline Course pumping(double period, double swing, double start = 0.0) {
    return [=](double time) {
        return -70.0 + swing * std::exp(-3.0 * phase_of(time - start, period));
    };
}

/// Background at −70 dB with strokes that come and go as a sine.
inline Course humming(double period, double swing, double start = 0.0) {
    return [=](double time) {
        return -70.0 + 0.5 * swing * std::sin(2.0 * std::numbers::pi * (time - start) / period);
    };
}

}  // namespace earbudget::test
