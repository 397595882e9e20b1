#include "earbudget/exposure/criterion.hpp"

#include <algorithm>
#include <numeric>
#include <random>
#include <set>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "support/near.hpp"
#include "support/published.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

using Day = std::vector<ExposurePart>;

// Some parts of which two neighbours have the same level, so that they can be merged.
Day random_day(std::mt19937& random) {
    const double quietest = std::uniform_real_distribution<double>(40.0, 80.0)(random);
    std::uniform_real_distribution<double> level(quietest, quietest + 35.0);
    std::uniform_real_distribution<double> hours(0.02, 1.5);
    Day day;
    for (int i = 0; i < 6; ++i)
        day.push_back({LevelA(level(random)), Hours(hours(random))});
    day.insert(day.begin() + 3, {day[2].level, Hours(hours(random))});
    day.push_back({std::nullopt, Hours(hours(random))});
    return day;
}

Day split(const Day& day, std::mt19937& random) {
    std::uniform_real_distribution<double> share(0.01, 0.99);
    Day result;
    for (const ExposurePart& part : day) {
        const double first = share(random);
        result.push_back({part.level, first * part.time});
        result.push_back({part.level, (1.0 - first) * part.time});
    }
    return result;
}

Day merged(const Day& day) {
    Day result;
    for (const ExposurePart& part : day) {
        if (!result.empty() && result.back().level == part.level) {
            result.back().time += part.time;
        } else {
            result.push_back(part);
        }
    }
    return result;
}

Day reordered(Day day, std::mt19937& random) {
    std::shuffle(day.begin(), day.end(), random);
    return day;
}

void check_same(const Criterion& criterion, const Day& a, const Day& b) {
    CAPTURE(criterion.id);
    const double value = value_of(criterion, a).value();
    const double slack = 1e-9 * std::max(1.0, value);
    CHECK(near(value_of(criterion, b).value(), value, slack, Because::Arithmetic));
    CHECK(near(margin_of(criterion, b)->dB(), margin_of(criterion, a)->dB(), 1e-9,
               Because::Arithmetic));
    CHECK(is_over(criterion, b) == is_over(criterion, a));
}

}  // namespace

TEST_CASE("splitting, merging and reordering change no criterion's value, margin or verdict") {
    std::mt19937 random(31);
    int over = 0;
    int within = 0;
    for (int round = 0; round < 300; ++round) {
        const Day day = random_day(random);
        CHECK(merged(day).size() < day.size());
        for (const Criterion& criterion : published_criteria()) {
            check_same(criterion, day, split(day, random));
            check_same(criterion, day, merged(day));
            check_same(criterion, day, merged(split(day, random)));
            (is_over(criterion, day) ? over : within) += 1;
            // An hour's average depends on what stands side by side.
            if (criterion.quantity == ExposureQuantity::LAeq_1h) continue;
            check_same(criterion, day, reordered(split(day, random), random));
        }
    }
    CHECK(over > 300);
    CHECK(within > 300);
}

TEST_CASE("equal energy: parts replaced by their energy average keep LEX, 5 dB exchange does not") {
    std::mt19937 random(32);
    for (int round = 0; round < 200; ++round) {
        const Day day = random_day(random);
        const Day average = {{time_average(day), total_time(day)}};
        for (const char* id : {"eu-limit", "eu-upper-action", "eu-lower-action"}) {
            check_same(published(id), day, average);
        }
        // 2^(ΔL/3) and 10^(ΔL/10) differ by 0.08 % for each decibel, here over 35 dB at most.
        Criterion equal_energy = published("niosh-rel");
        equal_energy.rule.threshold = std::nullopt;
        const double dose = value_of(equal_energy, day).value();
        CHECK(
            near(value_of(equal_energy, average).value() / dose, 1.0, 0.03, Because::OwnTolerance));
        // With 5 dB the loud parts weigh less than their energy.
        Criterion of_5_dB = published("osha-action");
        of_5_dB.rule.threshold = std::nullopt;
        CHECK(value_of(of_5_dB, average).value() > value_of(of_5_dB, day).value());
    }
}

TEST_CASE("raised by its margin a day is at the limit of every criterion") {
    std::mt19937 random(33);
    for (int round = 0; round < 300; ++round) {
        const Day day = random_day(random);
        for (const Criterion& criterion : published_criteria()) {
            CAPTURE(criterion.id);
            const double margin = margin_of(criterion, day)->dB();
            const auto raised = [&](double dB) {
                Day result = day;
                for (ExposurePart& part : result) {
                    if (part.level) part.level = *part.level + LevelDifference(dB);
                }
                return result;
            };
            CHECK(!is_over(criterion, raised(margin - 1e-6)));
            CHECK(is_over(criterion, raised(margin + 1e-6)));
            CHECK((margin < 0.0) == is_over(criterion, day));
        }
    }
}

TEST_CASE("every criterion of the interface has an id, a source, somebody it is for and a limit") {
    std::set<std::string> ids;
    for (const Criterion& criterion : published_criteria()) {
        CAPTURE(criterion.id);
        ids.insert(criterion.id);
        CHECK(!criterion.title.empty());
        CHECK(!criterion.source.empty());
        CHECK(!criterion.roles.empty());
        CHECK(criterion.limit() > 0.0);
        CHECK(find_published_criterion(criterion.id) == &criterion);
        // Action values never count protectors, everything else does.
        const bool action = criterion.id.ends_with("-action");
        CHECK(criterion.with_protection == !action);
    }
    CHECK(ids == std::set<std::string>{"niosh-rel", "osha-pel", "osha-action", "eu-limit",
                                       "eu-upper-action", "eu-lower-action", "iec-60601-2-33",
                                       "fda-significant-risk", "who-public-adult",
                                       "who-public-child", "de-under-protector"});
    CHECK(!find_published_criterion("nobody"));
}

TEST_CASE("the default set of every role is for that role") {
    const auto ids = [](Role role) {
        std::vector<std::string> result;
        for (const Criterion& criterion : default_criteria(role)) {
            CHECK(criterion.is_for(role));
            result.push_back(criterion.id);
        }
        return result;
    };
    using Ids = std::vector<std::string>;
    CHECK(ids(Role::Participant) == Ids{"niosh-rel", "iec-60601-2-33"});
    CHECK(ids(Role::Staff) == Ids{"niosh-rel", "eu-limit", "eu-upper-action", "eu-lower-action"});
    CHECK(ids(Role::Accompanying) == Ids{"iec-60601-2-33", "who-public-adult"});
}
