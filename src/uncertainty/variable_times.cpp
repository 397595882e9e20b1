#include "earbudget/uncertainty/variable_times.hpp"

#include <algorithm>
#include <cmath>

#include "earbudget/exposure/limit.hpp"

namespace earbudget {

namespace {

constexpr Seconds hour = averaging_hour;

}  // namespace

std::vector<Seconds> VariableTimes::lasting(Seconds time) const {
    std::vector<Seconds> times = fixed;
    for (std::size_t i = 0; i < times.size(); ++i)
        times[i] += part[i] * time;
    return times;
}

VariableTimes one_row(const ExposureDay& day, std::size_t row) {
    VariableTimes variable;
    for (std::size_t i = 0; i < day.rows.size(); ++i) {
        const bool varies = i == row || day.rows[i].is_same_plan_row(day.rows[row]);
        variable.fixed.push_back(varies ? Seconds(0.0) : day.rows[i].time);
        variable.part.push_back(varies ? 1.0 : 0.0);
    }
    return variable;
}

Seconds time_of_sequences(const ExposureDay& day) {
    Seconds now(0.0);
    for (const ExposureRow& row : day.rows)
        now += row.sequence ? row.time : Seconds(0.0);
    return now;
}

VariableTimes all_sequences(const ExposureDay& day) {
    const Seconds now = time_of_sequences(day);
    VariableTimes variable;
    for (const ExposureRow& row : day.rows) {
        variable.fixed.push_back(row.sequence ? Seconds(0.0) : row.time);
        variable.part.push_back(row.sequence ? row.time / now : 0.0);
    }
    return variable;
}

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

Seconds rounded_down(Seconds time, Seconds most) {
    return time == most ? most : Seconds(std::floor(time.count() * 1000.0) / 1000.0);
}

}  // namespace earbudget
