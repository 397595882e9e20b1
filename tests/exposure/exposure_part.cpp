#include "earbudget/exposure/exposure_part.hpp"

#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

#include <doctest/doctest.h>

#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

std::vector<ExposurePart> random_parts(std::mt19937& random) {
    std::uniform_real_distribution<double> level(60.0, 115.0);
    std::uniform_int_distribution<int> minutes(1, 50);
    std::uniform_int_distribution<int> count(1, 9);
    std::bernoulli_distribution silent(0.2);
    std::vector<ExposurePart> parts;
    for (int i = count(random); i > 0; --i) {
        const Seconds time(60.0 * minutes(random));
        if (silent(random)) {
            parts.push_back({std::nullopt, time});
        } else {
            parts.push_back({LevelA(level(random)), time});
        }
    }
    parts.push_back({LevelA(level(random)), Seconds(60.0 * minutes(random))});
    return parts;
}

// The highest hour by trying every window that begins on a whole minute.
double highest_hour_by_trial(const std::vector<ExposurePart>& parts) {
    std::vector<double> power;
    for (const ExposurePart& part : parts) {
        const double p = part.level ? relative_energy(*part.level) : 0.0;
        power.insert(power.end(), static_cast<std::size_t>(part.time.count() / 60.0), p);
    }
    double best = 0.0;
    for (std::size_t begin = 0; begin < power.size(); ++begin) {
        double sum = 0.0;
        for (std::size_t i = begin; i < std::min(begin + 60, power.size()); ++i)
            sum += power[i];
        best = std::max(best, sum / 60.0);
    }
    return 10.0 * std::log10(best);
}

}  // namespace

TEST_CASE("doubling the time adds 3.01 dB to LEX,8h and nothing to the average") {
    const std::vector<ExposurePart> once = {{LevelA(92.0), Hours(1)}};
    const std::vector<ExposurePart> twice = {{LevelA(92.0), Hours(2)}};
    const auto rise = *daily_exposure_level(twice) - *daily_exposure_level(once);
    CHECK(near(rise.dB(), 3.0103, 0.0001, Because::Arithmetic));
    CHECK(near(time_average(twice)->dB(), 92.0, 1e-9, Because::Arithmetic));
}

TEST_CASE("eight hours at a level are LEX,8h of that level, 99 dB(A) for an hour is 90.0") {
    const std::vector<ExposurePart> day = {{LevelA(85.0), Hours(8)}};
    CHECK(near(daily_exposure_level(day)->dB(), 85.0, 1e-9, Because::Arithmetic));
    const std::vector<ExposurePart> hour = {{LevelA(99.0), Hours(1)}};
    CHECK(near(daily_exposure_level(hour)->dB(), 89.97, 0.005, Because::PrintedRounding));
}

TEST_CASE("the highest hour is what trying every window finds") {
    std::mt19937 random(2);
    for (int round = 0; round < 300; ++round) {
        const auto parts = random_parts(random);
        const auto found = highest_average(parts, Hours(1));
        REQUIRE(found);
        CHECK(near(found->dB(), highest_hour_by_trial(parts), 1e-6, Because::Arithmetic));
    }
}

TEST_CASE("time without sound has no level and no exposure") {
    const std::vector<ExposurePart> silence = {{std::nullopt, Hours(1)}};
    CHECK(!time_average(silence));
    CHECK(!daily_exposure_level(silence));
    CHECK(!highest_average(silence, Hours(1)));
    CHECK(!loudest(silence));
    CHECK(sound_exposure_Pa2h(silence) == 0.0);
    CHECK(!time_average({}));
}

TEST_CASE("splitting a part in two and reordering change neither average nor LEX nor Pa²h") {
    std::mt19937 random(3);
    for (int round = 0; round < 100; ++round) {
        auto parts = random_parts(random);
        const double LEX = daily_exposure_level(parts)->dB();
        const double average = time_average(parts)->dB();
        const double exposure = sound_exposure_Pa2h(parts);
        ExposurePart half = parts.front();
        half.time *= 0.3;
        parts.front().time *= 0.7;
        parts.push_back(half);
        std::shuffle(parts.begin(), parts.end(), random);
        CHECK(near(daily_exposure_level(parts)->dB(), LEX, 1e-9, Because::Arithmetic));
        CHECK(near(time_average(parts)->dB(), average, 1e-9, Because::Arithmetic));
        CHECK(near(sound_exposure_Pa2h(parts) / exposure, 1.0, 1e-9, Because::Arithmetic));
    }
}
