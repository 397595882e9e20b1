#include "earbudget/limits/day_budget.hpp"

#include <algorithm>

#include "computing/work_costs.hpp"
#include "earbudget/computing/work_meter.hpp"

namespace earbudget {

namespace {

std::vector<ExposurePart> parts_of(const ExposureRow& row, ExposureAt as) {
    std::vector<ExposurePart> parts;
    add_parts(row, as, parts);
    return parts;
}

}  // namespace

DayBudget::DayBudget(const Person& person, const ExposureDay& day, Limits limits)
    : sessions_(day.sessions), too_loud_(day.rows.size(), false) {
    for (std::size_t i = 0; i < day.rows.size(); ++i) {
        times_.push_back(day.rows[i].time);
        once_a_day_.push_back(day.rows[i].once_a_day);
        (day.rows[i].once_a_day ? course_once_ : course_session_).push_back(i);
    }
    for (const Criterion& criterion : person.policy.criteria) {
        if (counts_for(criterion, person, limits)) add(criterion, day);
    }
    too_loud_rows_ = static_cast<std::size_t>(std::ranges::count(too_loud_, true));
}

void DayBudget::add(const Criterion& criterion, const ExposureDay& day) {
    const ExposureLimit limit(criterion, criterion.days_counted(day.days_per_week));
    const ExposureAt as = exposure_at(criterion);
    if (limit.highest_permitted()) {
        for (std::size_t i = 0; i < day.rows.size(); ++i)
            too_loud_[i] = too_loud_[i] || limit.forbids(loudest(parts_of(day.rows[i], as)));
    }
    switch (limit.accumulation()) {
        case Accumulation::Loudest:
            return;  // all is said by what it forbids
        case Accumulation::HighestHour:
            hours_.push_back({limit, {}});
            for (const ExposureRow& row : day.rows)
                hours_.back().levels.push_back(parts_of(row, as).front().level);
            return;
        case Accumulation::Sum:
            sums_.push_back({limit, {}, 0.0});
            for (const ExposureRow& row : day.rows)
                sums_.back().a_second.push_back(limit.used(parts_of(row, as)) / row.time.count());
            sums_.back().total = used_of(sums_.back(), times_, sessions_);
    }
}

double DayBudget::used_of(const Sum& sum, std::span<const Seconds> times, unsigned sessions) const {
    WorkMeter::spend(cost::row_of_course * static_cast<double>(times.size()));
    double total = 0.0;
    for (std::size_t i = 0; i < times.size(); ++i) {
        const double exposed = once_a_day_[i] ? 1.0 : static_cast<double>(sessions);
        total += exposed * sum.a_second[i] * times[i].count();
    }
    return total;
}

bool DayBudget::has_too_loud_row(std::span<const Seconds> times) const {
    if (too_loud_rows_ == 0) return false;
    for (std::size_t i = 0; i < times.size(); ++i) {
        if (too_loud_[i] && times[i].count() > 0.0) return true;
    }
    return false;
}

bool DayBudget::is_hour_over(std::span<const Seconds> times, unsigned sessions) const {
    std::vector<ExposurePart> parts;
    for (const Hour& hour : hours_) {
        if (!can_exceed(hour)) continue;
        WorkMeter::spend(cost::judged_row * static_cast<double>(times.size() * sessions));
        parts.clear();
        for (const std::size_t i : course_once_)
            parts.push_back({hour.levels[i], times[i]});
        for (unsigned n = 0; n < sessions; ++n) {
            for (const std::size_t i : course_session_)
                parts.push_back({hour.levels[i], times[i]});
        }
        if (is_above_limit(hour.limit.used(parts))) return true;
    }
    return false;
}

bool DayBudget::can_exceed(const Hour& hour) const {
    return std::ranges::any_of(
        hour.levels, [&](const auto& level) { return is_above_limit(hour.limit.used_by(level)); });
}

bool DayBudget::hour_matters() const {
    return std::any_of(hours_.begin(), hours_.end(),
                       [this](const Hour& hour) { return can_exceed(hour); });
}

bool DayBudget::is_over(std::span<const Seconds> times, unsigned sessions) const {
    const bool sum_over = std::any_of(sums_.begin(), sums_.end(), [&](const Sum& sum) {
        return is_above_limit(used_of(sum, times, sessions));
    });
    return sum_over || has_too_loud_row(times) || is_hour_over(times, sessions);
}

namespace {

std::vector<Seconds> a_second_of(std::span<const double> part) {
    std::vector<Seconds> a_second;
    for (const double share : part)
        a_second.emplace_back(share);
    return a_second;
}

/// The longest time, no longer than `longest`, with which fixed + a_second·T keeps a limit; none
/// where not even 0 s does.
std::optional<Seconds> kept_by(double fixed, double a_second, Seconds longest) {
    if (is_above_limit(fixed)) return std::nullopt;
    const double left = left_of_limit(fixed);
    return a_second * longest.count() > left ? Seconds(left / a_second) : longest;
}

}  // namespace

std::optional<Seconds> DayBudget::longest(std::span<const Seconds> fixed,
                                          std::span<const double> part, Seconds most) const {
    if (has_too_loud_row(fixed)) return std::nullopt;
    const std::vector<Seconds> a_second = a_second_of(part);
    std::optional<Seconds> longest = most;
    for (std::size_t i = 0; i < part.size(); ++i)
        if (too_loud_[i] && part[i] > 0.0) longest = Seconds(0.0);
    for (const Sum& sum : sums_) {
        longest =
            kept_by(used_of(sum, fixed, sessions_), used_of(sum, a_second, sessions_), *longest);
        if (!longest) return std::nullopt;
    }
    return longest;
}

void add_lines(const std::vector<BudgetLine>& lines, const char* rate, StepOf& step) {
    step.columns({"criterion", "limit", "others", rate});
    for (const BudgetLine& line : lines)
        step.row(line.criterion->id, line.limit, line.fixed, line.rate);
}

std::vector<BudgetLine> DayBudget::lines(std::span<const Seconds> fixed,
                                         std::span<const double> part, unsigned sessions) const {
    const std::vector<Seconds> a_second = a_second_of(part);
    std::vector<BudgetLine> lines;
    for (const Sum& sum : sums_) {
        const double limit = sum.limit.as_sum();
        lines.push_back({&sum.limit.criterion(), limit, limit * used_of(sum, fixed, sessions),
                         limit * used_of(sum, a_second, sessions)});
    }
    return lines;
}

std::optional<Seconds> DayBudget::longest_of_row(std::size_t row, Seconds most) const {
    if (too_loud_rows_ > (too_loud_[row] ? 1U : 0U)) return std::nullopt;
    std::optional<Seconds> longest = too_loud_[row] ? Seconds(0.0) : most;
    const double exposed = once_a_day_[row] ? 1.0 : static_cast<double>(sessions_);
    for (const Sum& sum : sums_) {
        const double a_second = exposed * sum.a_second[row];
        longest = kept_by(sum.total - a_second * times_[row].count(), a_second, *longest);
        if (!longest) return std::nullopt;
    }
    return longest;
}

}  // namespace earbudget
