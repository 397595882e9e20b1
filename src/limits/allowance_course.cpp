#include <algorithm>
#include <cmath>

#include "earbudget/limits/assessment.hpp"
#include "earbudget/limits/day_course.hpp"
#include "earbudget/limits/judge.hpp"

namespace earbudget {

namespace {

constexpr double all_of_it = 100.0;

/// The rows of a day one after another.
struct Course {
    std::vector<std::size_t> rows;
    std::vector<Seconds> ends;

    [[nodiscard]] Seconds begin(std::size_t n) const { return n == 0 ? Seconds(0.0) : ends[n - 1]; }
};

Course course_of(const ExposureDay& day) {
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

/// The parts of one row heard once, as its criterion looks at it.
std::vector<ExposurePart> parts_of(const ExposureLimit& limit, const ExposureRow& row) {
    std::vector<ExposurePart> parts;
    add_parts(row, exposure_at(limit.criterion()), parts);
    return parts;
}

/// What each row of the day uses by itself, percent; for the highest hour what an hour of it would.
std::vector<double> percent_of_rows(const ExposureLimit& limit, const ExposureDay& day) {
    const bool of_hour = limit.accumulation() == Accumulation::HighestHour;
    const ExposureLimit by_row = of_hour ? limit.of_loudest_part() : limit;
    std::vector<double> percent;
    for (const ExposureRow& row : day.rows)
        percent.push_back(all_of_it * by_row.used(parts_of(limit, row)));
    return percent;
}

// Doses and energies add up, straight in time within a row.
void add_up(const Course& course, const std::vector<double>& percent, AllowanceCourse& allowance) {
    double used = 0.0;
    for (std::size_t n = 0; n < course.rows.size(); ++n) {
        used += percent[course.rows[n]];
        allowance.points.push_back({course.ends[n], used});
        allowance.after_row.push_back(used);
    }
}

// A louder row counts from its beginning, however short.
void climb(const Course& course, const std::vector<double>& percent, AllowanceCourse& allowance) {
    double used = 0.0;
    for (std::size_t n = 0; n < course.rows.size(); ++n) {
        const double row = percent[course.rows[n]];
        if (row > used) allowance.points.push_back({course.begin(n), used = row});
        allowance.points.push_back({course.ends[n], used});
        allowance.after_row.push_back(used);
    }
}

// The average over the hour before is a straight line between the moments at which a row ends or
// an end is an hour ago; what counts is the highest so far.
void slide(const Course& course, const std::vector<double>& percent, AllowanceCourse& allowance) {
    constexpr Seconds hour = averaging_hour;
    const RunningEnergy energy(course, percent);
    std::vector<Seconds> moments = course.ends;
    moments.push_back(hour);
    for (const Seconds end : course.ends)
        moments.push_back(end + hour);
    std::ranges::sort(moments);
    double used = 0.0, before = 0.0;
    Seconds from(0.0);
    std::size_t row = 0;
    for (const Seconds at : moments) {
        if (at > course.ends.back()) break;
        const double now = (energy.until(at) - energy.until(at - hour)) / hour.count();
        if (now > used && before < used && at > from) {
            const double part = (used - before) / (now - before);
            allowance.points.push_back({from + part * (at - from), used});
        }
        used = std::max(used, now);
        allowance.points.push_back({at, used});
        for (; row < course.ends.size() && course.ends[row] <= at; ++row)
            allowance.after_row.push_back(used);
        before = now;
        from = at;
    }
}

/// Where straight lines first pass the whole allowance.
std::optional<Seconds> passing(const std::vector<AllowancePoint>& points) {
    for (std::size_t n = 1; n < points.size(); ++n) {
        const auto& [from, before] = points[n - 1];
        const auto& [to, after] = points[n];
        if (!(after > all_of_it)) continue;
        const double part = std::clamp((all_of_it - before) / (after - before), 0.0, 1.0);
        return from + part * (to - from);
    }
    return std::nullopt;
}

/// The beginning of the first row with a level that is not permitted for any time.
std::optional<Seconds> above_ceiling(const ExposureLimit& limit, const ExposureDay& day,
                                     const Course& course) {
    if (!limit.criterion().rule.ceiling) return std::nullopt;
    for (std::size_t n = 0; n < course.rows.size(); ++n) {
        if (limit.is_above_ceiling(loudest(parts_of(limit, day.rows[course.rows[n]]))))
            return course.begin(n);
    }
    return std::nullopt;
}

std::optional<Seconds> reached(const ExposureLimit& limit, const ExposureDay& day,
                               const Course& course, const AllowanceCourse& allowance) {
    // What equals the limit but for arithmetic is within, as everywhere.
    if (!is_over(limit.criterion(), parts_for(limit.criterion(), day))) return std::nullopt;
    const auto too_loud = above_ceiling(limit, day, course);
    const auto used_up = passing(allowance.points);
    if (!too_loud || !used_up) return too_loud ? too_loud : used_up;
    return std::min(*too_loud, *used_up);
}

AllowanceCourse course_of_limit(const Criterion& criterion, const ExposureDay& day,
                                const Course& course) {
    AllowanceCourse allowance{.criterion = &criterion, .points = {{Seconds(0.0), 0.0}}};
    const ExposureLimit limit(criterion, criterion.days_counted(day.days_per_week));
    const std::vector<double> percent = percent_of_rows(limit, day);
    switch (limit.accumulation()) {
        case Accumulation::Sum:
            add_up(course, percent, allowance);
            break;
        case Accumulation::HighestHour:
            slide(course, percent, allowance);
            break;
        case Accumulation::Loudest:
            climb(course, percent, allowance);
            break;
    }
    allowance.reached = reached(limit, day, course, allowance);
    return allowance;
}

}  // namespace

const AllowanceCourse* DayCourse::of(const Criterion& criterion) const {
    const auto found = std::ranges::find_if(allowances, [&](const AllowanceCourse& allowance) {
        return allowance.criterion->id == criterion.id;
    });
    return found == allowances.end() ? nullptr : &*found;
}

const AllowanceCourse* DayCourse::reached_in(std::size_t row) const {
    const Seconds begin = row == 0 ? Seconds(0.0) : ends[row - 1];
    const bool last = row + 1 == ends.size();
    const AllowanceCourse* first = nullptr;
    for (const AllowanceCourse& allowance : allowances) {
        const auto& at = allowance.reached;
        if (!at || *at < begin || (*at >= ends[row] && !last)) continue;
        if (!first || *at < *first->reached) first = &allowance;
    }
    return first;
}

ExposureDay day_of(const PersonResult& result) {
    ExposureDay day{.rows = {},
                    .sessions = result.person->sessions_per_day,
                    .days_per_week = result.person->days_per_week.value_or(1.0),
                    .method = result.method,
                    .derating = result.derating,
                    .wears = result.person->wears,
                    .wearing = result.person->wearing};
    for (const SegmentResult& segment : result.segments)
        day.rows.push_back(segment.row);
    return day;
}

DayCourse allowance_course(const PersonResult& result) {
    const ExposureDay day = day_of(result);
    const Course course = course_of(day);
    DayCourse all{.rows = course.rows, .ends = course.ends, .allowances = {}};
    if (course.rows.empty()) return all;
    for (const Criterion& criterion : result.person->policy.criteria) {
        if (decides(criterion, *result.person))
            all.allowances.push_back(course_of_limit(criterion, day, course));
    }
    return all;
}

}  // namespace earbudget
