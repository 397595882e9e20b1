// NIOSH 98-126, Criteria for a recommended standard: occupational noise exposure.
#include <chrono>
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

struct Row {
    int level;
    int hours;
    int minutes;
    int seconds;
};

}  // namespace

TEST_CASE("NIOSH 98-126, table 1-1: durations from 85 to 115 dB(A)") {
    // Hours, minutes, seconds as the formula T = 8 h / 2^((L − 85)/3) gives them; the publication
    // prints them to the second below an hour and rounds the seconds down or up by row.
    const std::vector<Row> table = {
        {85, 8, 0, 0},   {86, 6, 20, 58},  {87, 5, 2, 23},  {88, 4, 0, 0},   {89, 3, 10, 29},
        {90, 2, 31, 11}, {91, 2, 0, 0},    {92, 1, 35, 14}, {93, 1, 15, 35}, {94, 1, 0, 0},
        {95, 0, 47, 37}, {96, 0, 37, 48},  {97, 0, 30, 0},  {98, 0, 23, 49}, {99, 0, 18, 54},
        {100, 0, 15, 0}, {101, 0, 11, 54}, {102, 0, 9, 27}, {103, 0, 7, 30}, {104, 0, 5, 57},
        {105, 0, 4, 43}, {106, 0, 3, 45},  {107, 0, 2, 59}, {108, 0, 2, 22}, {109, 0, 1, 53},
        {110, 0, 1, 29}, {111, 0, 1, 11},  {112, 0, 0, 56}, {113, 0, 0, 45}, {114, 0, 0, 35},
        {115, 0, 0, 28}};
    CHECK(table.size() == 31);
    for (const Row& row : table) {
        CAPTURE(row.level);
        const Seconds printed = Hours(row.hours) + std::chrono::minutes(row.minutes) +
                                std::chrono::seconds(row.seconds);
        const Seconds computed = niosh_rel().rule.permitted_time(LevelA(row.level));
        CHECK(near(computed.count(), printed.count(), 1.0, Because::PrintedRounding));
        // So long at this level is a dose of 100 %, to what a second more or less of it is.
        const std::vector<ExposurePart> day = {{LevelA(row.level), computed}};
        CHECK(near(*value_of(niosh_rel(), day), 100.0, 1e-9, Because::Arithmetic));
        CHECK(!is_over(niosh_rel(), day));
        const std::vector<ExposurePart> longer = {{LevelA(row.level), 1.001 * computed}};
        CHECK(is_over(niosh_rel(), longer));
    }
}

TEST_CASE("NIOSH 98-126, table 1-1: durations as printed from 80 to 140 dB(A) (memory)") {
    // Hours and minutes down to 60 minutes, minutes and seconds below; typed from memory. 99 dB(A),
    // remembered as 18 min 59 s where the formula gives 18 min 54 s, is in the table above.
    struct Printed {
        int level;
        double seconds;
        double rounding;
    };
    constexpr auto h = [](int level, int hours, int minutes) {
        return Printed{level, 3600.0 * hours + 60.0 * minutes, 30.0};
    };
    constexpr auto m = [](int level, int minutes, int seconds) {
        return Printed{level, 60.0 * minutes + seconds, 1.0};  // rounded down or up by row
    };
    const std::vector<Printed> table = {
        h(80, 25, 24), h(81, 20, 10), h(82, 16, 0),   h(83, 12, 42), h(84, 10, 5),  h(85, 8, 0),
        h(86, 6, 21),  h(87, 5, 2),   h(88, 4, 0),    h(89, 3, 10),  h(90, 2, 31),  h(91, 2, 0),
        h(92, 1, 35),  h(93, 1, 16),  h(94, 1, 0),    m(95, 47, 37), m(96, 37, 48), m(97, 30, 0),
        m(98, 23, 49), m(100, 15, 0), m(101, 11, 54), m(102, 9, 27), m(103, 7, 30), m(104, 5, 57),
        m(105, 4, 43), m(106, 3, 45), m(107, 2, 59),  m(108, 2, 22), m(109, 1, 53), m(110, 1, 29),
        m(111, 1, 11), m(112, 0, 56), m(113, 0, 45),  m(114, 0, 35), m(115, 0, 28), m(116, 0, 22),
        m(117, 0, 18), m(118, 0, 14), m(119, 0, 11),  m(120, 0, 9),  m(121, 0, 7),  m(122, 0, 6),
        m(123, 0, 4),  m(124, 0, 3),  m(125, 0, 3),   m(126, 0, 2),  m(127, 0, 1),  m(128, 0, 1),
        m(129, 0, 1)};
    CHECK(table.size() == 49);
    for (const Printed& row : table) {
        CAPTURE(row.level);
        CHECK(near(niosh_rel().rule.permitted_time(LevelA(row.level)).count(), row.seconds,
                   row.rounding, Because::PrintedRounding));
    }
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
        CHECK(nrr_rule(Derating::Kind::Niosh, type)->factor == factor);
        CHECK(nrr_rule(Derating::Kind::Niosh, type)->allowance_with_A.dB() == 7.0);
    }
    CHECK(!nrr_rule(Derating::Kind::Niosh, std::nullopt));  // it says nothing about pairs
}
