// WHO and ITU-T H.870 (03/2022), safe listening: 1.6 Pa²h a week for adults, which is 80 dB(A) for
// 40 h, and a third of it for children, 75 dB(A) for 40 h or 0.51 Pa²h (read in ITU's summary).
#include <cmath>
#include <vector>

#include <doctest/doctest.h>

#include "support/near.hpp"
#include "support/published.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("H.870: 40 hours a week at 80 dB(A), children 75 dB(A)") {
    for (const auto& [id, level] :
         {std::pair{"who-public-adult", 80.0}, std::pair{"who-public-child", 75.0}}) {
        const Criterion& criterion = published(id);
        CAPTURE(id);
        CHECK(criterion.limit() == 100.0);
        const std::vector<ExposurePart> day = {{LevelA(level), Hours(8)}};
        CHECK(near(*value_of(criterion, in_a_week(criterion, day, 5.0)), 100.0, 1e-9,
                   Because::Arithmetic));
        CHECK(!is_over(criterion, in_a_week(criterion, day, 5.0)));
        CHECK(is_over(criterion, in_a_week(criterion, day, 5.1)));
        // Energy: 10 dB more leaves a tenth of the time, whatever the level.
        double hours = 40.0;
        for (double L = level; L <= level + 40.0; L += 10.0, hours /= 10.0) {
            const std::vector<ExposurePart> once = {{LevelA(L), Hours(hours)}};
            CHECK(near(*value_of(criterion, in_a_week(criterion, once, 1.0)), 100.0, 1e-9,
                       Because::Arithmetic));
        }
        CHECK(criterion.roles == std::vector<Role>{Role::Participant, Role::Accompanying});
        CHECK(criterion.with_protection);
    }
}

TEST_CASE("H.870: the dose is the sound exposure, 1.6 Pa²h adults and 0.51 Pa²h children (read)") {
    const std::vector<ExposurePart> day = {
        {LevelA(113.0), Hours(0.7)}, {LevelA(91.0), Hours(0.7)}, {LevelA(64.0), Hours(3)}};
    const double exposure = sound_exposure_Pa2h(day);
    CHECK(near(*value_of(published("who-public-adult"), day), 100.0 * exposure / 1.6,
               1e-9 * exposure, Because::Arithmetic));
    CHECK(near(100.0 * exposure / *value_of(published("who-public-child"), day), 0.51, 0.005,
               Because::PrintedRounding));
    const std::vector<ExposurePart> week = {{LevelA(80.0), Hours(40)}};
    CHECK(near(sound_exposure_Pa2h(week), 1.6, 1e-9, Because::Arithmetic));
}

TEST_CASE("a weekly dose adds up the days, half a day a week counts as the one day that it is") {
    const Criterion& adult = published("who-public-adult");
    CHECK(adult.days_counted(3.0) == 3.0);
    CHECK(adult.days_counted(2.5) == 2.5);
    CHECK(adult.days_counted(0.5) == 1.0);
    CHECK(adult.days_counted(0.0) == 1.0);
    CHECK(published("niosh-rel").days_counted(5.0) == 1.0);
    CHECK(published("iec-60601-2-33").days_counted(5.0) == 1.0);
}
