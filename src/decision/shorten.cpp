#include "earbudget/decision/shorten.hpp"

#include <cmath>
#include <functional>

#include "earbudget/decision/judge.hpp"
#include "earbudget/exposure/uncertainty.hpp"

namespace earbudget {

namespace {

constexpr Seconds longest_considered = Hours(24);

using Over = std::function<bool(Seconds)>;

// The longest time up to `most` that is not over, by halving; none when even 0 s is over.
// Rounded down to a thousandth of a second, so that what is printed still keeps the limit.
std::optional<Seconds> longest_within(const Over& over, Seconds most) {
    if (over(Seconds(0.0))) return std::nullopt;
    if (!over(most)) return most;
    double within = 0.0;
    double beyond = most.count();
    for (int step = 0; step < 60; ++step) {
        const double middle = 0.5 * (within + beyond);
        (over(Seconds(middle)) ? beyond : within) = middle;
    }
    return Seconds(std::floor(within * 1000.0) / 1000.0);
}

bool every_uncertainty_is_stated(const Person& person, const HearingDay& day) {
    for (const Criterion& criterion : person.policy.criteria) {
        if (criterion.is_for(person.role) && !has_stated_uncertainty(parts_for(criterion, day))) {
            return false;
        }
    }
    return true;
}

template <class DayOfTime>
LongestTime longest(const Person& person, const HearingDay& day, Seconds most,
                    DayOfTime day_lasting) {
    LongestTime result;
    result.best_estimate =
        longest_within([&](Seconds time) { return is_over_any(person, day_lasting(time)); }, most);
    if (!every_uncertainty_is_stated(person, day)) return result;
    const double deviations = confident_deviations();
    result.confident = longest_within(
        [&](Seconds time) {
            return is_over_any_when_raised(person, day_lasting(time), deviations);
        },
        most);
    return result;
}

}  // namespace

LongestTime longest_time_of_row(const Person& person, const HearingDay& day, std::size_t row) {
    return longest(person, day, longest_considered, [&day, row](Seconds time) {
        HearingDay changed = day;
        changed.rows[row].time = time;
        return changed;
    });
}

LongestTime longest_time_of_all_sequences(const Person& person, const HearingDay& day) {
    Seconds now{0.0};
    for (const HeardRow& row : day.rows) {
        if (row.sequence) now += row.time;
    }
    if (!(now.count() > 0.0)) return {};
    return longest(person, day, now, [&day, now](Seconds time) {
        HearingDay changed = day;
        for (HeardRow& row : changed.rows) {
            if (row.sequence) row.time *= time / now;
        }
        return changed;
    });
}

}  // namespace earbudget
