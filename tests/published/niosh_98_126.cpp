// NIOSH 98-126, Criteria for a recommended standard: occupational noise exposure.
#include <chrono>
#include <stdexcept>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/exposure/criterion.hpp"
#include "earbudget/protection/derating.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

const Criterion& niosh_rel() {
    for (const Criterion& criterion : published_criteria()) {
        if (criterion.id == "niosh-rel") return criterion;
    }
    throw std::out_of_range("niosh-rel");
}

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
