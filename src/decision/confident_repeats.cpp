#include "earbudget/decision/confident_repeats.hpp"

#include <algorithm>

#include "decision/day_of.hpp"
#include "earbudget/decision/drawn_day.hpp"

namespace earbudget {

std::vector<std::optional<unsigned>> confident_repeats_left(const Plan& plan,
                                                            const PersonResult& result,
                                                            const std::vector<std::size_t>& rows,
                                                            unsigned most) {
    const HearingDay day = day_of(result);
    const DrawnDay drawn(plan, *result.person, day);
    std::vector<std::optional<unsigned>> left(result.segments.size());
    for (const std::size_t row : rows) {
        const auto& best_estimate = result.segments[row].repeats_left;
        if (!best_estimate) continue;
        const auto fit = [&](unsigned runs) {
            std::vector<Seconds> times;
            for (const HeardRow& other : day.rows) {
                const bool grows =
                    &other == &day.rows[row] || other.is_same_plan_row(day.rows[row]);
                times.push_back(other.time +
                                (grows ? static_cast<double>(runs) : 0.0) * day.rows[row].run());
            }
            return !drawn.perhaps_over({.times = times});
        };
        const unsigned highest = std::min(most, *best_estimate);
        unsigned fits = 0;
        unsigned beyond = highest + 1;
        if (highest > 0 && fit(highest)) fits = highest;
        while (fits < highest && beyond - fits > 1) {
            const unsigned middle = (fits + beyond) / 2;
            (fit(middle) ? fits : beyond) = middle;
        }
        left[row] = fits;
    }
    return left;
}

}  // namespace earbudget
