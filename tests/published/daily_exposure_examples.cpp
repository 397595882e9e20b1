// Days of published guidelines: DGUV Information 209-023, WorkSafeBC's guideline part 7,
// 29 CFR 1926.52(d)(2)(iii) and the Canadian table of an 87 dB(A) criterion (all read).
#include <cmath>
#include <vector>

#include <doctest/doctest.h>

#include "support/near.hpp"
#include "support/published.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("DGUV Information 209-023: 5 h 87.1, 2 h 89.3, 1 h 86.5 give 87.7 dB(A) (read)") {
    const std::vector<ExposurePart> day = {
        {LevelA(87.1), Hours(5)}, {LevelA(89.3), Hours(2)}, {LevelA(86.5), Hours(1)}};
    CHECK(near(daily_exposure_level(day)->dB(), 87.7, 0.05, Because::PrintedRounding));
}

TEST_CASE("WorkSafeBC guideline part 7: 88 dB(A) for 10 h is 89 (read)") {
    const std::vector<ExposurePart> day = {{LevelA(88.0), Hours(10)}};
    CHECK(near(daily_exposure_level(day)->dB(), 89.0, 0.05, Because::PrintedRounding));
}

TEST_CASE("29 CFR 1926.52(d)(2)(iii): 110 for 1/4 h, 100 for 1/2 h, 90 for 1 1/2 h: 0.938 (read)") {
    const std::vector<ExposurePart> day = {
        {LevelA(110.0), Hours(0.25)}, {LevelA(100.0), Hours(0.5)}, {LevelA(90.0), Hours(1.5)}};
    CHECK(near(*value_of(published("osha-pel"), day), 93.75, 1e-9, Because::Arithmetic));
}

TEST_CASE("Canadian table of 87 dB(A) and 3 dB: 83:20, 87:8, 96:1.0, 101:0.32 h (read)") {
    struct Row {
        double dBA, hours, rounding;
    };
    constexpr Row rows[] = {{83, 20, 0.5}, {87, 8, 0.5}, {96, 1.0, 0.05}, {101, 0.32, 0.005}};
    // The table counts energy, 10 lg 2 dB: by 2^(ΔL/3) 101 dB(A) would have 0.315 h.
    const DoseRule rule{.level = LevelA(87.0),
                        .exchange = LevelDifference(10.0 * std::log10(2.0)),
                        .hours = Hours(8)};
    std::size_t held = 0;
    for (const Row& row : rows) {
        CAPTURE(row.dBA);
        CHECK(near(Hours(rule.permitted_time(LevelA(row.dBA))).count(), row.hours, row.rounding,
                   Because::PrintedRounding));
        ++held;
    }
    CHECK(held == 4);
}

TEST_CASE("DGUV Regel 112-194: 85 dB(A) and 137 dB(C) under the protector, for staff (read)") {
    const Criterion& german = published("de-under-protector");
    CHECK(german.limit() == 85.0);
    CHECK(german.with_protection);
    CHECK(near(level_of<quantity::CWeightedPeak>(german.peak->pressure).dB(), 137.0, 1e-9,
               Because::Arithmetic));
    CHECK(german.roles == std::vector<Role>{Role::Staff});
    CHECK(german.only_where_named);
}
