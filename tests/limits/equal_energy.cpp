// Equal energy on the level of a plan: rows split, merged and put in another order leave doses and
// LEX,8h as they are; the highest hour depends on the order alone.
#include <algorithm>
#include <map>
#include <random>

#include <doctest/doctest.h>

#include "earbudget/advice/assess.hpp"
#include "support/near.hpp"
#include "support/random_staff_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

Plan split(Plan plan, const Draw& draw) {
    std::vector<TimelineRow> rows;
    for (const TimelineRow& row : plan.timeline) {
        const double part = draw.between(0.1, 0.9);
        rows.push_back(row);
        rows.back().duration = part * row.time();
        rows.back().repeat = 1;
        rows.push_back(row);
        rows.back().duration = (1.0 - part) * row.duration;
    }
    plan.timeline = rows;
    return plan;
}

// Splits runs apart so that they are one after another, as they were: one run a row.
Plan unrolled(Plan plan) {
    std::vector<TimelineRow> rows;
    for (TimelineRow row : plan.timeline) {
        const unsigned runs = std::exchange(row.repeat, 1U);
        rows.insert(rows.end(), runs, row);
    }
    plan.timeline = rows;
    return plan;
}

Plan merged(Plan plan) {
    std::map<std::optional<std::size_t>, TimelineRow> rows;
    for (const TimelineRow& row : plan.timeline) {
        TimelineRow& together = rows[row.sequence];
        together.sequence = row.sequence;
        together.duration += row.time();
    }
    plan.timeline.clear();
    for (const auto& [sequence, row] : rows)
        plan.timeline.push_back(row);
    return plan;
}

Plan shuffled(Plan plan, std::mt19937& random) {
    std::ranges::shuffle(plan.timeline, random);
    return plan;
}

Plan loudest_first(Plan plan) {
    const auto level = [&](const TimelineRow& row) {
        return row.sequence ? plan.sequences[*row.sequence].levels.LAeq : plan.background->LAeq;
    };
    std::ranges::stable_sort(plan.timeline, std::ranges::greater(), level);
    return plan;
}

bool same(double a, double b) { return near(a, b, 1e-6, Because::Arithmetic); }

bool same_energy(const Plan& plan, const Plan& other) {
    const Assessment before = assess(plan);
    const Assessment after = assess(other);
    const PersonResult& a = before.people.front();
    const PersonResult& b = after.people.front();
    bool all =
        same(a.exposure.LEX_8h->dB(), b.exposure.LEX_8h->dB()) &&
        same(a.exposure.at_ear_LEX_8h->dB(), b.exposure.at_ear_LEX_8h->dB()) &&
        same(a.exposure.at_ear_LAeq->dB(), b.exposure.at_ear_LAeq->dB()) &&
        same(a.exposure.time.count(), b.exposure.time.count()) &&
        near(b.exposure.at_ear_Pa2h / a.exposure.at_ear_Pa2h, 1.0, 1e-9, Because::Arithmetic);
    for (std::size_t i = 0; i < a.criteria.size(); ++i) {
        const CriterionResult& one = a.criteria[i];
        if (one.quantity() == "LAeq_1h" || !one.value) continue;
        // A dose can be many thousand percent, or 0 below the threshold.
        all = all && near(*b.criteria[i].value, *one.value,
                          1e-9 * std::max(1.0, std::abs(*one.value)), Because::Arithmetic);
    }
    return all;
}

double highest_hour(const Plan& plan) {
    return assess(plan).people.front().exposure.at_ear_LAeq_1h->dB();
}

}  // namespace

TEST_CASE("splitting, merging and reordering the rows of a plan keep dose and LEX") {
    std::mt19937 random(88);
    const Draw draw(random);
    for (int round = 0; round < 300; ++round) {
        CAPTURE(round);
        const Plan plan = random_staff_plan(random);
        CHECK(same_energy(plan, split(plan, draw)));
        CHECK(same_energy(plan, unrolled(plan)));
        CHECK(same_energy(plan, merged(plan)));
        CHECK(same_energy(plan, shuffled(unrolled(plan), random)));
    }
}

TEST_CASE("the highest hour is the same for split rows and as their order makes it for others") {
    std::mt19937 random(89);
    const Draw draw(random);
    int changed = 0;
    for (int round = 0; round < 300; ++round) {
        CAPTURE(round);
        Plan plan = random_plan(random);
        plan.people = {participant({})};
        CHECK(same(highest_hour(plan), highest_hour(unrolled(plan))));
        CHECK(same(highest_hour(plan), highest_hour(split(plan, draw))));
        const Plan other = shuffled(unrolled(plan), random);
        changed += std::abs(highest_hour(other) - highest_hour(plan)) > 0.01 ? 1 : 0;
        const Assessment assessment = assess(other);
        const DayExposure& day = assessment.people.front().exposure;
        // No order makes a louder hour than the loudest first, and none one below the average.
        CHECK(highest_hour(loudest_first(other)) >= highest_hour(other) - 1e-9);
        CHECK(highest_hour(loudest_first(plan)) >= highest_hour(plan) - 1e-9);
        if (day.time >= Hours(1)) CHECK(*day.at_ear_LAeq_1h >= *day.at_ear_LAeq);
    }
    CHECK(changed > 50);
}
