#include "earbudget/acoustics/level.hpp"

#include <algorithm>
#include <random>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/acoustics/units.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("two equal levels sum to 3.01 dB more, ten to 10 dB more") {
    const std::vector<LevelA> two(2, LevelA(80.0));
    const std::vector<LevelA> ten(10, LevelA(80.0));
    CHECK(near(energy_sum<quantity::AWeighted>(two)->dB(), 83.0103, 0.0001, Because::Arithmetic));
    CHECK(near(energy_sum<quantity::AWeighted>(ten)->dB(), 90.0, 1e-9, Because::Arithmetic));
    CHECK(near(energy_mean<quantity::AWeighted>(ten)->dB(), 80.0, 1e-9, Because::Arithmetic));
}

TEST_CASE("nothing has no level: an empty sum is none, not minus infinity") {
    CHECK(!energy_sum<quantity::AWeighted>({}));
    CHECK(!energy_mean<quantity::AWeighted>({}));
    CHECK(!level_of_relative_energy<quantity::AWeighted>(0.0));
}

TEST_CASE("an energy sum does not depend on order or grouping, and holds at the extremes") {
    std::mt19937 random(1);
    std::uniform_real_distribution<double> any_level(-20.0, 190.0);
    for (int round = 0; round < 200; ++round) {
        std::vector<LevelA> levels;
        for (int i = 0; i < 7; ++i)
            levels.emplace_back(any_level(random));
        const double all = energy_sum<quantity::AWeighted>(levels)->dB();
        const std::span<const LevelA> span(levels);
        const std::vector<LevelA> halves = {*energy_sum(span.first(3)), *energy_sum(span.last(4))};
        CHECK(near(energy_sum<quantity::AWeighted>(halves)->dB(), all, 1e-9, Because::Arithmetic));
        std::shuffle(levels.begin(), levels.end(), random);
        CHECK(near(energy_sum<quantity::AWeighted>(levels)->dB(), all, 1e-9, Because::Arithmetic));
    }
}

TEST_CASE("levels and pressures go back and forth") {
    for (double dB = -20.0; dB <= 190.0; dB += 3.7) {
        CHECK(near(level_of<quantity::AWeighted>(pressure_of(LevelA(dB))).dB(), dB, 1e-9,
                   Because::Arithmetic));
    }
    // ISO 80000-8: 1 Pa is 94.0 dB re 20 µPa, 93.979 to three decimals.
    CHECK(near(level_of<quantity::AWeighted>(Pressure(1.0)).dB(), 93.979, 0.0005,
               Because::PrintedRounding));
}

TEST_CASE("1 Pa²h is eight hours at 84.95 dB(A)") {
    CHECK(near(sound_exposure_Pa2h(LevelA(84.949), Hours(8)), 1.0, 0.0005, Because::Arithmetic));
}

TEST_CASE("LC minus LA is the difference of the two values") {
    CHECK(near(c_minus_a(LevelC(93.0), LevelA(90.5)).dB(), 2.5, 1e-12, Because::Arithmetic));
}
