// Advice is solved, not guessed: each of thousands of advices is applied to its plan and the plan
// assessed again. The best estimate is then within every limit, and the next larger amount is over;
// the same for the confident figures and a probability of 5 %. Peaks are left aside, since no
// advice here changes them.
#include <map>
#include <random>
#include <string>

#include <doctest/doctest.h>

#include "report/words/words.hpp"
#include "support/apply_advice.hpp"
#include "support/random_staff_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

/// A person over a limit, with the advice on one of the ways out.
struct Case {
    const Plan& plan;
    const PersonResult& person;
    const Advice& advice;

    [[nodiscard]] const ExposureRow& row() const { return person.segments[*advice.row].row; }
    [[nodiscard]] Seconds day_with(Seconds time) const {
        return assess(with_row_lasting(plan, row(), time)).people.front().exposure.time;
    }
};

using Counts = std::map<std::string, int>;

// One percent more is over, unless the day of 24 hours or the present time bounds it. With a limit
// on the highest hour "any shorter time keeps it" is promised, and just above the time it is over.
void check_shorten(const Case& c, Counts& counts) {
    const auto lasting = [&](Seconds time) { return with_row_lasting(c.plan, c.row(), time); };
    if (c.advice.row && c.advice.seconds && c.day_with(1.01 * *c.advice.seconds) < Hours(24)) {
        ++counts["shorten"];
        CHECK(!is_over(lasting(*c.advice.seconds)));
        CHECK(is_over(lasting(*c.advice.seconds + Seconds(0.01))));
        if (c.advice.seconds->count() > 0.0) CHECK(is_over(lasting(1.01 * *c.advice.seconds)));
    }
    const auto& confident = c.advice.confident_seconds;
    if (!c.advice.row || !confident || *confident < Seconds(1.0)) return;
    if (c.day_with(1.01 * *confident) >= Hours(24)) return;
    ++counts["shorten, confident"];
    CHECK(*confident <= *c.advice.seconds);
    CHECK(!is_perhaps_over(lasting(*confident)));
    CHECK(is_perhaps_over(lasting(1.01 * *confident)));
}

void check_shorten_all(const Case& c, Counts& counts) {
    Seconds now(0.0);
    for (const SegmentResult& segment : c.person.segments)
        now += segment.row.sequence ? segment.row.time : Seconds(0.0);
    const double factor = *c.advice.seconds / now;
    ++counts["shorten all"];
    CHECK(!is_over(with_sequences_scaled(c.plan, factor)));
    CHECK(is_over(with_sequences_scaled(c.plan, 1.01 * factor)));
}

void check_repeats(const Case& c, Counts& counts) {
    ++counts["drop-repeats"];
    const unsigned runs = c.advice.count.value();
    CHECK(!is_over(with_runs(c.plan, c.row(), runs)));
    CHECK(is_over(with_runs(c.plan, c.row(), runs + 1)));
    if (c.advice.confident_count.value_or(0) == 0) return;
    ++counts["drop-repeats, confident"];
    CHECK(!is_perhaps_over(with_runs(c.plan, c.row(), *c.advice.confident_count)));
    if (*c.advice.confident_count < runs) {
        CHECK(is_perhaps_over(with_runs(c.plan, c.row(), *c.advice.confident_count + 1)));
    }
}

void check_sessions(const Case& c, Counts& counts) {
    ++counts["fewer-sessions"];
    CHECK(!is_over(with_sessions(c.plan, *c.advice.count)));
    CHECK(is_over(with_sessions(c.plan, *c.advice.count + 1)));
    if (c.advice.confident_count.value_or(0) == 0) return;
    ++counts["fewer-sessions, confident"];
    CHECK(!is_perhaps_over(with_sessions(c.plan, *c.advice.confident_count)));
    CHECK(is_perhaps_over(with_sessions(c.plan, *c.advice.confident_count + 1)));
}

// Sessions over more days, or each session divided where not even one may be had.
void check_days(const Case& c, Counts& counts) {
    const unsigned days = c.advice.days.value();
    const auto spread = [&](unsigned over) {
        const unsigned now = c.person.person->sessions_per_day;
        const Plan plan = c.advice.count ? with_sessions(c.plan, (now + over - 1) / over)
                                         : with_sequences_scaled(c.plan, 1.0 / over);
        return on_more_days(plan, over);
    };
    ++counts[c.advice.count ? "spread-days" : "spread-days, divided"];
    CHECK(!is_over(spread(days)));
    CHECK(is_over(spread(days - 1)));
}

