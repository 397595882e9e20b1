#include "earbudget/study/position.hpp"

#include <cmath>
#include <random>

#include <doctest/doctest.h>

#include "support/near.hpp"
#include "support/random_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

template <class L>
bool is_shifted(const std::optional<L>& before, const std::optional<L>& after, double by) {
    if (!before || !after) return before.has_value() == after.has_value();
    return near((*after - *before).dB(), by, 1e-9, Because::Arithmetic);
}

template <class Levels>
bool bands_are_shifted(const Levels& before, const Levels& after, double by) {
    bool all = true;
    for (const OctaveBand band : octave_bands)
        all = all && is_shifted(before.at(band), after.at(band), by);
    return all;
}

bool all_is_shifted(const SoundLevels& before, const SoundLevels& after, double by) {
    return is_shifted(std::optional(before.LAeq), std::optional(after.LAeq), by) &&
           is_shifted(before.LCeq, after.LCeq, by) && is_shifted(before.LCpeak, after.LCpeak, by) &&
           is_shifted(before.LZpeak, after.LZpeak, by) &&
           bands_are_shifted(before.octave, after.octave, by) &&
           bands_are_shifted(before.octave_A, after.octave_A, by) &&
           before.uncertainty == after.uncertainty;
}

// A sound with all that can be stated.
SoundLevels full_sound(std::mt19937& random) {
    SoundLevels sound = random_sequence(random, "a").levels;
    sound.LZpeak = PeakLevelZ(sound.LCpeak->dB() + 1.0);
    sound.octave_A.set(OctaveBand::Hz500, LevelA(90.0));
    sound.LAeq = *sound.a_weighted_octaves().sum();
    return sound;
}

double energy_sum(double a, double b) {
    return 10.0 * std::log10(std::pow(10.0, a / 10.0) + std::pow(10.0, b / 10.0));
}

}  // namespace

TEST_CASE("a difference alone shifts every level, and equal ones by band do the same") {
    std::mt19937 random(41);
    std::uniform_real_distribution<double> drawn(-60.0, 10.0);
    for (int round = 0; round < 100; ++round) {
        const SoundLevels sound = full_sound(random);
        const double by = drawn(random);
        const Transmission alone{.difference = LevelDifference(by)};
        Transmission by_band;
        for (const OctaveBand band : octave_bands)
            by_band.octave_difference.emplace(band, LevelDifference(by));
        CHECK(all_is_shifted(sound, *sound_there(sound, alone), by));
        CHECK(all_is_shifted(sound, *sound_there(sound, by_band), by));
        // A sound without bands takes the difference alone.
        SoundLevels bare{.LAeq = sound.LAeq, .LCeq = sound.LCeq, .LCpeak = sound.LCpeak};
        CHECK(all_is_shifted(bare, *sound_there(bare, alone), by));
        by_band.difference = LevelDifference(by);
        CHECK(all_is_shifted(bare, *sound_there(bare, by_band), by));
    }
}

TEST_CASE("LAeq and LCeq at a position follow their weighted sums over the bands") {
    // 100 dB at 125 Hz and 90 dB at 1 kHz; A weights −16.1 and 0, C −0.2 and 0 (IEC 61672-1,
    // table 3). At 125 Hz 5 dB less, at 1 kHz 30 dB less: 95 and 60 dB.
    SoundLevels sound{.LAeq = LevelA(91.0), .LCeq = LevelC(101.0)};
    sound.octave.set(OctaveBand::Hz125, LevelZ(100.0));
    sound.octave.set(OctaveBand::Hz1000, LevelZ(90.0));
    sound.LCpeak = PeakLevelC(115.0);
    sound.LZpeak = PeakLevelZ(116.0);
    Transmission wall;
    wall.octave_difference = {{OctaveBand::Hz125, LevelDifference(-5.0)},
                              {OctaveBand::Hz1000, LevelDifference(-30.0)}};
    const SoundLevels there = *sound_there(sound, wall);
    const double A_falls = energy_sum(83.9, 90.0) - energy_sum(78.9, 60.0);
    const double C_falls = energy_sum(99.8, 90.0) - energy_sum(94.8, 60.0);
    CHECK(near(there.LAeq.dB(), 91.0 - A_falls, 1e-9, Because::Arithmetic));
    CHECK(near(there.LCeq->dB(), 101.0 - C_falls, 1e-9, Because::Arithmetic));
    CHECK(there.octave.at(OctaveBand::Hz125)->dB() == 95.0);
    CHECK(there.octave.at(OctaveBand::Hz1000)->dB() == 60.0);
    // A peak may come from any band: by the largest difference, the safe side.
    CHECK(there.LCpeak->dB() == 110.0);
    CHECK(there.LZpeak->dB() == 111.0);
}

