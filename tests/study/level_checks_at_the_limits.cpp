// What a card may be apart by, to the last bit of it: both sides of each limit.
#include <cmath>

#include <doctest/doctest.h>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/study/sequence.hpp"

using namespace earbudget;

namespace {

/// The tolerance that the sum of octave bands has, 1 dB and the arithmetic's slack.
double most_apart() { return (octave_sum_tolerance + level_slack).dB(); }

/// One band of 0 dB at 1 kHz, where both weightings are 0 dB: its sums are 0 dB without rounding.
SoundLevels band_of_0_dB(double LAeq) {
    SoundLevels levels{.LAeq = LevelA(LAeq)};
    levels.octave.set(OctaveBand::Hz1000, LevelZ(0.0));
    return levels;
}

}  // namespace

TEST_CASE("LAeq as far from the octave sum as the tolerance is accepted, and nothing farther") {
    for (const double side : {-1.0, 1.0}) {
        CAPTURE(side);
        CHECK(!contradiction_in(band_of_0_dB(side * most_apart())));
        CHECK(contradiction_in(band_of_0_dB(side * std::nextafter(most_apart(), 2.0))));
    }
}

TEST_CASE("LCeq as far below the octave sum as the tolerance is accepted, and nothing farther") {
    SoundLevels levels = band_of_0_dB(0.0);
    levels.LCeq = LevelC(-most_apart());
    CHECK(!contradiction_in(levels));
    levels.LCeq = LevelC(-std::nextafter(most_apart(), 2.0));
    CHECK(contradiction_in(levels));
}
