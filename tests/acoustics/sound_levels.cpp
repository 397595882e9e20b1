#include "earbudget/acoustics/sound_levels.hpp"

#include <doctest/doctest.h>

#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

SoundLevels with_bands(std::size_t first, std::size_t last) {
    SoundLevels levels{.LAeq = LevelA(90.0)};
    for (std::size_t i = first; i <= last; ++i)
        levels.octave.set(octave_bands[i], LevelZ(90.0));
    return levels;
}

constexpr std::size_t Hz63 = index_of(OctaveBand::Hz63);
constexpr std::size_t Hz125 = index_of(OctaveBand::Hz125);
constexpr std::size_t Hz4000 = index_of(OctaveBand::Hz4000);
constexpr std::size_t Hz8000 = index_of(OctaveBand::Hz8000);

}  // namespace

TEST_CASE("LC comes from LCeq, else from complete octave bands, never from some of them") {
    CHECK(with_bands(Hz63, Hz8000).c_weighted_level());
    CHECK(with_bands(Hz125, Hz8000).c_weighted_level());
    CHECK(!with_bands(Hz125, Hz4000).c_weighted_level());
    CHECK(!with_bands(Hz125 + 1, Hz8000).c_weighted_level());
    SoundLevels stated = with_bands(Hz125, Hz4000);
    stated.LCeq = LevelC(95.0);
    CHECK(stated.c_weighted_level() == LevelC(95.0));
}

TEST_CASE("a band as measured with A weighting stands in the place of the one at mid-band") {
    SoundLevels levels = with_bands(Hz125, Hz8000);
    levels.octave_A.set(OctaveBand::Hz500, LevelA(88.5));
    const OctaveLevelsA bands = levels.a_weighted_octaves();
    CHECK(bands.at(OctaveBand::Hz500) == LevelA(88.5));
    CHECK(near(bands.at(OctaveBand::Hz1000)->dB(), 90.0, 1e-12, Because::Arithmetic));
    CHECK(near(bands.at(OctaveBand::Hz125)->dB(), 90.0 - 16.1, 1e-12, Because::Arithmetic));
}

TEST_CASE("another position shifts everything by the same difference but not the uncertainty") {
    SoundLevels levels = with_bands(Hz63, Hz8000);
    levels.LCeq = LevelC(97.0);
    levels.LCpeak = PeakLevelC(120.0);
    levels.LZpeak = PeakLevelZ(121.0);
    levels.octave_A.set(OctaveBand::Hz500, LevelA(88.5));
    levels.uncertainty = LevelDifference(1.5);
    const SoundLevels farther = levels.shifted(LevelDifference(-40.0));
    CHECK(farther.LAeq == LevelA(50.0));
    CHECK(farther.LCeq == LevelC(57.0));
    CHECK(farther.LCpeak == PeakLevelC(80.0));
    CHECK(farther.LZpeak == PeakLevelZ(81.0));
    CHECK(farther.octave.at(OctaveBand::Hz63) == LevelZ(50.0));
    CHECK(farther.octave_A.at(OctaveBand::Hz500) == LevelA(48.5));
    CHECK(farther.uncertainty == LevelDifference(1.5));
}