TEST_CASE("a band without a difference takes the difference alone, else the largest") {
    SoundLevels sound{.LAeq = LevelA(91.0)};
    for (const OctaveBand band : {OctaveBand::Hz125, OctaveBand::Hz1000, OctaveBand::Hz4000})
        sound.octave.set(band, LevelZ(90.0));
    sound.LCpeak = PeakLevelC(115.0);
    Transmission wall;
    wall.octave_difference = {{OctaveBand::Hz125, LevelDifference(-5.0)},
                              {OctaveBand::Hz1000, LevelDifference(-30.0)}};
    CHECK(sound_there(sound, wall)->octave.at(OctaveBand::Hz4000)->dB() == 85.0);
    wall.difference = LevelDifference(-20.0);
    CHECK(sound_there(sound, wall)->octave.at(OctaveBand::Hz4000)->dB() == 70.0);
    CHECK(sound_there(sound, wall)->LCpeak->dB() == 110.0);
    wall.difference = LevelDifference(-2.0);
    CHECK(sound_there(sound, wall)->LCpeak->dB() == 113.0);
}

TEST_CASE("bands as A-weighted measured are shifted by their own difference and beat mid-band") {
    SoundLevels sound{.LAeq = LevelA(91.0)};
    sound.octave.set(OctaveBand::Hz125, LevelZ(100.0));
    sound.octave_A.set(OctaveBand::Hz125, LevelA(91.0));  // tonal, away from mid-band
    Transmission wall;
    wall.octave_difference = {{OctaveBand::Hz125, LevelDifference(-7.0)}};
    const SoundLevels there = *sound_there(sound, wall);
    CHECK(there.octave_A.at(OctaveBand::Hz125)->dB() == 84.0);
    CHECK(near(there.LAeq.dB(), 84.0, 1e-9, Because::Arithmetic));
}

TEST_CASE("differences by band alone say nothing of a sound without bands") {
    const SoundLevels bare{.LAeq = LevelA(91.0)};
    Transmission wall;
    CHECK(!sound_there(bare, wall));
    wall.octave_difference = {{OctaveBand::Hz125, LevelDifference(-5.0)}};
    CHECK(!sound_there(bare, wall));
}

TEST_CASE("never louder than the largest difference makes it, never quieter than the smallest") {
    std::mt19937 random(42);
    std::uniform_real_distribution<double> drawn(-40.0, 5.0);
    for (int round = 0; round < 200; ++round) {
        const SoundLevels sound = full_sound(random);
        Transmission wall;
        double least = 100.0;
        double most = -100.0;
        for (std::size_t i = index_of(OctaveBand::Hz63); i <= index_of(OctaveBand::Hz8000); ++i) {
            const double by = drawn(random);
            wall.octave_difference.emplace(octave_bands[i], LevelDifference(by));
            least = std::min(least, by);
            most = std::max(most, by);
        }
        const double by = (sound_there(sound, wall)->LAeq - sound.LAeq).dB();
        CHECK(by >= least);
        CHECK(by <= most);
    }
}

