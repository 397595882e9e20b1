#include "earbudget/decision/shorten.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <vector>

#include "earbudget/decision/day_budget.hpp"
#include "earbudget/exposure/uncertainty.hpp"

namespace earbudget {

namespace {

constexpr Seconds longest_day = Hours(24);
constexpr Seconds hour = Hours(1);

// Rows that last a fixed time and a part of one time that varies.
struct VariableTimes {
    std::vector<Seconds> fixed;
    std::vector<double> part;

    [[nodiscard]] std::vector<Seconds> lasting(Seconds time) const {
        std::vector<Seconds> times = fixed;
        for (std::size_t i = 0; i < times.size(); ++i)
            times[i] += part[i] * time;
        return times;
    }
};

// The times at which an hour fits exactly between two row ends of the day.
std::vector<Seconds> times_of_whole_hours(const VariableTimes& variable,
                                          const std::vector<std::size_t>& course, Seconds most) {
    std::vector<Seconds> times;
    for (std::size_t first = 0; first < course.size(); ++first) {
        Seconds fixed(0.0);
        double part = 0.0;
        for (std::size_t i = first; i < course.size() && fixed <= hour; ++i) {
            fixed += variable.fixed[course[i]];
            part += variable.part[course[i]];
            if (!(part > 0.0)) continue;
            const Seconds time = (hour - fixed) / part;
            if (time > Seconds(0.0) && time < most) times.push_back(time);
        }
    }
    std::sort(times.begin(), times.end());
    times.erase(std::unique(times.begin(), times.end()), times.end());
    return times;
}

// The longest time up to `most` that is not over, with every shorter one; none when 0 s is over.
std::optional<Seconds> longest_within(const std::function<bool(Seconds)>& over,
                                      std::vector<Seconds> looked_at, Seconds most) {
    if (over(Seconds(0.0))) return std::nullopt;
    looked_at.push_back(most);
    Seconds within(0.0);
    Seconds beyond(0.0);
    for (const Seconds time : looked_at) {
        if (over(time)) {
            beyond = time;
            break;
        }
        within = time;
    }
    if (beyond == Seconds(0.0)) return most;
    for (int step = 0; step < 60; ++step) {
        const Seconds middle = 0.5 * (within + beyond);
        (over(middle) ? beyond : within) = middle;
    }
    return within;
}

// Rounded down to a thousandth of a second, so that what is printed still keeps the limit; what is
// not bounded by a limit stays as it is.
Seconds rounded_down(Seconds time, Seconds most) {
    return time == most ? most : Seconds(std::floor(time.count() * 1000.0) / 1000.0);
}

bool every_uncertainty_is_stated(const Person& person, const HearingDay& day) {
    const auto& criteria = person.policy.criteria;
    return std::all_of(criteria.begin(), criteria.end(), [&](const Criterion& criterion) {
        return !criterion.is_for(person.role) ||
               has_stated_uncertainty(criterion, parts_for(criterion, day));
    });
}

HearingDay with_times(HearingDay day, const std::vector<Seconds>& times) {
    for (std::size_t i = 0; i < times.size(); ++i)
        day.rows[i].time = times[i];
    return day;
}

std::optional<Seconds> longest_by(const DayBudget& budget, const HearingDay& day,
                                  const VariableTimes& variable, Seconds most) {
    auto longest = budget.longest(variable.fixed, variable.part, most);
    if (longest && budget.hour_matters()) {
        longest = longest_within(
            [&](Seconds time) { return budget.is_hour_over(variable.lasting(time), day.sessions); },
            times_of_whole_hours(variable, day.course(), *longest), *longest);
    }
    return longest ? std::optional(rounded_down(*longest, most)) : std::nullopt;
}

LongestTime longest(const Person& person, const HearingDay& day, const VariableTimes& variable,
                    Seconds most) {
    LongestTime result;
    result.best_estimate = longest_by(DayBudget(person, day), day, variable, most);
    // What matters can change with the time, most of all towards its ends.
    if (!every_uncertainty_is_stated(person, with_times(day, variable.fixed))) return result;
    const DayBudget raised(person, day, confident_deviations());
    const auto confident = longest_by(raised, day, variable, most);
    if (confident &&
        every_uncertainty_is_stated(person, with_times(day, variable.lasting(*confident)))) {
        result.confident = confident;
    }
    return result;
}

VariableTimes varying(const HearingDay& day, std::size_t row) {
    VariableTimes variable{{}, std::vector<double>(day.rows.size(), 0.0)};
    for (std::size_t i = 0; i < day.rows.size(); ++i)
        variable.fixed.push_back(i == row ? Seconds(0.0) : day.rows[i].time);
    variable.part[row] = 1.0;
    return variable;
}

Seconds total_time_of(const HearingDay& day) {
    Seconds total(0.0);
    for (const HeardRow& row : day.rows)
        total += static_cast<double>(day.times_a_day(row)) * row.time;
    return total;
}

// How long a row may be before the day has more than 24 hours; never less than it is.
Seconds room_for(const HearingDay& day, const HeardRow& row, Seconds total) {
    const auto times = static_cast<double>(day.times_a_day(row));
    const Seconds others = total - times * row.time;
    return std::max((longest_day - others) / times, row.time);
}

unsigned runs_left(const DayBudget& budget, const HearingDay& day, std::size_t index,
                   Seconds total) {
    const HeardRow& row = day.rows[index];
    const Seconds room = room_for(day, row, total);
    const auto longest = budget.hour_matters() ? longest_by(budget, day, varying(day, index), room)
                                               : budget.longest_of_row(index, room);
    if (!longest || *longest < row.time) return 0;
    // What fits but for the rounding fits.
    return static_cast<unsigned>((*longest - row.time + Seconds(0.001)) / row.run());
}

}  // namespace

Seconds room_in_a_day(const HearingDay& day, std::size_t row) {
    return room_for(day, day.rows[row], total_time_of(day));
}

LongestTime longest_time_of_row(const Person& person, const HearingDay& day, std::size_t row) {
    return longest(person, day, varying(day, row), room_in_a_day(day, row));
}

std::vector<std::optional<unsigned>> repeats_left(const Person& person, const HearingDay& day) {
    const DayBudget budget(person, day);
    const bool over = budget.is_over();
    const Seconds total = total_time_of(day);
    std::vector<std::optional<unsigned>> runs;
    for (std::size_t row = 0; row < day.rows.size(); ++row) {
        if (!day.rows[row].sequence) {
            runs.emplace_back(std::nullopt);
        } else {
            runs.emplace_back(over ? 0U : runs_left(budget, day, row, total));
        }
    }
    return runs;
}

LongestTime longest_time_of_all_sequences(const Person& person, const HearingDay& day) {
    VariableTimes variable;
    Seconds now(0.0);
    for (const HeardRow& row : day.rows) {
        if (row.sequence) now += row.time;
    }
    if (!(now.count() > 0.0)) return {};
    for (const HeardRow& row : day.rows) {
        variable.fixed.push_back(row.sequence ? Seconds(0.0) : row.time);
        variable.part.push_back(row.sequence ? row.time / now : 0.0);
    }
    return longest(person, day, variable, now);
}

}  // namespace earbudget
