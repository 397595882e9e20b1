#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>

#include "earbudget/measurement/meters/clipping_meter.hpp"
#include "measurement/formats.hpp"
#include "measurement/signals.hpp"

namespace earbudget::test {

inline Clipping clipping_of(const Signal& signal, const SampleFormat& format,
                            std::size_t block = 4096) {
    ClippingMeter meter(format.quantization);
    add_in_blocks(meter, recorded(signal, format), block);
    return meter.clipping();
}

inline Signal limited(Signal signal, double low, double high) {
    for (double& x : signal)
        x = std::clamp(x, low, high);
    return signal;
}

inline Signal raised(Signal signal, double offset) {
    for (double& x : signal)
        x += offset;
    return signal;
}

/// Noise without much above a tenth of the sampling rate, about ±0.5.
inline Signal smooth_noise(double seconds, double rate, std::uint64_t seed = 1) {
    Signal noise = white_noise(1.0, seconds, rate, seed);
    double state = 0.0;
    for (double& x : noise)
        x = state += 0.3 * (x - state);
    return noise;
}

inline bool same(const Clipping& a, const Clipping& b) {
    return a.stretches == b.stretches && a.first_sample == b.first_sample && a.at == b.at &&
           a.below_full_scale == b.below_full_scale;
}

}  // namespace earbudget::test
