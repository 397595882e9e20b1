#include "earbudget/decision/drawn_day.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>

#include "decision/drawn_limits.hpp"

namespace earbudget {

namespace {

std::vector<DrawnLimit> limits_of(const Person& person, const HearingDay& day) {
    std::vector<DrawnLimit> limits;
    for (const Criterion& criterion : person.policy.criteria)
        limits.push_back(DrawnLimit::of(criterion, day.days_per_week));
    return limits;
}

/// How many draws may lie beyond what 95 % hold.
Eigen::Index accepted_draws(Eigen::Index draws) {
    return static_cast<Eigen::Index>(
        std::floor(accepted_probability_over * static_cast<double>(draws)));
}

double share_of(Eigen::Index some, Eigen::Index all) {
    return static_cast<double>(some) / static_cast<double>(all);
}

/// The smallest value that at most 5 % of the draws exceed.
double not_exceeded(Eigen::ArrayXd values) {
    double* const place = values.data() + (values.size() - 1 - accepted_draws(values.size()));
    std::nth_element(values.data(), place, values.data() + values.size());
    return *place;
}

}  // namespace

struct DrawnDay::State {
    State(const Plan& plan, const Person& person, const HearingDay& heard,
          const std::vector<std::string>& wears, const Wearing& wearing,
          const DrawSettings& settings)
        : day(heard),
          errors(errors_of_day(plan, person, heard, wears, wearing)),
          draws(settings.seed, settings.draws),
          variables(errors.variables, draws),
          limits(errors, variables, limits_of(person, heard),
                 static_cast<Eigen::Index>(settings.draws), settings.threads) {}

    /// How long each segment lasts in all; its course too where `in_order`.
    [[nodiscard]] SegmentTimes times_of(std::span<const Seconds> times, unsigned sessions,
                                        bool in_order) const {
        SegmentTimes result{.seconds = std::vector<double>(errors.segments.size(), 0.0)};
        const auto add = [&](bool once_a_day, unsigned session) {
            for (std::size_t row = 0; row < day.rows.size(); ++row) {
                if (day.rows[row].once_a_day != once_a_day) continue;
                const auto segment = errors.segment_of(row, session);
                if (segment) result.seconds[*segment] += times[row].count();
                if (in_order) result.course.push_back({segment, times[row]});
            }
        };
        add(true, 0);
        for (unsigned session = 0; session < sessions; ++session)
            add(false, session);
        return result;
    }

    [[nodiscard]] std::vector<DrawnOutcome> outcomes(
        const DayChange& change, std::optional<std::size_t> only = std::nullopt) const {
        std::vector<Seconds> now;
        if (!change.times) {
            for (const HeardRow& row : day.rows)
                now.push_back(row.time);
        }
        const bool in_order = std::ranges::any_of(limits.limits(), [](const DrawnLimit& limit) {
            return limit.kind == DrawnLimit::Kind::Hour;
        });
        return limits.outcomes(
            times_of(change.times.value_or(now), change.sessions.value_or(day.sessions), in_order),
            change.added, only);
    }

    const HearingDay& day;
    DayErrors errors;
    NormalDraws draws;
    VariableDraws variables;
    DrawnLimits limits;
};

std::optional<Seconds> LongestTimes::confident() const {
    if (probability_over_at_0 > accepted_probability_over) return std::nullopt;
    Eigen::ArrayXd sorted = seconds;
    double* const place = sorted.data() + accepted_draws(sorted.size());
    std::nth_element(sorted.data(), place, sorted.data() + sorted.size());
    return Seconds(*place);
}

DrawnDay::DrawnDay(const Plan& plan, const Person& person, const HearingDay& day,
                   const std::vector<std::string>& wears, const Wearing& wearing,
                   const DrawSettings& settings)
    : state_(std::make_unique<const State>(plan, person, day, wears, wearing, settings)) {}

DrawnDay::~DrawnDay() = default;
DrawnDay::DrawnDay(DrawnDay&&) noexcept = default;

std::vector<DrawnResult> DrawnDay::judge(const DayChange& change) const {
    std::vector<DrawnResult> results;
    const auto& limits = state_->limits.limits();
    auto outcomes = state_->outcomes(change);
    for (std::size_t i = 0; i < limits.size(); ++i) {
        DrawnOutcome& outcome = outcomes[i];
        DrawnResult result{share_of(outcome.over().count(), outcome.part.size()), std::nullopt};
        const double part = not_exceeded(std::move(outcome.part));
        if (part > 0.0 || is_dose(limits[i].criterion.quantity)) {
            result.not_exceeded = limits[i].value_of(part);
        }
        results.push_back(result);
    }
    return results;
}

Eigen::ArrayXd DrawnDay::values(std::size_t criterion, const DayChange& change) const {
    const DrawnLimit& limit = state_->limits.limits().at(criterion);
    Eigen::ArrayXd part = std::move(state_->outcomes(change, criterion)[criterion].part);
    if (!is_dose(limit.criterion.quantity) && !(part > 0.0).all()) return {};
    for (double& value : part)
        value = limit.value_of(value);
    return part;
}

bool DrawnDay::is_sum(std::size_t criterion) const {
    return state_->limits.limits().at(criterion).kind == DrawnLimit::Kind::Sum;
}

LongestTimes DrawnDay::longest(std::size_t criterion, std::span<const Seconds> fixed,
                               std::span<const double> part, Seconds most) const {
    if (!is_sum(criterion)) throw std::logic_error("the criterion is no sum over the day");
    std::vector<Seconds> a_second;
    for (const double share : part)
        a_second.emplace_back(share);
    const DrawnOutcome at_0 = state_->outcomes({.times = fixed}, criterion)[criterion];
    const DrawnOutcome rise = state_->outcomes({.times = a_second}, criterion)[criterion];
    const auto over_at_0 = at_0.over();
    LongestTimes longest{
        .seconds =
            ((most_permitted - at_0.part) / rise.part.max(1e-300)).max(0.0).min(most.count()),
        .probability_over_at_0 = share_of(over_at_0.count(), over_at_0.size())};
    longest.seconds = (over_at_0 || rise.above_ceiling).select(0.0, longest.seconds);
    return longest;
}

LongestTimes DrawnDay::longest_of_row(std::size_t criterion, std::size_t row, Seconds most) const {
    std::vector<Seconds> fixed;
    for (const HeardRow& heard : state_->day.rows)
        fixed.push_back(heard.time);
    std::vector<double> part(fixed.size(), 0.0);
    fixed.at(row) = Seconds(0.0);
    part[row] = 1.0;
    return longest(criterion, fixed, part, most);
}

const DayErrors& DrawnDay::errors() const { return state_->errors; }

}  // namespace earbudget
