#include "earbudget/study/sequence.hpp"

#include <limits>
#include <string>

#include <doctest/doctest.h>

using namespace earbudget;

namespace {

SoundLevels with_octaves(double LAeq) {
    SoundLevels levels{.LAeq = LevelA(LAeq)};
    levels.octave.set(OctaveBand::Hz1000, LevelZ(100.0));
    return levels;
}

bool contradicts(const SoundLevels& levels, const std::string& words) {
    const auto found = contradiction_in(levels);
    return found && found->find(words) != std::string::npos;
}

}  // namespace

TEST_CASE("LAeq and the octave bands may be 1 dB apart, not more, both numbers are named") {
    CHECK(!contradiction_in(with_octaves(100.0)));
    CHECK(!contradiction_in(with_octaves(101.0)));
    CHECK(!contradiction_in(with_octaves(99.0)));
    CHECK(contradicts(with_octaves(101.1), "101.1"));
    CHECK(contradicts(with_octaves(101.1), "100.0"));
    CHECK(contradicts(with_octaves(98.9), "98.9"));
}

TEST_CASE("A-weighted bands as measured stand for a tonal sound away from mid-band") {
    // A tone of 100 dB at 700 Hz: −1.1 dB there, −3.2 dB at mid-band.
    SoundLevels tone{.LAeq = LevelA(98.9)};
    tone.octave.set(OctaveBand::Hz500, LevelZ(100.0));
    CHECK(contradiction_in(tone));
    tone.octave_A.set(OctaveBand::Hz500, LevelA(98.9));
    CHECK(!contradiction_in(tone));
    tone.octave_A.set(OctaveBand::Hz500, LevelA(101.5));
    tone.LAeq = LevelA(101.5);
    CHECK(contradicts(tone, "101.5"));  // A weighting never amplifies by 1.5 dB
}

TEST_CASE("what the weightings do not allow is refused") {
    SoundLevels levels{.LAeq = LevelA(100.0), .LCeq = LevelC(98.5)};
    CHECK(!contradiction_in(levels));
    levels.LCeq = LevelC(97.5);
    CHECK(contradicts(levels, "LCeq"));
}

TEST_CASE("a peak below the average is refused") {
    SoundLevels levels{.LAeq = LevelA(100.0), .LCpeak = PeakLevelC(99.0)};
    CHECK(!contradiction_in(levels));  // LC could be 98 dB
    levels.LCeq = LevelC(101.0);
    CHECK(contradicts(levels, "LCpeak"));
    levels.LCpeak = PeakLevelC(101.0);
    CHECK(!contradiction_in(levels));
}

TEST_CASE("no level outside −20 to 190 dB, and none that is not a number") {
    CHECK(contradicts({.LAeq = LevelA(190.1)}, "190"));
    CHECK(contradicts({.LAeq = LevelA(-20.1)}, "-20"));
    CHECK(contradiction_in({.LAeq = LevelA(std::numeric_limits<double>::quiet_NaN())}));
    CHECK(contradiction_in({.LAeq = LevelA(std::numeric_limits<double>::infinity())}));
}
