// "May I run that again?": with so many more runs in the plan every limit is kept, with one more
// some limit is not, or the day has no room for it.
#include <random>

#include <doctest/doctest.h>

#include "earbudget/advice/assess.hpp"
#include "earbudget/computing/work_meter.hpp"
#include "earbudget/limits/judge.hpp"
#include "earbudget/limits/shorten.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"
#include "support/apply_advice.hpp"
#include "support/random_staff_plan.hpp"
#include "support/spread_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

bool is_over_now(const Plan& plan) {
    return is_over_any(plan.people.front(), day_exposure(plan, plan.people.front()));
}

// Rounding may keep a day of exactly 24 hours from being full.
bool is_longer_than_a_day(const Plan& plan) {
    return total_time(day_exposure(plan, plan.people.front()).at_ear()) > Hours(24) - Seconds(0.01);
}

struct Counts {
    int over_now = 0;
    int rests = 0;
    int bounded_by_limit = 0;
    int none_left = 0;
    int bounded_by_day = 0;
};

void check_segment(const Plan& plan, const SegmentResult& segment, bool over, Counts& counts) {
    if (!segment.row.sequence) {
        ++counts.rests;
        CHECK(!segment.repeats_left);
        CHECK(!segment.repeats_left_best_estimate);
        return;
    }
    REQUIRE(segment.repeats_left.has_value());
    REQUIRE(segment.repeats_left_best_estimate.has_value());
    CHECK(*segment.repeats_left <= *segment.repeats_left_best_estimate);
    const unsigned more = *segment.repeats_left_best_estimate;
    CAPTURE(more);
    if (over) {
        ++counts.over_now;
        CHECK(more == 0);
        return;
    }
    const unsigned runs = segment.row.repeat + more;
    CHECK(!is_over_now(with_runs(plan, segment.row, runs)));
    const Plan one_more = with_runs(plan, segment.row, runs + 1);
    if (is_over_now(one_more)) {
        ++counts.bounded_by_limit;
        counts.none_left += more == 0 ? 1 : 0;
    } else {
        ++counts.bounded_by_day;
        CHECK(is_longer_than_a_day(one_more));
    }
}

void check_plan(const Plan& plan, Counts& counts) {
    const Assessment assessment = assess(plan);
    const bool over = is_over_now(plan);
    for (const SegmentResult& segment : assessment.people.front().segments)
        check_segment(plan, segment, over, counts);
}

}  // namespace

TEST_CASE("with the repeats left every limit is kept, with one more it is not") {
    std::mt19937 random(55);
    Counts counts;
    for (int round = 0; round < 2200; ++round) {
        CAPTURE(round);
        check_plan(random_staff_plan(random), counts);
    }
    MESSAGE("by a limit ", counts.bounded_by_limit, " (none left ", counts.none_left,
            "), by the day ", counts.bounded_by_day, ", over now ", counts.over_now, ", rests ",
            counts.rests);
    CHECK(counts.bounded_by_limit > 700);
    CHECK(counts.none_left > 25);
    CHECK(counts.bounded_by_day > 500);
    CHECK(counts.over_now > 1000);
    CHECK(counts.rests > 1000);
}

TEST_CASE("so many confident repeats keep the accepted probability, one more does not") {
    std::mt19937 random(57);
    int none = 0, bounded = 0, at_most = 0, many = 0;
    for (int round = 0; round < 150; ++round) {
        CAPTURE(round);
        Plan plan = random_staff_plan(random);
        plan.draws.draws = plan.draws.draws_of_times = 2048;
        const Assessment assessment = assess(plan);
        const PersonResult& person = assessment.people.front();
        for (const SegmentResult& segment : person.segments) {
            const auto& left = segment.repeats_left;
            const auto& best_estimate = segment.repeats_left_best_estimate;
            REQUIRE(left.has_value() == best_estimate.has_value());
            if (!left || *best_estimate == 0) continue;
            CHECK(*left <= *best_estimate);
            const auto close_with = [&](unsigned more) {
                const Plan longer = with_runs(plan, segment.row, segment.row.repeat + more);
                const Person& same = longer.people.front();
                return perhaps_over(longer, same, day_exposure(longer, same));
            };
            many += *left > 20 ? 1 : 0;
            if (*left > 0) CHECK(!close_with(*left));
            if (*left == *best_estimate) {
                ++at_most;
            } else {
                CHECK(close_with(*left + 1));
                ++(*left == 0 ? none : bounded);
            }
        }
    }
    MESSAGE("none ", none, ", bounded ", bounded, ", by the best estimate ", at_most,
            ", more than 20 ", many);
    CHECK(none > 5);
    CHECK(bounded > 5);
    CHECK(at_most > 5);
    CHECK(many > 5);
}

