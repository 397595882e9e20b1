#pragma once

#include <algorithm>
#include <vector>

#include "earbudget/day/hearing_day.hpp"

namespace earbudget {

/// The rows of a day one after another.
struct Course {
    std::vector<std::size_t> rows;
    std::vector<Seconds> ends;

    [[nodiscard]] Seconds begin(std::size_t n) const { return n == 0 ? Seconds(0.0) : ends[n - 1]; }
};

inline Course course_of(const HearingDay& day) {
    Course course{day.course(), {}};
    Seconds now(0.0);
    for (const std::size_t row : course.rows)
        course.ends.push_back(now += day.rows[row].time);
    return course;
}

/// The sound energy from the day's beginning on, straight between the ends of rows.
class RunningEnergy {
  public:
    RunningEnergy(const Course& course, const std::vector<double>& power) : course_(course) {
        for (std::size_t n = 0; n < course.rows.size(); ++n) {
            powers_.push_back(power[course.rows[n]]);
            energies_.push_back((n == 0 ? 0.0 : energies_[n - 1]) +
                                powers_[n] * (course.ends[n] - course.begin(n)).count());
        }
    }

    [[nodiscard]] double until(Seconds at) const {
        if (at <= Seconds(0.0)) return 0.0;
        const auto end = std::ranges::lower_bound(course_.ends, at);
        if (end == course_.ends.end()) return energies_.back();
        const auto n = static_cast<std::size_t>(end - course_.ends.begin());
        return energies_[n] - powers_[n] * (*end - at).count();
    }

  private:
    const Course& course_;
    std::vector<double> powers_, energies_;
};

}  // namespace earbudget
