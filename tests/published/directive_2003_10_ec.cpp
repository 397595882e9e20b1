// Directive 2003/10/EC on the minimum health and safety requirements regarding the exposure of
// workers to noise, and SCENIHR 2008, table 3, which gives its durations.
#include <array>
#include <cmath>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/acoustics/units.hpp"
#include "report/words/words.hpp"
#include "support/near.hpp"
#include "support/published.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

const Criterion& eu_limit() { return published("eu-limit"); }

}  // namespace

TEST_CASE("2003/10/EC, article 3: 87 dB(A), 200 Pa, protectors taken into account (seen)") {
    CHECK(eu_limit().limit() == 87.0);
    CHECK(eu_limit().with_protection);
    CHECK(eu_limit().peak->pressure.Pa() == 200.0);
    // The directive prints 140 dB(C) for 200 Pa.
    CHECK(near(level_of<quantity::CWeightedPeak>(eu_limit().peak->pressure).dB(), 140.0, 0.05,
               Because::PrintedRounding));
    CHECK(eu_limit().is_for(Role::Staff));
    CHECK(!eu_limit().is_for(Role::Participant));
}

TEST_CASE("2003/10/EC, article 3: the action values are without protectors, in pascals (seen)") {
    struct Row {
        const char* id;
        double LEX_8h;
        double pascals;
        double printed_dBC;
        bool with_protection;
    };
    constexpr std::array<Row, 3> table = {{{"eu-limit", 87, 200, 140, true},
                                           {"eu-upper-action", 85, 140, 137, false},
                                           {"eu-lower-action", 80, 112, 135, false}}};
    for (const Row& row : table) {
        CAPTURE(row.id);
        const Criterion& criterion = published(row.id);
        CHECK(criterion.limit() == row.LEX_8h);
        CHECK(criterion.quantity == ExposureQuantity::LEX_8h);
        CHECK(criterion.peak->pressure.Pa() == row.pascals);
        CHECK(criterion.peak->weighting == PeakLimit::Weighting::C);
        // Printed to a whole decibel.
        CHECK(near(level_of<quantity::CWeightedPeak>(criterion.peak->pressure).dB(),
                   row.printed_dBC, 0.5, Because::PrintedRounding));
        CHECK(criterion.with_protection == row.with_protection);
        CHECK(criterion.roles == std::vector<Role>{Role::Staff});
        CHECK(criterion.allows_weekly_average);
    }
    // 140 Pa is 136.9 dB and 137 dB is 141.6 Pa (derived): the pascals decide.
    CHECK(near(level_of<quantity::CWeightedPeak>(Pressure(140.0)).dB(), 136.9, 0.05,
               Because::PrintedRounding));
    CHECK(near(pressure_of(PeakLevelC(137.0)).Pa(), 141.6, 0.05, Because::PrintedRounding));
}

TEST_CASE("SCENIHR 2008, table 3: durations of 80, 85 and 87 dB(A) (seen)") {
    struct Row {
        double hours;
        std::array<double, 3> levels;
    };
    constexpr std::array<const char*, 3> ids = {"eu-lower-action", "eu-upper-action", "eu-limit"};
    constexpr std::array<Row, 4> table = {
        {{8, {80, 85, 87}}, {4, {83, 88, 90}}, {1, {89, 94, 96}}, {0.25, {95, 100, 102}}}};
    for (const Row& row : table) {
        for (std::size_t i = 0; i < ids.size(); ++i) {
            CAPTURE(row.hours);
            CAPTURE(ids[i]);
            const std::vector<ExposurePart> day = {{LevelA(row.levels[i]), Hours(row.hours)}};
            // The table rounds to whole decibels: 15 min is 15.05 dB below 8 h, printed as 15.
            CHECK(near(*value_of(published(ids[i]), day), published(ids[i]).limit(), 0.06,
                       Because::PrintedRounding));
        }
    }
    // The row of one minute disagrees: 26.8 dB above 8 h, which the table rounds down to 26.
    constexpr std::array<double, 3> one_minute = {106, 111, 113};
    for (std::size_t i = 0; i < ids.size(); ++i) {
        const std::vector<ExposurePart> day = {{LevelA(one_minute[i]), Hours(1.0 / 60.0)}};
        CHECK(near(*value_of(published(ids[i]), day), published(ids[i]).limit() - 0.81, 0.005,
                   Because::PrintedRounding));
    }
}

TEST_CASE("2003/10/EC, article 3(3): the weekly average is 10 lg(days/5 · 10^(LEX,8h/10))") {
    const Criterion weekly = averaged_over_week(eu_limit());
    const std::vector<ExposurePart> day = {{LevelA(92.0), Hours(3)}, {LevelA(70.0), Hours(5)}};
    const double daily = daily_exposure_level(day)->dB();
    for (const double days : {1.0, 2.0, 2.5, 3.0, 5.0, 6.0, 7.0}) {
        CAPTURE(days);
        const auto week = in_a_week(weekly, day, days);
        CHECK(near(*value_of(weekly, week), daily + 10.0 * std::log10(days / 5.0), 1e-9,
                   Because::Arithmetic));
        CHECK(near(margin_of(weekly, week)->dB(), 87.0 - *value_of(weekly, week), 1e-9,
                   Because::Arithmetic));
        // Without the average the days of a week change nothing.
        CHECK(near(*value_of(eu_limit(), in_a_week(eu_limit(), day, days)), daily, 1e-9,
                   Because::Arithmetic));
    }
    // One day of 94 dB(A) for eight hours a week is 7.0 dB less, 87.0: just within.
    const std::vector<ExposurePart> one = {{LevelA(93.98), Hours(8)}};
    CHECK(near(*value_of(weekly, in_a_week(weekly, one, 1.0)), 86.99, 0.005,
               Because::PrintedRounding));
    CHECK(!is_over(weekly, in_a_week(weekly, one, 1.0)));
    CHECK(is_over(eu_limit(), one));
    CHECK(is_over(weekly, in_a_week(weekly, one, 2.0)));
}

TEST_CASE("a weekly average needs no day that is not one, and says what it asks for") {
    const Criterion weekly = averaged_over_week(eu_limit());
    // Every other week is no half week: the week that has the day has it whole.
    CHECK(weekly.days_counted(0.5) == weekly.days_counted(1.0));
    CHECK(weekly.id == "eu-limit");
    CHECK(text_of(weekly.remarks, "; ").find("article 3(3)") != std::string::npos);
    CHECK(text_of(weekly.remarks, "; ").find("adequate monitoring") != std::string::npos);
    CHECK(text_of(weekly.remarks, "; ").find("national law may be stricter") != std::string::npos);
    CHECK(averaged_over_week(weekly).remarks == weekly.remarks);  // said once
    const Criterion& niosh = published("niosh-rel");
    CHECK(!averaged_over_week(niosh).weekly_average);
    CHECK(averaged_over_week(niosh).remarks == niosh.remarks);
}
