#include "earbudget/decision/shorten.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <vector>

#include "earbudget/decision/judge.hpp"
#include "earbudget/exposure/uncertainty.hpp"

namespace earbudget {

namespace {

constexpr Seconds longest_day = Hours(24);
constexpr Seconds hour = Hours(1);

// A day whose rows last a fixed time and a part of one time that varies.
struct VariableDay {
    const HearingDay& day;
    std::vector<Seconds> fixed;  // of each row
    std::vector<double> part;    // of the time that varies

    [[nodiscard]] HearingDay lasting(Seconds time) const {
        HearingDay result = day;
        for (std::size_t i = 0; i < result.rows.size(); ++i) {
            result.rows[i].time = fixed[i] + part[i] * time;
        }
        return result;
    }
};

// Whether a day can be over a limit on its highest hour at all: no average exceeds its loudest
// part.
bool can_exceed_in_an_hour(const Person& person, const HearingDay& day, double deviations) {
    std::vector<ExposurePart> parts = day.at_ear();
    const auto outside = day.outside();
    parts.insert(parts.end(), outside.begin(), outside.end());
    for (const Criterion& criterion : person.policy.criteria) {
        if (criterion.quantity != ExposureQuantity::LAeq_1h) continue;
        for (const ExposurePart& part : parts) {
            const auto uncertainty = part.uncertainty.value_or(LevelDifference(0.0));
            if (part.level && *part.level + deviations * uncertainty > criterion.rule.level) {
                return true;
            }
        }
    }
    return false;
}

// The times at which an hour fits exactly between two row ends of the day.
std::vector<Seconds> times_of_whole_hours(const VariableDay& variable, Seconds most) {
    const std::size_t rows = variable.fixed.size();
    std::vector<Seconds> times;
    for (std::size_t first = 0; first < rows; ++first) {
        Seconds fixed(0.0);
        double part = 0.0;
        for (std::size_t i = first; i < rows * variable.day.sessions && fixed <= hour; ++i) {
            fixed += variable.fixed[i % rows];
            part += variable.part[i % rows];
            if (!(part > 0.0)) continue;
            const Seconds time = (hour - fixed) / part;
            if (time > Seconds(0.0) && time < most) times.push_back(time);
        }
    }
    std::sort(times.begin(), times.end());
    times.erase(std::unique(times.begin(), times.end()), times.end());
    return times;
}

// The longest time that is not over, with every shorter one; none when 0 s is over. Rounded down to
// a thousandth of a second, so that what is printed still keeps the limit.
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
    return Seconds(std::floor(within.count() * 1000.0) / 1000.0);
}

bool every_uncertainty_is_stated(const Person& person, const HearingDay& day) {
    const auto& criteria = person.policy.criteria;
    return std::all_of(criteria.begin(), criteria.end(), [&](const Criterion& criterion) {
        return !criterion.is_for(person.role) ||
               has_stated_uncertainty(criterion, parts_for(criterion, day));
    });
}

std::optional<Seconds> longest_when_raised(const Person& person, const VariableDay& variable,
                                           Seconds most, double deviations) {
    std::vector<Seconds> looked_at;
    if (can_exceed_in_an_hour(person, variable.day, deviations)) {
        looked_at = times_of_whole_hours(variable, most);
    }
    return longest_within(
        [&](Seconds time) {
            return is_over_any_when_raised(person, variable.lasting(time), deviations);
        },
        std::move(looked_at), most);
}

LongestTime longest(const Person& person, const VariableDay& variable, Seconds most) {
    LongestTime result;
    result.best_estimate = longest_when_raised(person, variable, most, 0.0);
    // What matters can change with the time, most of all towards its ends.
    if (!every_uncertainty_is_stated(person, variable.lasting(Seconds(0.0)))) return result;
    const auto confident = longest_when_raised(person, variable, most, confident_deviations());
    if (confident && every_uncertainty_is_stated(person, variable.lasting(*confident))) {
        result.confident = confident;
    }
    return result;
}

}  // namespace

LongestTime longest_time_of_row(const Person& person, const HearingDay& day, std::size_t row) {
    VariableDay variable{day, {}, std::vector<double>(day.rows.size(), 0.0)};
    Seconds others(0.0);
    for (std::size_t i = 0; i < day.rows.size(); ++i) {
        variable.fixed.push_back(i == row ? Seconds(0.0) : day.rows[i].time);
        others += variable.fixed.back();
    }
    variable.part[row] = 1.0;
    const Seconds room = longest_day / static_cast<double>(day.sessions) - others;
    return longest(person, variable, std::max(room, day.rows[row].time));
}

LongestTime longest_time_of_all_sequences(const Person& person, const HearingDay& day) {
    VariableDay variable{day, {}, {}};
    Seconds now(0.0);
    for (const HeardRow& row : day.rows) {
        if (row.sequence) now += row.time;
    }
    if (!(now.count() > 0.0)) return {};
    for (const HeardRow& row : day.rows) {
        variable.fixed.push_back(row.sequence ? Seconds(0.0) : row.time);
        variable.part.push_back(row.sequence ? row.time / now : 0.0);
    }
    return longest(person, variable, now);
}

}  // namespace earbudget
