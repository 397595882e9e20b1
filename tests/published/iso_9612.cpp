// ISO 9612, Acoustics — Determination of occupational noise exposure — Engineering method.
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/exposure/exposure_part.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("ISO 9612, annex D: three tasks give LEX,8h 84.3 dB (2009 edition, memory)") {
    const std::vector<LevelA> cutting = {LevelA(80.1), LevelA(82.2), LevelA(79.6)};
    const std::vector<LevelA> welding = {LevelA(86.5), LevelA(92.4), LevelA(89.3),
                                         LevelA(93.2), LevelA(87.8), LevelA(86.2)};
    const std::vector<ExposurePart> day = {{LevelA(70.0), Hours(1.5)},
                                           {energy_mean<quantity::AWeighted>(cutting), Hours(5.0)},
                                           {energy_mean<quantity::AWeighted>(welding), Hours(1.5)}};
    CHECK(near(daily_exposure_level(day)->dB(), 84.3, 0.05, Because::PrintedRounding));
}
