#include <cmath>

#include <doctest/doctest.h>

#include "earbudget/measurement/meters/peak_meter.hpp"
#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

constexpr Seconds stretch{0.04};

/// Peaks of steady sound: within a decibel or so of each other.
Samples steady(std::size_t count) {
    Samples peaks = narrow(white_noise(0.02, static_cast<double>(count), 1.0, count));
    for (float& peak : peaks)
        peak += 0.2F;
    return peaks;
}

}  // namespace

TEST_CASE("A few peaks far above all others are found, with where and how far") {
    Samples peaks = steady(1000);
    CHECK(!find_rare_peaks(peaks, stretch).has_value());
    peaks[250] = 0.9F;
    peaks[700] = 0.6F;
    const auto found = find_rare_peaks(peaks, stretch);
    REQUIRE(found.has_value());
    CHECK(found->count == 2);
    CHECK(near(found->first.count(), 10.0, 1e-9, Because::Arithmetic));
    const float rest = *std::max_element(peaks.begin(), peaks.begin() + 250);
    CHECK(near(found->above_the_rest.dB(), 20.0 * std::log10(0.9 / static_cast<double>(rest)), 0.2,
               Because::SeededRandomness));
}

TEST_CASE("Peaks that recur are part of the sound, and few stretches tell nothing") {
    for (const std::size_t every : {2U, 10U, 50U, 90U}) {
        CAPTURE(every);
        Samples peaks = steady(1000);
        for (std::size_t n = 0; n < peaks.size(); n += every)
            peaks[n] = 0.9F;
        CHECK(!find_rare_peaks(peaks, stretch).has_value());
    }
    Samples few = steady(99);
    few[50] = 0.9F;
    CHECK(!find_rare_peaks(few, stretch).has_value());
    CHECK(!find_rare_peaks(Samples(500, 0.0F), stretch).has_value());
}

TEST_CASE("Steady noise has no rare peaks, and a click in it is one") {
    std::size_t alarms = 0;
    for (std::uint64_t seed = 1; seed <= 20; ++seed) {
        const Signal noise = white_noise(0.05, 6.0, 48000, seed);
        if (reading_of(noise, 48000).rare_peaks) ++alarms;
    }
    CHECK(alarms == 0);
    Signal click = white_noise(0.05, 6.0, 48000, 3);
    for (std::size_t n = 200000; n < 200010; ++n)
        click[n] = 0.9;
    const auto found = reading_of(click, 48000).rare_peaks;
    REQUIRE(found.has_value());
    CHECK(found->count <= 2);
    CHECK(near(found->first.count(), 200000.0 / 48000.0, 0.05, Because::Arithmetic));
}
