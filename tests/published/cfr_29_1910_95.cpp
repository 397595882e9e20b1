// 29 CFR 1910.95, Occupational noise exposure: tables G-16, G-16a and A-1, appendices A and B.
//
// The tables are typed from memory, not read: that every row agrees with the regulation's own
// formula is what holds them up.
#include <array>
#include <cmath>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/protection/method_formulas.hpp"
#include "support/near.hpp"
#include "support/published.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

// A row of a table and half a unit of the last decimal that it prints.
struct DurationRow {
    double given;
    double printed;
    double rounding;
};

double permitted_hours(double level) {
    return Hours(published("osha-pel").rule.permitted_time(LevelA(level))).count();
}

// Table G-16a: dB(A) and reference duration in hours.
constexpr std::array<DurationRow, 51> table_G_16a = {{
    {80, 32, 0.05},     {81, 27.9, 0.05},   {82, 24.3, 0.05},   {83, 21.1, 0.05},
    {84, 18.4, 0.05},   {85, 16, 0.05},     {86, 13.9, 0.05},   {87, 12.1, 0.05},
    {88, 10.6, 0.05},   {89, 9.2, 0.05},    {90, 8, 0.05},      {91, 7.0, 0.05},
    {92, 6.1, 0.05},    {93, 5.3, 0.05},    {94, 4.6, 0.05},    {95, 4, 0.05},
    {96, 3.5, 0.05},    {97, 3.0, 0.05},    {98, 2.6, 0.05},    {99, 2.3, 0.05},
    {100, 2, 0.05},     {101, 1.7, 0.05},   {102, 1.5, 0.05},   {103, 1.3, 0.05},
    {104, 1.1, 0.05},   {105, 1, 0.05},     {106, 0.87, 0.005}, {107, 0.76, 0.005},
    {108, 0.66, 0.005}, {109, 0.57, 0.005}, {110, 0.5, 0.05},   {111, 0.44, 0.005},
    {112, 0.38, 0.005}, {113, 0.33, 0.005}, {114, 0.29, 0.005}, {115, 0.25, 0.005},
    {116, 0.22, 0.005}, {117, 0.19, 0.005}, {118, 0.16, 0.005}, {119, 0.14, 0.005},
    {120, 0.125, 5e-4}, {121, 0.11, 0.005}, {122, 0.095, 5e-4}, {123, 0.082, 5e-4},
    {124, 0.072, 5e-4}, {125, 0.063, 5e-4}, {126, 0.054, 5e-4}, {127, 0.047, 5e-4},
    {128, 0.041, 5e-4}, {129, 0.036, 5e-4}, {130, 0.031, 5e-4},
}};

// A stretch of table A-1: doses from `first` in steps, and their time-weighted averages in dB(A).
struct Stretch {
    double first;
    double step;
    std::vector<double> averages;
};

const std::vector<Stretch> table_A_1 = {
    {10, 5, {73.4, 76.3, 78.4, 80.0, 81.3, 82.4, 83.4, 84.2, 85.0, 85.7, 86.3, 86.9, 87.4, 87.9}},
    {80, 1, {88.4, 88.5, 88.6, 88.7, 88.7, 88.8, 88.9, 89.0, 89.1, 89.2,  //
             89.2, 89.3, 89.4, 89.5, 89.6, 89.6, 89.7, 89.8, 89.9, 89.9,  //
             90.0, 90.1, 90.1, 90.2, 90.3, 90.4, 90.4, 90.5, 90.6, 90.6,  //
             90.7, 90.8, 90.8, 90.9, 90.9}},
    {115, 1, {91.1, 91.1, 91.1, 91.2, 91.3, 91.3}},
    {125,
     5,
     {91.6, 91.9, 92.2, 92.4, 92.7, 92.9, 93.2, 93.4,  //
      93.6, 93.8, 94.0, 94.2, 94.4, 94.6, 94.8, 95.0}},
    {210, 10, {95.4,  95.7,  96.0,  96.3,  96.6,  96.9,  97.2,  97.4,  97.7,  97.9,   //
               98.2,  98.4,  98.6,  98.8,  99.0,  99.2,  99.4,  99.6,  99.8,  100.0,  //
               100.2, 100.4, 100.5, 100.7, 100.8, 101.0, 101.2, 101.3, 101.5, 101.6,  //
               101.8, 101.9, 102.0, 102.2, 102.3, 102.4, 102.6, 102.7, 102.8, 102.9,  //
               103.0, 103.2, 103.3, 103.4, 103.5, 103.6, 103.7, 103.8, 103.9, 104.0,  //
               104.1, 104.2, 104.3, 104.4, 104.5, 104.6, 104.7, 104.8, 104.9, 105.0,  //
               105.1, 105.2, 105.3, 105.4, 105.4, 105.5, 105.6, 105.7, 105.8, 105.8,  //
               105.9, 106.0, 106.1, 106.2, 106.2, 106.3, 106.4, 106.5, 106.5}},
    {999, 1, {106.6}},
};

}  // namespace

TEST_CASE("29 CFR 1910.95, table G-16a: reference durations from 80 to 130 dB(A) (memory)") {
    for (const DurationRow& row : table_G_16a) {
        CAPTURE(row.given);
        CHECK(near(permitted_hours(row.given), row.printed, row.rounding + 1e-9,
                   Because::PrintedRounding));
    }
    // Some editions print 21.2 h at 83 dB(A); the formula gives 21.11 (derived).
    CHECK(near(permitted_hours(83), 21.11, 0.005, Because::PrintedRounding));
}

