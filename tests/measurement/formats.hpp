#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "earbudget/measurement/meters/sample_source.hpp"
#include "measurement/signals.hpp"

namespace earbudget::test {

using Samples = std::vector<float>;

constexpr Quantization linear(double step) { return {1.0 - step, step}; }

/// A step of 16 bits, as a fraction of full scale.
inline constexpr double step_16 = 0x1p-15;
inline constexpr Quantization linear_16 = linear(step_16);

struct SampleFormat {
    std::string name;
    std::optional<Quantization> quantization;
};

inline const std::array<SampleFormat, 4> sample_formats = {{{"8 bits", linear(0x1p-7)},
                                                            {"16 bits", linear(0x1p-15)},
                                                            {"24 bits", linear(0x1p-23)},
                                                            {"float", std::nullopt}}};
inline const SampleFormat& bits_8 = sample_formats[0];
inline const SampleFormat& bits_16 = sample_formats[1];
inline const SampleFormat& bits_24 = sample_formats[2];
inline const SampleFormat& floating = sample_formats[3];

/// What a file of this format gives back.
inline Samples recorded(const Signal& signal, const SampleFormat& format) {
    Samples samples;
    samples.reserve(signal.size());
    for (double x : signal) {
        if (const auto& q = format.quantization) {
            x = std::clamp(std::round(x / q->step) * q->step, -1.0, q->largest_code);
        }
        samples.push_back(static_cast<float>(x));
    }
    return samples;
}

/// Gives a meter the samples in blocks of this size.
template <typename Meter>
void add_in_blocks(Meter& meter, std::span<const float> samples, std::size_t block) {
    while (!samples.empty()) {
        const auto part = samples.first(std::min(block, samples.size()));
        meter.add(part);
        samples = samples.subspan(part.size());
    }
}

/// One sample at a time, around every length of a vector, and all at once.
inline constexpr std::array<std::size_t, 9> block_sizes = {1, 2, 3, 7, 17, 33, 255, 1000, 1U << 20};

}  // namespace earbudget::test