TEST_CASE("two sounds at once: energies add, the higher peak counts, uncertainties by shares") {
    SoundLevels sound{.LAeq = LevelA(70.0), .LCeq = LevelC(72.0), .LCpeak = PeakLevelC(90.0)};
    sound.octave.set(OctaveBand::Hz500, LevelZ(60.0));
    sound.uncertainty = LevelDifference(1.5);
    SoundLevels room{.LAeq = LevelA(70.0), .LCeq = LevelC(78.0), .LCpeak = PeakLevelC(95.0)};
    room.octave.set(OctaveBand::Hz500, LevelZ(60.0));
    room.octave.set(OctaveBand::Hz125, LevelZ(75.0));
    room.uncertainty = LevelDifference(3.0);
    room.LZpeak = PeakLevelZ(97.0);
    const SoundLevels both = together(sound, room);
    const double twice = 10.0 * std::log10(2.0);
    CHECK(near(both.LAeq.dB(), 70.0 + twice, 1e-9, Because::Arithmetic));
    CHECK(near(both.LCeq->dB(), energy_sum(72.0, 78.0), 1e-9, Because::Arithmetic));
    CHECK(near(both.octave.at(OctaveBand::Hz500)->dB(), 60.0 + twice, 1e-9, Because::Arithmetic));
    CHECK(both.octave.at(OctaveBand::Hz125)->dB() == 75.0);
    CHECK(both.LCpeak->dB() == 95.0);
    CHECK(both.LZpeak->dB() == 97.0);
    // Each has half of the energy.
    CHECK(near(both.uncertainty->dB(), std::hypot(0.75, 1.5), 1e-9, Because::Arithmetic));
    // 10 dB below it has 1/11 of the energy: by ISO/IEC Guide 98-3, first order.
    CHECK(near(together(sound, room.shifted(LevelDifference(-10.0))).uncertainty->dB(),
               std::hypot(10.0 / 11.0 * 1.5, 1.0 / 11.0 * 3.0), 1e-9, Because::Arithmetic));
    room.uncertainty = std::nullopt;
    CHECK(!together(sound, room).uncertainty);
    // Of 1 % of the energy the uncertainty need not be known.
    CHECK(together(sound, room.shifted(LevelDifference(-21.0))).uncertainty);
}

TEST_CASE("a sound without bands or LCeq gets none from the background, which would stand alone") {
    const SoundLevels bare{.LAeq = LevelA(90.0)};
    SoundLevels room{.LAeq = LevelA(50.0), .LCeq = LevelC(60.0)};
    room.octave.set(OctaveBand::Hz500, LevelZ(50.0));
    const SoundLevels both = together(bare, room);
    CHECK(!both.LCeq);
    CHECK(both.octave.empty());
}

TEST_CASE("a background far below changes nothing that anybody could measure") {
    std::mt19937 random(43);
    const SoundLevels sound = full_sound(random);
    const SoundLevels both = together(sound, sound.shifted(LevelDifference(-40.0)));
    CHECK(
        near((both.LAeq - sound.LAeq).dB(), 10.0 * std::log10(1.0001), 1e-9, Because::Arithmetic));
}

TEST_CASE("the door decides which levels hold where there is one") {
    Position place{.id = "door", .door_shut = {.difference = LevelDifference(-30.0)}};
    CHECK(place.with(false).difference->dB() == -30.0);
    CHECK(place.with(true).difference->dB() == -30.0);
    place.door_open = Transmission{.difference = LevelDifference(-5.0)};
    CHECK(place.with(false).difference->dB() == -30.0);
    CHECK(place.with(true).difference->dB() == -5.0);
}

TEST_CASE(
    "behind a wall nothing lacks low frequencies; a background of no weight changes nothing") {
    const Transmission wall{.difference = LevelDifference(-5.0)};
    SoundLevels sound{.LAeq = LevelA(104.0), .low_frequency = false};
    CHECK(!sound_there(sound, wall)->low_frequency);
    sound.low_frequency = true;
    CHECK(sound_there(sound, wall)->low_frequency == true);
    sound.low_frequency = false;
    // 30 dB lower is 0.1 % of the energy, 10 dB lower is 9 %.
    CHECK(together(sound, {.LAeq = LevelA(74.0)}).low_frequency == false);
    CHECK(!together(sound, {.LAeq = LevelA(94.0)}).low_frequency);
}
