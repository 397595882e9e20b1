#include <string>

#include <doctest/doctest.h>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/acoustics/sound_levels.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("each octave begins where the one below it ends") {
    for (std::size_t i = 1; i < octave_band_count; ++i) {
        const double gap = lower_edge(octave_bands[i]) / upper_edge(octave_bands[i - 1]);
        CHECK(near(gap, 1.0, 1e-12, Because::Arithmetic));
    }
}

TEST_CASE("nominal frequencies name the bands and lie within 1 % of the exact ones") {
    // IEC 61260-1: 31.5 names 31.623 Hz, 16000 names 15849 Hz.
    for (const OctaveBand band : octave_bands) {
        CHECK(octave_band_named(nominal_frequency(band)) == band);
        CHECK(near(nominal_frequency(band) / mid_band_frequency(band), 1.0, 0.01,
                   Because::PrintedRounding));
        CHECK(std::stod(std::string(name_of(band))) == nominal_frequency(band).Hz());
    }
    CHECK(!octave_band_named(Frequency(100.0)));
}

TEST_CASE("octave levels keep which bands are there, shift together and sum by energy") {
    OctaveLevelsZ levels;
    CHECK(levels.empty());
    CHECK(!levels.sum());
    levels.set(OctaveBand::Hz500, LevelZ(80.0));
    levels.set(OctaveBand::Hz2000, LevelZ(80.0));
    CHECK(levels.bands().count() == 2);
    CHECK(!levels.at(OctaveBand::Hz1000));
    CHECK(near(levels.sum()->dB(), 83.0103, 0.0001, Because::Arithmetic));
    const OctaveLevelsZ louder = levels.shifted(LevelDifference(10.0));
    CHECK(near(louder.at(OctaveBand::Hz500)->dB(), 90.0, 1e-12, Because::Arithmetic));
    // −3.2 and +1.2 dB of IEC 61672-1, table 3.
    CHECK(near(a_weighted(levels).at(OctaveBand::Hz500)->dB(), 76.8, 1e-12, Because::Arithmetic));
    CHECK(near(a_weighted(levels).at(OctaveBand::Hz2000)->dB(), 81.2, 1e-12, Because::Arithmetic));
}
