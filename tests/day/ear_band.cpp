#include "earbudget/day/ear_band.hpp"

#include <cmath>
#include <string_view>

#include <doctest/doctest.h>

using namespace earbudget;

TEST_CASE("EN 458: bands at the ear, at their boundaries (75 to 80 dB(A) seen, the rest memory)") {
    const auto above = [](double level) { return LevelA(std::nextafter(level, 1000.0)); };
    const auto below = [](double level) { return LevelA(std::nextafter(level, -1000.0)); };
    CHECK(ear_band(LevelA(120.0)) == EarBand::Insufficient);
    CHECK(ear_band(above(85.0)) == EarBand::Insufficient);
    CHECK(ear_band(LevelA(85.0)) == EarBand::AcceptableHigh);
    CHECK(ear_band(above(80.0)) == EarBand::AcceptableHigh);
    CHECK(ear_band(LevelA(80.0)) == EarBand::Ideal);
    CHECK(ear_band(LevelA(75.0)) == EarBand::Ideal);
    CHECK(ear_band(below(75.0)) == EarBand::AcceptableLow);
    CHECK(ear_band(LevelA(70.0)) == EarBand::AcceptableLow);
    CHECK(ear_band(below(70.0)) == EarBand::MoreThanUseful);
    CHECK(ear_band(LevelA(-20.0)) == EarBand::MoreThanUseful);
}

TEST_CASE("a louder ear is never in a lower band, and all five are met on the way") {
    int changes = 0;
    for (double level = 60.0; level < 100.0; level += 0.01) {
        const EarBand here = ear_band(LevelA(level));
        const EarBand louder = ear_band(LevelA(level + 0.01));
        CHECK(louder <= here);  // the enumerators begin with the loudest
        changes += louder != here ? 1 : 0;
    }
    CHECK(changes == 4);
}

TEST_CASE("bands as results name them") {
    CHECK(name_of(EarBand::Insufficient) == "insufficient");
    CHECK(name_of(EarBand::AcceptableHigh) == "acceptable");
    CHECK(name_of(EarBand::Ideal) == "ideal");
    CHECK(name_of(EarBand::AcceptableLow) == "acceptable");
    CHECK(name_of(EarBand::MoreThanUseful) == "more-than-useful");
}
