#include <limits>
#include <string>

#include <doctest/doctest.h>

#include "earbudget/study/sequence.hpp"
#include "report/words/words.hpp"

using namespace earbudget;

namespace {

SoundLevels with_octaves(double LAeq) {
    SoundLevels levels{.LAeq = LevelA(LAeq)};
    levels.octave.set(OctaveBand::Hz1000, LevelZ(100.0));
    return levels;
}

bool contradicts(const SoundLevels& levels, const std::string& words) {
    const auto found = contradiction_in(levels);
    return found && text_of(found->says).find(words) != std::string::npos;
}

}  // namespace

TEST_CASE("LAeq and the octave bands may be 1 dB apart, not more, both numbers are named") {
    CHECK(!contradiction_in(with_octaves(100.0)));
    CHECK(!contradiction_in(with_octaves(101.0)));
    CHECK(!contradiction_in(with_octaves(99.0)));
    CHECK(contradicts(with_octaves(101.1), "101.1"));
    CHECK(contradicts(with_octaves(101.1), "100.0"));
    CHECK(contradicts(with_octaves(98.9), "98.9"));
    // More bands could only raise the sum.
    const std::string left_out = "no octave bands where not all are known";
    CHECK(contradicts(with_octaves(101.1), left_out));
    CHECK(!contradicts(with_octaves(98.9), left_out));
}

TEST_CASE("A-weighted bands as measured stand for a tonal sound away from mid-band") {
    // A tone of 100 dB at 700 Hz: −1.4 dB there, −3.2 dB at mid-band.
    SoundLevels tone{.LAeq = LevelA(98.6)};
    tone.octave.set(OctaveBand::Hz500, LevelZ(100.0));
    CHECK(contradiction_in(tone));
    tone.octave_A.set(OctaveBand::Hz500, LevelA(98.6));
    CHECK(!contradiction_in(tone));
    // Between the edges of the band, 355 and 708 Hz, the weighting is −5.7 to −1.4 dB.
    for (const double impossible : {99.9, 92.0}) {
        tone.octave_A.set(OctaveBand::Hz500, LevelA(impossible));
        tone.LAeq = LevelA(impossible);
        const auto found = contradiction_in(tone);
        REQUIRE(found);
        CHECK(found->key == "octave_A");
    }
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

TEST_CASE("LAeq above the unweighted level by more than A weighting amplifies is refused") {
    SoundLevels levels{.LAeq = LevelA(101.3)};
    levels.octave.set(OctaveBand::Hz2000, LevelZ(100.0));  // 101.2 dB(A)
    CHECK(!contradiction_in(levels));
    levels.LAeq = LevelA(101.4);
    CHECK(contradicts(levels, "101.4"));
}

TEST_CASE("LCeq may be 1 dB below the octave bands, not more, and anything above") {
    SoundLevels levels{.LAeq = LevelA(100.0), .LCeq = LevelC(99.0)};
    levels.octave.set(OctaveBand::Hz1000, LevelZ(100.0));
    CHECK(!contradiction_in(levels));
    levels.LCeq = LevelC(98.9);
    const auto found = contradiction_in(levels);
    REQUIRE(found);
    CHECK(found->key == "LCeq");
    CHECK(contradicts(levels, "98.9"));
    levels.LCeq = LevelC(110.0);  // rumble below the bands
    CHECK(!contradiction_in(levels));
}

TEST_CASE("a contradiction names the key to look at") {
    const auto key_of = [](const SoundLevels& levels) { return contradiction_in(levels)->key; };
    CHECK(key_of({.LAeq = LevelA(100.0), .LCpeak = PeakLevelC(90.0)}) == "LCpeak");
    CHECK(key_of({.LAeq = LevelA(100.0), .LZpeak = PeakLevelZ(90.0)}) == "LZpeak");
    CHECK(key_of({.LAeq = LevelA(100.0), .LCeq = LevelC(200.0)}) == "LCeq");
    CHECK(key_of({.LAeq = LevelA(100.0), .uncertainty = LevelDifference(-1.0)}) == "uncertainty");
}

TEST_CASE("low frequencies are not lacking where LC lies 5 dB or more above LA") {
    SoundLevels levels{.LAeq = LevelA(100.0), .LCeq = LevelC(104.9), .low_frequency = false};
    CHECK(!contradiction_in(levels));
    levels.LCeq = LevelC(105.0);
    CHECK(contradicts(levels, "low_frequency is false"));
    CHECK(contradicts(levels, "5.0 dB above LAeq"));
    levels.low_frequency = true;
    CHECK(!contradiction_in(levels));
    levels.low_frequency = std::nullopt;
    CHECK(!contradiction_in(levels));
}