TEST_CASE("29 CFR 1910.95, table G-16: permissible durations from 90 to 115 dB(A) (memory)") {
    // The table rounds to the quarter hour or the hour that it finds handy.
    constexpr std::array<DurationRow, 9> table = {{{90, 8, 1e-9},
                                                   {92, 6, 0.07},
                                                   {95, 4, 1e-9},
                                                   {97, 3, 0.04},
                                                   {100, 2, 1e-9},
                                                   {102, 1.5, 0.02},
                                                   {105, 1, 1e-9},
                                                   {110, 0.5, 1e-9},
                                                   {115, 0.25, 1e-9}}};
    for (const DurationRow& row : table) {
        CAPTURE(row.given);
        CHECK(
            near(permitted_hours(row.given), row.printed, row.rounding, Because::PrintedRounding));
        const std::vector<ExposurePart> day = {
            {LevelA(row.given), Hours(permitted_hours(row.given))}};
        CHECK(near(*value_of(published("osha-pel"), day), 100.0, 1e-9, Because::Arithmetic));
        CHECK(!is_over(published("osha-pel"), day));
    }
}

TEST_CASE("29 CFR 1910.95, table A-1: dose to time-weighted average, 10 to 999 % (memory)") {
    const DoseRule& rule = published("osha-pel").rule;
    std::size_t rows = 0;
    int disagree = 0;
    for (const Stretch& stretch : table_A_1) {
        double dose = stretch.first;
        for (const double average : stretch.averages) {
            CAPTURE(dose);
            const double computed = time_weighted_average(dose, rule)->dB();
            if (std::abs(computed - average) > 0.05 + 1e-9) {
                // Remembered as 91.1; the regulation's formula gives 91.01, which rounds to 91.0.
                CHECK(dose == 115.0);
                CHECK(near(computed, 91.01, 0.005, Because::PrintedRounding));
                ++disagree;
            }
            dose += stretch.step;
            ++rows;
        }
    }
    CHECK(rows == 151);
    CHECK(disagree == 1);
}

TEST_CASE("OSHA: 90 dB(A) counts from 90, above 115 nothing is permitted, 140 dB peak (memory)") {
    const Criterion& limit = published("osha-pel");
    CHECK(limit.limit() == 100.0);
    CHECK(limit.with_protection);
    CHECK(limit.peak->pressure.Pa() == 200.0);
    CHECK(limit.peak->weighting == PeakLimit::Weighting::None);
    const std::vector<ExposurePart> below = {{LevelA(89.9), Hours(24)}};
    CHECK(*value_of(limit, below) == 0.0);
    const std::vector<ExposurePart> at_115 = {{LevelA(115.0), Seconds(1)}};
    CHECK(!is_over(limit, at_115));
    const std::vector<ExposurePart> above_115 = {{LevelA(115.1), Seconds(1)}};
    CHECK(is_over(limit, above_115));
    CHECK(limit.is_for(Role::Staff));
    CHECK(!limit.is_for(Role::Participant));
    CHECK(!limit.is_for(Role::Accompanying));
}

TEST_CASE("OSHA action level: half of the dose, counted from 80 dB(A), without protectors") {
    const Criterion& action = published("osha-action");
    CHECK(!action.with_protection);
    CHECK(action.limit() == 50.0);
    CHECK(action.rule.threshold == LevelA(80.0));  // memory
    // 85 dB(A) for eight hours, the regulation's other way to put it.
    const std::vector<ExposurePart> day = {{LevelA(85.0), Hours(8)}};
    CHECK(near(*value_of(action, day), 50.0, 1e-9, Because::Arithmetic));
    CHECK(!is_over(action, day));
    CHECK(near(margin_of(action, day)->dB(), 0.0, 1e-9, Because::Arithmetic));
    CHECK(is_over(action, std::vector<ExposurePart>{{LevelA(85.1), Hours(8)}}));
    CHECK(*value_of(action, std::vector<ExposurePart>{{LevelA(79.9), Hours(24)}}) == 0.0);
    // Sixteen hours at 80 dB(A) are half of the 32 hours that table G-16a gives.
    CHECK(near(*value_of(action, std::vector<ExposurePart>{{LevelA(80.0), Hours(16)}}), 50.0, 1e-9,
               Because::Arithmetic));
}

TEST_CASE("29 CFR 1910.95, appendix B: with C subtract the NRR, with A the NRR less 7 (seen)") {
    CHECK(level_by_nrr(LevelC(95.0), LevelDifference(26.0)).dB() == 69.0);
    CHECK(level_by_nrr(LevelA(95.0), LevelDifference(26.0)).dB() == 76.0);
}

TEST_CASE("29 CFR 1910.95, appendix A: a dose of 50 % is 85.0 dB(A), 200 % is 95.0 dB(A)") {
    const DoseRule& rule = published("osha-pel").rule;
    CHECK(near(time_weighted_average(50.0, rule)->dB(), 85.0, 0.05, Because::PrintedRounding));
    CHECK(near(time_weighted_average(200.0, rule)->dB(), 95.0, 0.05, Because::PrintedRounding));
    // 16.61 lg(D/100) + 90 as the regulation prints it.
    CHECK(near(time_weighted_average(73.0, rule)->dB(), 16.61 * std::log10(0.73) + 90.0, 0.005,
               Because::PrintedRounding));
}

TEST_CASE("20 min at 110, 15 min at 105, 25 min at 75 dB(A): dose 92 % (derived)") {
    const std::vector<ExposurePart> day = {
        {LevelA(110), Seconds(1200)}, {LevelA(105), Seconds(900)}, {LevelA(75), Seconds(1500)}};
    CHECK(near(*value_of(published("osha-pel"), day), 91.7, 0.05, Because::PrintedRounding));
}
