// NIOSH 98-126, Criteria for a recommended standard: occupational noise exposure.
#include <array>
#include <chrono>
#include <cmath>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/protection/derating.hpp"
#include "support/near.hpp"
#include "support/published.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

const Criterion& niosh_rel() { return published("niosh-rel"); }

/// A row as remembered; `rounding` is half of what it prints to, or the second that it drops or
/// adds.
struct TimeRow {
    int level;
    double seconds;
    double rounding;
};

/// Hours and minutes, as printed down to 60 minutes.
constexpr TimeRow h(int level, int hours, int minutes) {
    return {level, 3600.0 * hours + 60.0 * minutes, 30.0};
}

/// Minutes and seconds, rounded down or up by row.
constexpr TimeRow m(int level, int minutes, int seconds) {
    return {level, 60.0 * minutes + seconds, 1.0};
}

constexpr std::array<TimeRow, 50> table_1_1 = {
    {h(80, 25, 24), h(81, 20, 10), h(82, 16, 0),  h(83, 12, 42),  h(84, 10, 5),  h(85, 8, 0),
     h(86, 6, 21),  h(87, 5, 2),   h(88, 4, 0),   h(89, 3, 10),   h(90, 2, 31),  h(91, 2, 0),
     h(92, 1, 35),  h(93, 1, 16),  h(94, 1, 0),   m(95, 47, 37),  m(96, 37, 48), m(97, 30, 0),
     m(98, 23, 49), m(99, 18, 59), m(100, 15, 0), m(101, 11, 54), m(102, 9, 27), m(103, 7, 30),
     m(104, 5, 57), m(105, 4, 43), m(106, 3, 45), m(107, 2, 59),  m(108, 2, 22), m(109, 1, 53),
     m(110, 1, 29), m(111, 1, 11), m(112, 0, 56), m(113, 0, 45),  m(114, 0, 35), m(115, 0, 28),
     m(116, 0, 22), m(117, 0, 18), m(118, 0, 14), m(119, 0, 11),  m(120, 0, 9),  m(121, 0, 7),
     m(122, 0, 6),  m(123, 0, 4),  m(124, 0, 3),  m(125, 0, 3),   m(126, 0, 2),  m(127, 0, 1),
     m(128, 0, 1),  m(129, 0, 1)}};

}  // namespace

TEST_CASE("NIOSH 98-126, table 1-1: durations as printed from 80 to 140 dB(A) (memory)") {
    int disagree = 0;
    for (const TimeRow& row : table_1_1) {
        CAPTURE(row.level);
        const Seconds computed = niosh_rel().rule.permitted_time(LevelA(row.level));
        if (std::abs(computed.count() - row.seconds) > row.rounding) {
            // Remembered as 18 min 59 s; the publication's formula gives 18 min 54 s.
            CHECK(row.level == 99);
            CHECK(near(computed.count(), 18.0 * 60.0 + 54.0, 0.5, Because::PrintedRounding));
            ++disagree;
        }
        // So long at this level is a dose of 100 %, to what a second more or less of it is.
        const std::vector<ExposurePart> day = {{LevelA(row.level), computed}};
        CHECK(near(*value_of(niosh_rel(), day), 100.0, 1e-9, Because::Arithmetic));
        CHECK(!is_over(niosh_rel(), day));
        const std::vector<ExposurePart> longer = {{LevelA(row.level), 1.001 * computed}};
        CHECK(is_over(niosh_rel(), longer));
    }
    CHECK(disagree == 1);
    // From 130 to 140 dB(A) the table prints "< 1".
    for (int level = 130; level <= 140; ++level) {
        const Seconds permitted = niosh_rel().rule.permitted_time(LevelA(level));
        CHECK(permitted < Seconds(1.0));
        CHECK(permitted > Seconds(0.0));
        const std::vector<ExposurePart> day = {{LevelA(level), permitted}};
        CHECK(!is_over(niosh_rel(), day));
    }
}

TEST_CASE("NIOSH 98-126, 1.1: TWA of a dose, 100 % is 85 dB(A) and 200 % is 88") {
    CHECK(near(time_weighted_average(100.0, niosh_rel().rule)->dB(), 85.0, 1e-9,
               Because::Arithmetic));
    CHECK(near(time_weighted_average(200.0, niosh_rel().rule)->dB(), 88.0, 1e-9,
               Because::Arithmetic));
    CHECK(!time_weighted_average(0.0, niosh_rel().rule));
}

TEST_CASE("20 min at 110, 15 min at 105, 25 min at 75 dB(A): dose 1661 % (derived)") {
    const std::vector<ExposurePart> day = {{LevelA(110), std::chrono::minutes(20)},
                                           {LevelA(105), std::chrono::minutes(15)},
                                           {LevelA(75), std::chrono::minutes(25)}};
    CHECK(near(*value_of(niosh_rel(), day), 1661.0, 0.5, Because::PrintedRounding));
}

TEST_CASE("NIOSH 98-126: levels from 80 to 140 dB(A) count (memory)") {
    CHECK(niosh_rel().rule.threshold == LevelA(80.0));
    CHECK(niosh_rel().rule.ceiling == LevelA(140.0));
    CHECK(niosh_rel().rule.level == LevelA(85.0));
    CHECK(niosh_rel().is_for(Role::Participant));
    CHECK(niosh_rel().is_for(Role::Staff));
    CHECK(!niosh_rel().is_for(Role::Accompanying));
}

TEST_CASE("NIOSH 98-126: nothing above 140 dB(A) is permitted for any time (memory)") {
    const std::vector<ExposurePart> instant = {{LevelA(140.5), Seconds(0.001)}};
    CHECK(is_over(niosh_rel(), instant));
    CHECK(margin_of(niosh_rel(), instant)->dB() < 0.0);
}

TEST_CASE("NIOSH 98-126: derating leaves 75, 50 and 30 % of the NRR (seen in secondary sources)") {
    const std::vector<std::pair<ProtectorType, double>> rows = {
        {ProtectorType::Earmuff, 0.75},
        {ProtectorType::FoamPlug, 0.50},
        {ProtectorType::PremouldedPlug, 0.30},
        {ProtectorType::CustomPlug, 0.30},
        {ProtectorType::CanalCap, 0.30}};
    for (const auto& [type, factor] : rows) {
        CHECK(derating_rule::of_niosh(type)->factor == factor);
        CHECK(derating_rule::of_niosh(type)->allowance_with_A.dB() == 7.0);
    }
    CHECK(!derating_rule::of_niosh(std::nullopt));  // it says nothing about pairs
}
