#include "earbudget/exposure/dose.hpp"

#include <algorithm>
#include <random>
#include <vector>

#include <doctest/doctest.h>

#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

const DoseRule rule_with_threshold{.level = LevelA(85.0),
                                   .exchange = LevelDifference(3.0),
                                   .hours = Hours(8),
                                   .threshold = LevelA(80.0),
                                   .ceiling = LevelA(140.0)};
const DoseRule rule_of_5_dB{.level = LevelA(90.0),
                            .exchange = LevelDifference(5.0),
                            .hours = Hours(8),
                            .threshold = LevelA(90.0)};

std::vector<ExposurePart> raised(std::vector<ExposurePart> parts, double dB) {
    for (ExposurePart& part : parts) {
        if (part.level) part.level = *part.level + LevelDifference(dB);
    }
    return parts;
}

}  // namespace

TEST_CASE("levels below the threshold do not count, levels at it do") {
    const std::vector<ExposurePart> below = {{LevelA(79.99), Hours(100)}};
    CHECK(dose_percent(below, rule_with_threshold) == 0.0);
    const std::vector<ExposurePart> at = {{LevelA(80.0), Hours(8)}};
    // A level that misses the threshold by the last bit of a logarithm counts as well.
    const std::vector<ExposurePart> nearly = {{LevelA(80.0 - 1e-12), Hours(8)}};
    CHECK(dose_percent(nearly, rule_with_threshold) > 30.0);
    // 100 · 2^(−5/3) = 31.498 %.
    CHECK(near(dose_percent(at, rule_with_threshold), 31.498, 0.0005, Because::Arithmetic));
}

TEST_CASE("the margin is where the dose reaches its limit, threshold and ceiling included") {
    std::mt19937 random(4);
    std::uniform_real_distribution<double> level(55.0, 118.0);
    std::uniform_real_distribution<double> hours(0.05, 6.0);
    int crossed_exactly = 0;
    int jumped_at_threshold = 0;
    for (int round = 0; round < 2000; ++round) {
        std::vector<ExposurePart> parts;
        for (int i = 0; i < 5; ++i)
            parts.push_back({LevelA(level(random)), Hours(hours(random))});
        const DoseRule& rule = round % 2 == 0 ? rule_with_threshold : rule_of_5_dB;
        const auto margin = dose_margin(parts, rule, 100.0);
        REQUIRE(margin);
        const double below = dose_percent(raised(parts, margin->dB() - 1e-6), rule);
        const double above = dose_percent(raised(parts, margin->dB() + 1e-6), rule);
        const auto loudest_part = loudest(raised(parts, margin->dB() + 1e-6));
        const bool at_ceiling = rule.ceiling && *loudest_part > *rule.ceiling;
        CHECK(below <= 100.0);
        CHECK((above > 100.0 || at_ceiling));
        (above < 100.01 ? crossed_exactly : jumped_at_threshold) += 1;
    }
    CHECK(crossed_exactly > 100);  // both kinds of answer were met
    CHECK(jumped_at_threshold > 100);
}

TEST_CASE("without sound there is no margin, with sound below the threshold there is one") {
    const std::vector<ExposurePart> silence = {{std::nullopt, Hours(1)}};
    CHECK(!dose_margin(silence, rule_with_threshold, 100.0));
    // 70 dB(A) for an hour may rise to 94 dB(A), which is 100 % in an hour.
    const std::vector<ExposurePart> quiet = {{LevelA(70.0), Hours(1)}};
    CHECK(near(dose_margin(quiet, rule_with_threshold, 100.0)->dB(), 24.0, 1e-9,
               Because::Arithmetic));
}

TEST_CASE("order and splitting do not change a dose") {
    std::mt19937 random(5);
    std::uniform_real_distribution<double> level(70.0, 118.0);
    std::uniform_real_distribution<double> hours(0.05, 2.0);
    for (int round = 0; round < 100; ++round) {
        std::vector<ExposurePart> parts;
        for (int i = 0; i < 6; ++i)
            parts.push_back({LevelA(level(random)), Hours(hours(random))});
        const double dose = dose_percent(parts, rule_with_threshold);
        ExposurePart rest = parts.front();
        rest.time *= 0.25;
        parts.front().time *= 0.75;
        parts.push_back(rest);
        std::shuffle(parts.begin(), parts.end(), random);
        CHECK(near(dose_percent(parts, rule_with_threshold), dose, 1e-9 * std::max(1.0, dose),
                   Because::Arithmetic));
    }
}
