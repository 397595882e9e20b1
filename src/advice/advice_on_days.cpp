#include <algorithm>
#include <cmath>

#include "advice/advice_on.hpp"
#include "earbudget/computing/solver.hpp"
#include "earbudget/limits/day_budget.hpp"
#include "earbudget/limits/judge.hpp"
#include "earbudget/limits/shorten.hpp"

namespace earbudget {

namespace {

/// More days than a working week are no advice that anybody follows (own choice).
constexpr unsigned most_days = 5;

unsigned rounded_up(unsigned sessions, unsigned a_day) { return (sessions + a_day - 1) / a_day; }

constexpr double days_of_a_week = 7.0;

/// Whether a limit is exceeded when a day becomes several like `day`: what is heard once a day is
/// then heard on each of them, and a week has more of them.
bool is_over_on_more_days(const Person& person, ExposureDay day, unsigned days) {
    day.days_per_week = std::min(days_of_a_week, std::max(day.days_per_week, 1.0) * days);
    return is_over_any(person, day);
}

void advise_sessions(const PersonResult& result, const ExposureDay& day, const DayBudget& budget,
                     unsigned most, unsigned confident, std::vector<Advice>& advice) {
    const Person& person = *result.person;
    const unsigned now = budget.sessions();
    Advice fewer{.code = AdviceCode::FewerSessions, .count = most, .confident_count = confident};
    fewer.says = {say<AdvicePhrase::FewerSessions>(most, now)};
    if (confident < most) {
        const double percent = accepted_percent(person);
        fewer.says.push_back(confident == 0
                                 ? say<AdvicePhrase::NotEvenOneSession>(percent)
                                 : say<AdvicePhrase::SessionsThatKeep>(confident, percent));
        if (are_far_apart(most, confident)) add_why_far_apart(result, fewer.says);
    }
    advice.push_back(std::move(fewer));
    const unsigned days = rounded_up(now, most);
    if (days > most_days) return;
    ExposureDay spread = day;
    spread.sessions = rounded_up(now, days);
    if (is_over_on_more_days(person, spread, days)) return;
    advice.push_back({.code = AdviceCode::SpreadDays,
                      .says = {say<AdvicePhrase::SpreadSessions>(now, days, most)},
                      .count = most,
                      .days = days});
}

void advise_division(const ExposureDay& day, const PersonResult& result,
                     std::vector<Advice>& advice) {
    const LongestTime longest = longest_time_of_all_sequences(*result.person, day);
    if (!longest.best_estimate || !(longest.best_estimate->count() > 0.0)) return;
    Seconds now(0.0);
    for (const ExposureRow& row : day.rows)
        now += row.sequence ? row.time : Seconds(0.0);
    const double days = std::ceil(now / *longest.best_estimate);
    if (days < 2.0 || days > most_days) return;
    ExposureDay divided = day;
    for (ExposureRow& row : divided.rows) {
        if (row.sequence) row.time /= days;
    }
    if (is_over_on_more_days(*result.person, divided, static_cast<unsigned>(days))) return;
    advice.push_back({.code = AdviceCode::SpreadDays,
                      .says = {days == 2.0 ? say<AdvicePhrase::DivideInTwo>()
                                           : say<AdvicePhrase::DivideSession>(days)},
                      .days = static_cast<unsigned>(days)});
}

/// The person at a position, its door shut, during one task.
Person standing_at(const Person& person, std::size_t task, std::size_t position) {
    Person moved = person;
    moved.tasks[task].position = position;
    moved.tasks[task].door_open = false;
    return moved;
}

struct Stand {
    std::size_t position;
    LevelA LEX_8h;
};

/// The loudest position that keeps every limit, of those that are quieter than now.
std::optional<Stand> loudest_permitted(const Plan& plan, const PersonResult& result,
                                       std::size_t task) {
    std::optional<Stand> best;
    for (std::size_t position = 0; position < plan.positions.size(); ++position) {
        const Task& now = result.person->tasks[task];
        if (position == now.position && !now.door_open) continue;
        const Person moved = standing_at(*result.person, task, position);
        // Without a day the position says nothing about a sequence, or the method lacks data there.
        const auto day = day_or_obstacle(plan, moved);
        const auto level = day ? daily_exposure_level(day->at_ear()) : std::nullopt;
        if (!level || is_over_any(moved, *day)) continue;
        if (worst_peak_verdict(plan, moved, *day) == Verdict::Over) continue;
        if (!best || *level > best->LEX_8h) best = Stand{position, *level};
    }
    return best;
}

Message move_to(const Plan& plan, const Task& task, const Stand& stand) {
    const std::string& now = plan.positions[*task.position].id;
    const Position& there = plan.positions[stand.position];
    return say<AdvicePhrase::MoveAway>(
        stand.position == *task.position
            ? say<AdvicePhrase::ShutDoor>(there.id)
            : say<AdvicePhrase::BeAt>(there.id, there.door_open.has_value(), now),
        !task.title.empty(), task.title, stand.LEX_8h);
}

}  // namespace

void advise_fewer_sessions(const ExposureDay& day, const MonteCarloDay& drawn,
                           const PersonResult& result, std::vector<Advice>& advice) {
    const DayBudget budget(*result.person, day);
    // 0: not even one does.
    const unsigned most = most_that_keeps(0U, day.sessions, [&](unsigned sessions) {
        return !budget.is_over(budget.times(), sessions);
    });
    if (most == 0) advise_division(day, result, advice);
    if (most == 0 || most == day.sessions) return;
    const unsigned confident = most_that_keeps(
        0U, most, [&](unsigned sessions) { return !drawn.perhaps_over({.sessions = sessions}); });
    advise_sessions(result, day, budget, most, confident, advice);
}

void advise_position(const Plan& plan, const PersonResult& result, std::vector<Advice>& advice) {
    for (const Share& share : result.task_shares) {
        if (!share.task) continue;
        const Task& task = result.person->tasks[*share.task];
        if (!task.position || task.levels) continue;
        if (const auto stand = loudest_permitted(plan, result, *share.task)) {
            advice.push_back({.code = AdviceCode::MoveAway,
                              .says = {move_to(plan, task, *stand)},
                              .position = stand->position});
        }
        return;  // the task with the largest share
    }
}

}  // namespace earbudget
