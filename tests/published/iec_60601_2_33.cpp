// IEC 60601-2-33, 201.9.6.2.1: noise of magnetic resonance equipment.
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/acoustics/units.hpp"
#include "support/near.hpp"
#include "support/published.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

const Criterion& scanner_standard() { return published("iec-60601-2-33"); }

}  // namespace

TEST_CASE("99 dB(A) over the highest hour (memory), 140 dB unweighted peak (seen)") {
    CHECK(scanner_standard().limit() == 99.0);
    CHECK(scanner_standard().peak->weighting == PeakLimit::Weighting::None);
    CHECK(near(level_of<quantity::UnweightedPeak>(scanner_standard().peak->pressure).dB(), 140.0,
               1e-9, Because::Arithmetic));
    CHECK(scanner_standard().is_for(Role::Participant));
    CHECK(scanner_standard().is_for(Role::Accompanying));  // others in the room: memory
    CHECK(!scanner_standard().is_for(Role::Staff));
    const std::vector<ExposurePart> hour = {{LevelA(99.0), Hours(1)}};
    CHECK(!is_over(scanner_standard(), hour));
    const std::vector<ExposurePart> half_hour = {{LevelA(102.0), Hours(0.5)}};
    CHECK(near(*value_of(scanner_standard(), half_hour), 98.99, 0.005, Because::PrintedRounding));
    const std::vector<ExposurePart> louder = {{LevelA(99.1), Hours(1)}};
    CHECK(is_over(scanner_standard(), louder));
}

TEST_CASE("99 dB(A) for an hour is LEX,8h 90.0, of which NIOSH allows 18.9 minutes (derived)") {
    const std::vector<ExposurePart> hour = {{LevelA(99.0), Hours(1)}};
    CHECK(near(daily_exposure_level(hour)->dB(), 90.0, 0.05, Because::PrintedRounding));
    CHECK(near(published("niosh-rel").rule.permitted_time(LevelA(99.0)).count() / 60.0, 18.9, 0.05,
               Because::PrintedRounding));
}
