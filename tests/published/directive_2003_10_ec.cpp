// Directive 2003/10/EC on the minimum health and safety requirements regarding the exposure of
// workers to noise, and SCENIHR 2008, table 3, which gives its durations.
#include <algorithm>
#include <array>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/acoustics/pressure.hpp"
#include "earbudget/exposure/criterion.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

const Criterion& eu_limit() {
    const auto criteria = published_criteria();
    return *std::find_if(criteria.begin(), criteria.end(),
                         [](const Criterion& c) { return c.id == "eu-limit"; });
}

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

TEST_CASE("SCENIHR 2008, table 3: 87 dB(A) for 8 h is 90 for 4 h, 96 for 1 h, 102 for 15 min") {
    struct Row {
        double level;
        double hours;
    };
    constexpr std::array<Row, 4> table = {{{87, 8}, {90, 4}, {96, 1}, {102, 0.25}}};
    for (const Row& row : table) {
        const std::vector<ExposurePart> day = {{LevelA(row.level), Hours(row.hours)}};
        // The table rounds to whole decibels.
        CHECK(near(*value_of(eu_limit(), day), 87.0, 0.06, Because::PrintedRounding));
    }
}