void check_reduction(const Case& c, Counts& counts) {
    if (!c.advice.reduction || c.person.person->wearing.poor_fit) return;
    const bool protectors = std::ranges::any_of(
        c.person.criteria, [](const CriterionResult& result) { return result.at_ear; });
    ++counts["required-protection"];
    const double more = c.advice.reduction->dB();
    CHECK(!is_over(with_more_reduction(c.plan, more), protectors));
    CHECK(is_over(with_more_reduction(c.plan, more - 0.1), protectors));
    if (!c.advice.confident_reduction) return;
    ++counts["required-protection, confident"];
    const double confident = c.advice.confident_reduction->dB();
    CHECK(confident >= more);
    CHECK(!is_perhaps_over(with_more_reduction(c.plan, confident), protectors));
    CHECK(is_perhaps_over(with_more_reduction(c.plan, confident - 0.1), protectors));
}

void check_protector(const Case& c, Counts& counts) {
    ++counts[std::string(name_of(c.advice.code))];
    const bool protectors = std::ranges::any_of(
        c.person.criteria, [](const CriterionResult& result) { return result.at_ear; });
    CHECK(!is_over(wearing(c.plan, c.advice.wears, {}), protectors));
}

void check_wearing(const Case& c, Counts& counts) {
    ++counts[std::string(name_of(c.advice.code))];
    if (c.advice.code == AdviceCode::FitCheck) {
        CHECK(c.person.person->wearing.poor_fit);
        CHECK(c.advice.wears.empty());  // what does not seat is not offered again
    } else {
        CHECK(!is_over(wearing(c.plan, c.advice.wears, {})));
    }
}

// The position keeps every limit; those that are louder do not.
void check_position(const Case& c, Counts& counts) {
    ++counts["move-away"];
    const auto& tasks = c.person.person->tasks;
    const std::size_t task = *std::ranges::find_if(c.person.task_shares, [&](const Share& share) {
                                  return share.task && !tasks[*share.task].levels;
                              })->task;
    const auto standing_at = [&](std::size_t position) {
        Plan plan = c.plan;
        plan.people.front().tasks[task].position = position;
        plan.people.front().tasks[task].door_open = false;
        return plan;
    };
    const auto level_of = [](const Plan& plan) {
        return *assess(plan).people.front().exposure.at_ear_LEX_8h;
    };
    const Plan moved = standing_at(*c.advice.position);
    CHECK(!is_over(moved));
    for (std::size_t other = 0; other < c.plan.positions.size(); ++other) {
        const Plan elsewhere = standing_at(other);
        if (level_of(elsewhere) > level_of(moved)) CHECK(is_over(elsewhere));
    }
}

void check(const Case& c, Counts& counts) {
    const std::string code(name_of(c.advice.code));
    CAPTURE(code);
    CAPTURE(text_of(c.advice.says, " "));
    if (code == "shorten" && c.advice.row) check_shorten(c, counts);
    if (code == "shorten" && !c.advice.row) check_shorten_all(c, counts);
    if (code == "drop-repeats") check_repeats(c, counts);
    if (code == "fewer-sessions") check_sessions(c, counts);
    if (code == "spread-days") check_days(c, counts);
    if (code == "required-protection") check_reduction(c, counts);
    if (code == "move-away") check_position(c, counts);
    if (code == "add-protection" || code == "change-protection") check_protector(c, counts);
    if (code == "wear-throughout") check_wearing(c, counts);
    if (code == "fit-check" && c.person.verdict == Verdict::Over) check_wearing(c, counts);
}

}  // namespace

TEST_CASE(
    "every advice, applied and assessed again, keeps every limit, and a little more does not") {
    std::mt19937 random(5005);
    Counts counts;
    for (int round = 0; round < 2500; ++round) {
        CAPTURE(round);
        const Plan plan = random_staff_plan(random);
        const Assessment assessment = assess(plan);
        const PersonResult& person = assessment.people.front();
        for (const Advice& advice : person.advice)
            check({plan, person, advice}, counts);
    }
    for (const auto& [code, count] : counts)
        MESSAGE(code, ": ", count);
    const Counts least = {{"shorten", 300},        {"shorten, confident", 200},
                          {"drop-repeats", 100},   {"drop-repeats, confident", 15},
                          {"fewer-sessions", 200}, {"fewer-sessions, confident", 100},
                          {"spread-days", 100},    {"spread-days, divided", 50},
                          {"shorten all", 50},     {"required-protection", 300},
                          {"move-away", 100},      {"required-protection, confident", 300},
                          {"add-protection", 20},  {"change-protection", 50},
                          {"fit-check", 5},        {"wear-throughout", 20}};
    for (const auto& [code, number] : least) {
        CAPTURE(code);
        CHECK(counts[code] >= number);
    }
}