TEST_CASE("no run is left where a peak is above its limit, none confidently where it is close") {
    Plan plan = open_ears({sound_of(70.0, 1.0)}, {0.1}, "eu-limit");
    SoundLevels& sound = plan.sequences.front().levels;
    const auto first = [&] {
        static Assessment assessment;
        assessment = assess(plan);
        return assessment.people.front().segments.front();
    };
    sound.LCpeak = PeakLevelC(120.0);
    CHECK(*first().repeats_left_best_estimate > 20);
    CHECK(*first().repeats_left > 20);
    sound.LCpeak = PeakLevelC(139.5);
    CHECK(*first().repeats_left_best_estimate > 20);
    CHECK(*first().repeats_left == 0);
    sound.LCpeak = PeakLevelC(141.0);
    CHECK(*first().repeats_left_best_estimate == 0);
    CHECK(*first().repeats_left == 0);
}

TEST_CASE("repeats left with a tight hour, where more of a quiet run can help") {
    std::mt19937 random(56);
    const Draw draw(random);
    Counts counts;
    for (int round = 0; round < 400; ++round) {
        CAPTURE(round);
        Plan plan = random_plan(random);
        plan.background = std::nullopt;
        for (Sequence& sequence : plan.sequences)
            sequence.levels = {.LAeq = LevelA(draw.between(96.0, 101.0))};
        for (TimelineRow& row : plan.timeline)
            row.duration = Seconds(draw.between(60.0, 1200.0));
        plan.people = {participant({})};
        std::erase_if(plan.people.front().policy.criteria,
                      [](const Criterion& c) { return c.id != "iec-60601-2-33"; });
        check_plan(plan, counts);
    }
    MESSAGE("by a limit ", counts.bounded_by_limit, ", by the day ", counts.bounded_by_day);
    CHECK(counts.bounded_by_limit > 100);
}

TEST_CASE(
    "a row within its limit keeps its repeats though fewer would bring two loud ones together") {
    // 99.5 dB(A) for 20 min twice with 40 min of 98.45 dB(A) between, in four runs: with two of
    // them the loudest hour is over 99 dB(A), with four it is not, and never with more.
    Plan plan{.title = "three rows"};
    plan.sequences.push_back({.id = "x", .title = "X", .levels = {.LAeq = LevelA(99.5)}});
    plan.sequences.push_back({.id = "a", .title = "A", .levels = {.LAeq = LevelA(98.45)}});
    for (const std::size_t sequence : {0U, 1U, 0U})
        plan.timeline.push_back({.sequence = sequence, .duration = Seconds(1200)});
    plan.timeline[1].duration = Seconds(600);
    plan.timeline[1].repeat = 4;
    plan.people = {participant({})};
    std::erase_if(plan.people.front().policy.criteria,
                  [](const Criterion& c) { return c.id != "iec-60601-2-33"; });
    REQUIRE(!is_over_now(plan));
    const Assessment assessment = assess(plan);
    const unsigned more = *assessment.people.front().segments[1].repeats_left_best_estimate;
    CHECK(more == 136);  // (24 h − 40 min)/10 min − 4
    CHECK(!is_over_now(with_runs(plan, assessment.people.front().segments[1].row, 4 + more)));
}

TEST_CASE("asking every row of a long day for more runs grows with the rows, not their square") {
    // One loud row makes the hour matter; the others could be run until the day is full.
    const auto spent = [](std::size_t rows) {
        std::vector<SoundLevels> sounds(rows, sound_of(70.0, 1.0));
        sounds.front() = sound_of(103.0, 1.0);
        Plan plan = open_ears(sounds, std::vector<double>(rows, 4.0 / static_cast<double>(rows)),
                              "iec-60601-2-33");
        plan.timeline.front().duration = Seconds(20.0);
        const Person& person = plan.people.front();
        const ExposureDay day = day_exposure(plan, person);
        const MonteCarloDay drawn(plan, person, day, DrawSettings());
        REQUIRE(drawn.order_matters());
        const auto best = repeats_left(person, day);
        const double before = WorkMeter::spent_by_this_thread();
        const auto left = confident_repeats_left(day, drawn, best);
        CHECK(left.back() == best.back());
        return WorkMeter::spent_by_this_thread() - before;
    };
    CHECK(spent(240) < 5.5 * spent(60));  // four times the rows
}
