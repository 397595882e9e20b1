#include "earbudget/exposure/uncertainty.hpp"

#include <array>
#include <cmath>
#include <random>
#include <stdexcept>
#include <string_view>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/acoustics/normal_distribution.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

const Criterion& criterion(std::string_view id) {
    for (const Criterion& c : published_criteria()) {
        if (c.id == id) return c;
    }
    throw std::out_of_range("no such criterion");
}

ExposurePart part(double level, double hours, double uncertainty) {
    return {LevelA(level), Hours(hours), LevelDifference(uncertainty)};
}

}  // namespace

TEST_CASE("one level, one spread: the probability is the normal one of margin over uncertainty") {
    for (const double level : {80.0, 83.0, 86.9, 87.0, 88.5}) {
        const std::vector<ExposurePart> day = {part(level, 8.0, 1.5)};
        const double expected = normal_probability((level - 87.0) / 1.5);
        const auto found = probability_over(criterion("eu-limit"), day);
        REQUIRE(found);
        CHECK(near(*found, expected, 1e-6, Because::Arithmetic));
    }
}

TEST_CASE("errors are shared: two halves of a day are as uncertain as the whole") {
    const std::vector<ExposurePart> whole = {part(85.5, 8.0, 1.5)};
    const std::vector<ExposurePart> halves = {part(85.5, 4.0, 1.5), part(85.5, 4.0, 1.5)};
    CHECK(near(*probability_over(criterion("eu-limit"), halves),
               *probability_over(criterion("eu-limit"), whole), 1e-9, Because::Arithmetic));
}

TEST_CASE("the probability agrees with drawing the shared error") {
    // Two levels with different uncertainties, which have no closed form.
    const std::vector<ExposurePart> day = {part(84.0, 4.0, 1.0), part(88.0, 2.0, 2.5)};
    const double exact = *probability_over(criterion("niosh-rel"), day);
    std::mt19937 random(6);
    std::normal_distribution<double> error;
    constexpr int draws = 200000;
    int over = 0;
    for (int i = 0; i < draws; ++i) {
        // NIOSH's dose by its formula, both levels moved by the same error.
        const double z = error(random);
        double dose = 0.0;
        for (const auto& [level, hours, u] :
             {std::array{84.0, 4.0, 1.0}, std::array{88.0, 2.0, 2.5}}) {
            const double raised = level + z * u;
            if (raised >= 80.0) dose += 100.0 * hours / (8.0 / std::exp2((raised - 85.0) / 3.0));
        }
        if (dose > 100.0) ++over;
    }
    // Four standard deviations of a binomial share of 0.5 in 200,000 draws.
    CHECK(near(static_cast<double>(over) / draws, exact, 0.0045, Because::SeededRandomness));
}

TEST_CASE("no stated uncertainty, no probability, what is negligible need not be stated") {
    const std::vector<ExposurePart> unstated = {{LevelA(85.0), Hours(8)}};
    CHECK(!probability_over(criterion("niosh-rel"), unstated));
    const std::vector<ExposurePart> mostly = {part(95.0, 1.0, 1.0), {LevelA(60.0), Hours(1)}};
    CHECK(probability_over(criterion("niosh-rel"), mostly));
    const std::vector<ExposurePart> silence = {{std::nullopt, Hours(1)}};
    CHECK(!probability_over(criterion("niosh-rel"), silence));
}

TEST_CASE("what is negligible is so by what the criterion adds up, not by energy") {
    // Exchange rate 10 dB: an hour at 95 dB(A) weighs as much as ten at 85.
    Criterion own = criterion("niosh-rel");
    own.rule.exchange = LevelDifference(10.0);
    own.rule.threshold = std::nullopt;
    // 0.7 % of the energy, 19 % of the dose.
    const std::vector<ExposurePart> day = {part(110.0, 0.5, 1.0), {LevelA(85.0), Hours(1.1)}};
    CHECK(!probability_over(own, day));
    CHECK(probability_over(criterion("eu-limit"), day));
}

TEST_CASE(
    "what is negligible is so beside what the limit permits, half a dose for an action level") {
    // 0.6 % of a dose: more than a hundredth of 50 %, less than a hundredth of 100 %.
    const std::vector<ExposurePart> day = {part(81.0, 1.0, 1.0), {LevelA(85.0), Hours(0.096)}};
    CHECK(!probability_over(criterion("osha-action"), day));
    CHECK(probability_over(criterion("osha-pel"), day));
}

TEST_CASE("stated to be exact, the probability is 0 or 1") {
    CHECK(*probability_over(criterion("eu-limit"), std::vector{part(86.0, 8.0, 0.0)}) == 0.0);
    CHECK(*probability_over(criterion("eu-limit"), std::vector{part(88.0, 8.0, 0.0)}) == 1.0);
}
