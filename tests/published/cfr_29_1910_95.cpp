// 29 CFR 1910.95, Occupational noise exposure, appendices A and B.
#include <cmath>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/exposure/dose.hpp"
#include "earbudget/protection/method.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("29 CFR 1910.95, appendix B: with C subtract the NRR, with A the NRR less 7 (seen)") {
    CHECK(level_by_nrr(LevelC(95.0), LevelDifference(26.0)).dB() == 69.0);
    CHECK(level_by_nrr(LevelA(95.0), LevelDifference(26.0)).dB() == 76.0);
}

TEST_CASE("29 CFR 1910.95, appendix A: a dose of 50 % is 85.0 dB(A), 200 % is 95.0 dB(A)") {
    // The general dose rule carries its 5 dB exchange rate.
    const DoseRule rule{.level = LevelA(90), .exchange = LevelDifference(5), .hours = Hours(8)};
    CHECK(near(time_weighted_average(50.0, rule)->dB(), 85.0, 0.05, Because::PrintedRounding));
    CHECK(near(time_weighted_average(200.0, rule)->dB(), 95.0, 0.05, Because::PrintedRounding));
    // 16.61 lg(D/100) + 90 as the regulation prints it.
    CHECK(near(time_weighted_average(73.0, rule)->dB(), 16.61 * std::log10(0.73) + 90.0, 0.005,
               Because::PrintedRounding));
}

TEST_CASE("20 min at 110, 15 min at 105, 25 min at 75 dB(A): dose 92 % (derived)") {
    const DoseRule rule{.level = LevelA(90),
                        .exchange = LevelDifference(5),
                        .hours = Hours(8),
                        .threshold = LevelA(90)};
    const std::vector<ExposurePart> day = {
        {LevelA(110), Seconds(1200)}, {LevelA(105), Seconds(900)}, {LevelA(75), Seconds(1500)}};
    CHECK(near(dose_percent(day, rule), 91.7, 0.05, Because::PrintedRounding));
}
