// FDA, Criteria for significant risk investigations of magnetic resonance diagnostic devices
// (2014): above 99 dB(A) with hearing protection in place, or above 140 dB unweighted peak (the
// figures seen in a secondary source). No averaging time is given.
#include <optional>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "report/words/words.hpp"
#include "support/near.hpp"
#include "support/published.hpp"
#include "support/spread_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

const Criterion& significant_risk() { return published("fda-significant-risk"); }

}  // namespace

TEST_CASE("significant risk: the loudest part counts, however short and whatever else is heard") {
    const std::vector<ExposurePart> day = {
        {LevelA(80.0), Hours(5)}, {LevelA(99.0), Seconds(1)}, {std::nullopt, Hours(2)}};
    CHECK(*value_of(significant_risk(), day) == 99.0);
    CHECK(!is_over(significant_risk(), day));
    CHECK(near(margin_of(significant_risk(), day)->dB(), 0.0, 1e-9, Because::Arithmetic));
    const std::vector<ExposurePart> louder = {{LevelA(80.0), Hours(5)}, {LevelA(99.1), Seconds(1)}};
    CHECK(is_over(significant_risk(), louder));
    CHECK(!is_over(published("iec-60601-2-33"), louder));  // which averages over an hour
    const std::vector<ExposurePart> no_time = {{LevelA(80.0), Hours(5)}, {LevelA(99.1), Hours(0)}};
    CHECK(!is_over(significant_risk(), no_time));
    const std::vector<ExposurePart> silence = {{std::nullopt, Hours(1)}};
    CHECK(!value_of(significant_risk(), silence));
    CHECK(!margin_of(significant_risk(), silence));
}

TEST_CASE("significant risk: with protectors, for participants, 140 dB unweighted, and a remark") {
    CHECK(significant_risk().with_protection);
    CHECK(significant_risk().roles == std::vector<Role>{Role::Participant});
    CHECK(significant_risk().peak->weighting == PeakLimit::Weighting::None);
    CHECK(near(level_of<quantity::UnweightedPeak>(significant_risk().peak->pressure).dB(), 140.0,
               1e-9, Because::Arithmetic));
    CHECK(text_of(significant_risk().when_above, ", ").find("significant risk") !=
          std::string::npos);
    CHECK(text_of(significant_risk().when_above, ", ").find("investigational device exemption") !=
          std::string::npos);
}

TEST_CASE("significant risk: how sure, by the loudest part alone") {
    // One level, one standard uncertainty below the limit: the normal probability of that. The
    // other is too far below to matter, however long.
    const Plan plan =
        open_ears({sound_of(98.0, 1.0), sound_of(78.0, 1.0)}, {0.01, 8.0}, "fda-significant-risk");
    CHECK(near(DrawnDay(plan).day.judge().front().probability_over, 0.1587, 1.0 / 8192.0,
               Because::SeededRandomness));
}
