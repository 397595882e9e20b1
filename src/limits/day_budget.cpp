#include "earbudget/limits/day_budget.hpp"

#include <algorithm>

#include "computing/work_costs.hpp"
#include "earbudget/computing/work_meter.hpp"

namespace earbudget {

namespace {

std::vector<ExposurePart> parts_of(const HeardRow& row, HeardAs as) {
    std::vector<ExposurePart> parts;
    add_parts(row, as, parts);
    return parts;
}

/// What a row adds to the sum that a criterion limits, heard once.
double amount_of(const Criterion& criterion, const std::vector<ExposurePart>& parts) {
    if (is_dose(criterion.quantity)) return dose_percent(parts, criterion.rule);
    double sum = 0.0;
    for (const ExposurePart& part : parts) {
        if (part.level) sum += relative_energy(*part.level) * part.time.count();
    }
    return sum;
}

double limit_of_sum(const Criterion& criterion) {
    if (is_dose(criterion.quantity)) return criterion.limit();
    return relative_energy(criterion.rule.level) * reference_day.count();
}

/// Above this no time is permitted; none where the criterion has no such level.
std::optional<LevelA> never_above(const Criterion& criterion) {
    const auto& ceiling = criterion.rule.ceiling;
    if (criterion.quantity != ExposureQuantity::LAeq_loudest) return ceiling;
    return ceiling ? std::min(*ceiling, criterion.rule.level) : criterion.rule.level;
}

}  // namespace

DayBudget::DayBudget(const Person& person, const HearingDay& day, Limits limits)
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

void DayBudget::add(const Criterion& criterion, const HearingDay& day) {
    const HeardAs as = heard_as(criterion);
    if (const auto most = never_above(criterion)) {
        for (std::size_t i = 0; i < day.rows.size(); ++i) {
            const auto highest = loudest(parts_of(day.rows[i], as));
            if (highest && *highest > *most + level_slack) too_loud_[i] = true;
        }
    }
    if (criterion.quantity == ExposureQuantity::LAeq_loudest) return;
    if (criterion.quantity != ExposureQuantity::LAeq_1h) {
        add_sum(criterion, day);
        return;
    }
    Hour hour{.window = Hours(1), .limit = criterion.rule.level, .levels = {}};
    for (const HeardRow& row : day.rows)
        hour.levels.push_back(parts_of(row, as).front().level);
    hours_.push_back(std::move(hour));
}

void DayBudget::add_sum(const Criterion& criterion, const HearingDay& day) {
    const double days = criterion.days_counted(day.days_per_week);
    Sum sum{.criterion = &criterion,
            .limit = limit_of_sum(criterion) * (1.0 + arithmetic_slack),
            .a_second = {},
            .total = 0.0};
    for (const HeardRow& row : day.rows) {
        const double amount = amount_of(criterion, parts_of(row, heard_as(criterion)));
        sum.a_second.push_back(days * amount / row.time.count());
    }
    sum.total = sum_of(sum, times_, sessions_);
    sums_.push_back(std::move(sum));
}

double DayBudget::sum_of(const Sum& sum, std::span<const Seconds> times, unsigned sessions) const {
    WorkMeter::spend(cost::row_of_course * static_cast<double>(times.size()));
    double total = 0.0;
    for (std::size_t i = 0; i < times.size(); ++i) {
        const double heard = once_a_day_[i] ? 1.0 : static_cast<double>(sessions);
        total += heard * sum.a_second[i] * times[i].count();
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
        const auto highest = highest_average(parts, hour.window);
        if (highest && highest->dB() > hour.limit.dB() * (1.0 + arithmetic_slack)) return true;
    }
    return false;
}

bool DayBudget::can_exceed(const Hour& hour) const {
    return std::any_of(hour.levels.begin(), hour.levels.end(),
                       [&](const auto& level) { return level && *level > hour.limit; });
}

bool DayBudget::hour_matters() const {
    return std::any_of(hours_.begin(), hours_.end(),
                       [this](const Hour& hour) { return can_exceed(hour); });
}

bool DayBudget::is_over(std::span<const Seconds> times, unsigned sessions) const {
    const bool sum_over = std::any_of(sums_.begin(), sums_.end(), [&](const Sum& sum) {
        return sum_of(sum, times, sessions) > sum.limit;
    });
    return sum_over || has_too_loud_row(times) || is_hour_over(times, sessions);
}

std::optional<Seconds> DayBudget::longest(std::span<const Seconds> fixed,
                                          std::span<const double> part, Seconds most) const {
    if (has_too_loud_row(fixed)) return std::nullopt;
    std::vector<Seconds> lasting(fixed.begin(), fixed.end());
    for (std::size_t i = 0; i < lasting.size(); ++i)
        lasting[i] += part[i] * most;
    Seconds longest = has_too_loud_row(lasting) ? Seconds(0.0) : most;
    for (const Sum& sum : sums_) {
        const double at_zero = sum_of(sum, fixed, sessions_);
        if (at_zero > sum.limit) return std::nullopt;
        const double at_most = sum_of(sum, lasting, sessions_);
        if (at_most <= sum.limit) continue;
        longest = std::min(longest, (sum.limit - at_zero) / (at_most - at_zero) * most);
    }
    return longest;
}

std::vector<BudgetLine> DayBudget::lines(std::span<const Seconds> fixed,
                                         std::span<const double> part) const {
    std::vector<Seconds> one_second;
    for (const double share : part)
        one_second.emplace_back(share);
    std::vector<BudgetLine> lines;
    for (const Sum& sum : sums_) {
        // As published, without the slack for the arithmetic.
        lines.push_back({sum.criterion, sum.limit / (1.0 + arithmetic_slack),
                         sum_of(sum, fixed, sessions_), sum_of(sum, one_second, sessions_)});
    }
    return lines;
}

std::optional<Seconds> DayBudget::longest_of_row(std::size_t row, Seconds most) const {
    if (too_loud_rows_ > (too_loud_[row] ? 1U : 0U)) return std::nullopt;
    Seconds longest = too_loud_[row] ? Seconds(0.0) : most;
    const double heard = once_a_day_[row] ? 1.0 : static_cast<double>(sessions_);
    for (const Sum& sum : sums_) {
        const double a_second = heard * sum.a_second[row];
        const double others = sum.total - a_second * times_[row].count();
        if (others > sum.limit) return std::nullopt;
        if (a_second * longest.count() > sum.limit - others) {
            longest = Seconds((sum.limit - others) / a_second);
        }
    }
    return longest;
}

}  // namespace earbudget
