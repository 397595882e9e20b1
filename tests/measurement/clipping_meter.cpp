#include "earbudget/measurement/clipping_meter.hpp"

#include <doctest/doctest.h>

#include "measurement/signals.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

constexpr double step_16 = 1.0 / 32768.0;
constexpr Quantization bits_16{1.0 - step_16, step_16};

Clipping clipping_of(const Signal& signal, std::optional<Quantization> quantization,
                     std::size_t block = 4096) {
    ClippingMeter meter(quantization);
    for (std::size_t n = 0; n < signal.size(); n += block) {
        meter.add(std::span(signal).subspan(n, std::min(block, signal.size() - n)));
    }
    return meter.clipping();
}

}  // namespace

TEST_CASE("Three consecutive samples at full scale of an integer format are clipping") {
    const double top = 1.0 - step_16;
    CHECK(clipping_of({0.0, top, top, 0.0, top, 0.0}, bits_16).stretches == 0);
    CHECK(clipping_of({0.0, top, top, top, top, 0.0}, bits_16).stretches == 1);
    CHECK(clipping_of({0.0, -1.0, top, -1.0, 0.0}, bits_16).stretches == 1);
    CHECK(clipping_of({0.0, top - step_16, top, top - step_16, 0.0}, bits_16).stretches == 0);
}

TEST_CASE("Stretches are counted and the first is located, in blocks of any size") {
    Signal signal(100, 0.0);
    for (const std::size_t begin : {std::size_t{10}, std::size_t{50}, std::size_t{97}}) {
        for (std::size_t n = begin; n < begin + 3; ++n)
            signal[n] = 1.0;
    }
    for (const std::size_t block : {std::size_t{1}, std::size_t{2}, std::size_t{64}}) {
        const Clipping clipping = clipping_of(signal, bits_16, block);
        CHECK(clipping.stretches == 3);
        CHECK(clipping.first_sample == 10);
    }
}

TEST_CASE("A floating-point recording is clipped where it is flat, not where it is loud") {
    CHECK(clipping_of({0.0, 1.2, 1.5, 1.3, 0.0}, std::nullopt).stretches == 0);
    CHECK(clipping_of({0.0, 1.0, 1.0, 1.0, 0.0}, std::nullopt).stretches == 1);
    CHECK(clipping_of({0.0, 1.5, 1.5, 1.5, 0.0}, std::nullopt).stretches == 1);
    CHECK(clipping_of({0.0, 0.5, 0.5, 0.5, 0.0}, std::nullopt).stretches == 0);
    // 16-bit clipping in a 24-bit or floating-point container.
    const double top = 1.0 - step_16;
    CHECK(clipping_of({0.0, top, top, top, 0.0}, std::nullopt).stretches == 1);
}

TEST_CASE("Silence and a clean full-scale tone are not clipped") {
    CHECK(clipping_of(silence(0.1, 48000), bits_16).stretches == 0);
    CHECK(clipping_of(sine(1000, 1.0 - step_16, 0.1, 48000), bits_16).stretches == 0);
}
