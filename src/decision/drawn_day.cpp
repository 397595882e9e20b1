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

/// How many draws may lie beyond what the others hold.
Eigen::Index accepted_draws(Eigen::Index draws, double accepted) {
    return static_cast<Eigen::Index>(
        std::floor(accepted * static_cast<double>(draws) + arithmetic_slack));
}

double share_of(Eigen::Index some, Eigen::Index all) {
    return static_cast<double>(some) / static_cast<double>(all);
}

double least_above_0(const Eigen::ArrayXd& values) {
    double least = std::numeric_limits<double>::infinity();
    for (const double value : values)
        if (value > 0.0) least = std::min(least, value);
    return least;
}

// Of people that a printed value holds for, whatever probability of being over a plan accepts.
constexpr double left_out_of_95_percent = 0.05;

// Few draws leave no doubt where their share lies this many of its standard deviations away.
constexpr double without_doubt = 5.0;

double doubt_of_few(double accepted) {
    return without_doubt * std::sqrt(accepted * (1.0 - accepted) / static_cast<double>(few_draws));
}

/// The value at one place of all in order.
double at_place(Eigen::ArrayXd& values, Eigen::Index place) {
    std::nth_element(values.data(), values.data() + place, values.data() + values.size());
    return values[place];
}

}  // namespace

struct DrawnDay::State {
    State(const Plan& of, const Person& whose, const HearingDay& heard,
          const DrawSettings& drawn_by)
        : plan(of),
          person(whose),
          day(heard),
          settings(drawn_by),
          errors(errors_of_day(plan, person, heard)),
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

    [[nodiscard]] std::vector<DrawnOutcome> outcomes(const DayChange& change,
                                                     const std::vector<bool>& wanted,
                                                     bool only_over = false) const {
        std::vector<Seconds> now;
        if (!change.times) {
            for (const HeardRow& row : day.rows)
                now.push_back(row.time);
        }
        bool in_order = false;
        for (std::size_t i = 0; i < wanted.size(); ++i)
            in_order = in_order || (wanted[i] && kind(i) == DrawnLimit::Kind::Hour);
        return limits.outcomes(
            times_of(change.times.value_or(now), change.sessions.value_or(day.sessions), in_order),
            change.added, wanted, only_over);
    }

    [[nodiscard]] DrawnOutcome outcome(std::size_t criterion, const DayChange& change) const {
        std::vector<bool> wanted(limits.limits().size(), false);
        wanted.at(criterion) = true;
        return std::move(outcomes(change, wanted)[criterion]);
    }

    /// The highest probability of being over of the limits wanted.
    [[nodiscard]] double highest_probability(const DayChange& change,
                                             const std::vector<bool>& wanted) const {
        double highest = 0.0;
        for (const DrawnOutcome& outcome : outcomes(change, wanted, true)) {
            if (outcome.part.size() == 0) continue;
            highest = std::max(highest, share_of(outcome.over().count(), outcome.part.size()));
        }
        return highest;
    }

    /// By few draws where those leave no doubt of it.
    [[nodiscard]] bool is_over(const DayChange& change, const std::vector<bool>& wanted) const {
        return is_above(sure_probability(change, wanted).value, accepted());
    }

    /// The highest probability of being over, by few draws where those leave no doubt on which side
    /// of the accepted one it lies.
    [[nodiscard]] SureProbability sure_probability(const DayChange& change,
                                                   const std::vector<bool>& wanted) const {
        if (settings.draws > few_draws) {
            if (!few) {
                DrawSettings settings_of_few = settings;
                settings_of_few.draws = few_draws;
                few = std::make_unique<const State>(plan, person, day, settings_of_few);
            }
            const double by_few = few->highest_probability(change, wanted);
            if (std::abs(by_few - accepted()) > doubt_of_few(accepted())) {
                return {by_few, few_draws};
            }
        }
        return {highest_probability(change, wanted), settings.draws};
    }

    [[nodiscard]] std::vector<bool> wanted_by(Limits which) const {
        std::vector<bool> wanted;
        for (const Criterion& criterion : person.policy.criteria)
            wanted.push_back(counts_for(criterion, person, which));
        return wanted;
    }

    /// Also those that decide nothing.
    [[nodiscard]] std::vector<bool> all_for_the_role() const {
        std::vector<bool> wanted;
        for (const Criterion& criterion : person.policy.criteria)
            wanted.push_back(criterion.is_for(person.role));
        return wanted;
    }

    [[nodiscard]] DrawnLimit::Kind kind(std::size_t criterion) const {
        return limits.limits().at(criterion).kind;
    }
    [[nodiscard]] double accepted() const { return person.policy.accepted_probability; }

    const Plan& plan;
    const Person& person;
    const HearingDay& day;
    DrawSettings settings;
    mutable std::unique_ptr<const State> few;  ///< the same day by few draws, once it is needed
    DayErrors errors;
    NormalDraws draws;
    VariableDraws variables;
    DrawnLimits limits;
};

std::optional<Seconds> LongestTimes::confident(double accepted) const {
    if (is_above(probability_over_at_0, accepted)) return std::nullopt;
    Eigen::ArrayXd sorted = seconds;
    double* const place = sorted.data() + accepted_draws(sorted.size(), accepted);
    std::nth_element(sorted.data(), place, sorted.data() + sorted.size());
    return Seconds(*place);
}

DrawnDay::DrawnDay(const Plan& plan, const Person& person, const HearingDay& day)
    : DrawnDay(plan, person, day, plan.draws) {}

DrawnDay::DrawnDay(const Plan& plan, const Person& person, const HearingDay& day,
                   const DrawSettings& settings)
    : state_(std::make_unique<const State>(plan, person, day, settings)) {}

DrawnDay::~DrawnDay() = default;
DrawnDay::DrawnDay(DrawnDay&&) noexcept = default;

std::vector<DrawnResult> DrawnDay::judge(const DayChange& change) const {
    std::vector<DrawnResult> results;
    const auto& limits = state_->limits.limits();
    auto outcomes = state_->outcomes(change, state_->all_for_the_role());
    for (std::size_t i = 0; i < limits.size(); ++i) {
        DrawnOutcome& outcome = outcomes[i];
        DrawnResult& result = results.emplace_back();
        if (outcome.part.size() == 0) continue;
        result.probability_over = share_of(outcome.over().count(), outcome.part.size());
        // The smallest value that at most 5 % of the draws exceed, and the largest that at most 5 %
        // are below.
        const Eigen::Index beyond = accepted_draws(outcome.part.size(), left_out_of_95_percent);
        const double low = at_place(outcome.part, beyond);
        const double part = at_place(outcome.part, outcome.part.size() - 1 - beyond);
        if (part > 0.0) {
            // Where the low end counts nothing, the least that counts stands for it.
            const double counts = low > 0.0 ? low : least_above_0(outcome.part);
            result.margin_range = {limits[i].margin_of(part), limits[i].margin_of(counts)};
        }
        if (part > 0.0 || is_dose(limits[i].criterion.quantity)) {
            result.not_exceeded = limits[i].value_of(part);
        }
    }
    return results;
}

Eigen::ArrayXd DrawnDay::values(std::size_t criterion, const DayChange& change) const {
    const DrawnLimit& limit = state_->limits.limits().at(criterion);
    Eigen::ArrayXd part = state_->outcome(criterion, change).part;
    if (!is_dose(limit.criterion.quantity) && !(part > 0.0).all()) return {};
    for (double& value : part)
        value = limit.value_of(value);
    return part;
}

bool DrawnDay::perhaps_over(const DayChange& change, Limits limits) const {
    return state_->is_over(change, state_->wanted_by(limits));
}

SureProbability DrawnDay::sure_probability(Limits limits) const {
    return state_->sure_probability({}, state_->wanted_by(limits));
}

bool DrawnDay::perhaps_over_one(std::size_t criterion) const {
    std::vector<bool> wanted(state_->limits.limits().size(), false);
    wanted.at(criterion) = true;
    return state_->is_over({}, wanted);
}

bool DrawnDay::is_sum(std::size_t criterion) const {
    return state_->kind(criterion) == DrawnLimit::Kind::Sum;
}

LongestTimes DrawnDay::longest(std::size_t criterion, const VariableTimes& variable,
                               Seconds most) const {
    if (!is_sum(criterion)) throw std::logic_error("the criterion is no sum over the day");
    std::vector<Seconds> a_second;
    for (const double share : variable.part)
        a_second.emplace_back(share);
    const DrawnOutcome at_0 = state_->outcome(criterion, {.times = variable.fixed});
    const DrawnOutcome rise = state_->outcome(criterion, {.times = a_second});
    const auto over_at_0 = at_0.over();
    LongestTimes longest{
        .seconds =
            ((most_permitted - at_0.part) / rise.part.max(1e-300)).max(0.0).min(most.count()),
        .probability_over_at_0 = share_of(over_at_0.count(), over_at_0.size())};
    longest.seconds = (over_at_0 || rise.above_ceiling).select(0.0, longest.seconds);
    return longest;
}

LongestTimes DrawnDay::longest_of_row(std::size_t criterion, std::size_t row, Seconds most) const {
    return longest(criterion, one_row(state_->day, row), most);
}

std::optional<Seconds> DrawnDay::confident_time(const VariableTimes& variable, Seconds most) const {
    const std::vector<bool> wanted = state_->wanted_by(Limits::All);
    Seconds longest_by_sums = most;
    std::vector<bool> others(wanted.size(), false);
    for (std::size_t i = 0; i < wanted.size(); ++i) {
        if (!wanted[i]) continue;
        if (is_sum(i)) {
            const auto time = longest(i, variable, longest_by_sums).confident(state_->accepted());
            if (!time) return std::nullopt;
            longest_by_sums = *time;
        } else {
            others[i] = state_->kind(i) == DrawnLimit::Kind::Loudest ||
                        state_->limits.hour_matters(i, state_->accepted());
        }
    }
    const bool any = std::ranges::find(others, true) != others.end();
    if (!any) return rounded_down(longest_by_sums, most);
    const auto time = longest_within(
        [&](Seconds asked) { return state_->is_over({.times = variable.lasting(asked)}, others); },
        times_of_whole_hours(variable, state_->day.course(), longest_by_sums), longest_by_sums);
    return time ? std::optional(rounded_down(*time, most)) : std::nullopt;
}

const DayErrors& DrawnDay::errors() const { return state_->errors; }

const DrawSettings& DrawnDay::settings() const { return state_->settings; }

bool perhaps_over(const Plan& plan, const Person& person, const HearingDay& day, Limits limits) {
    return DrawnDay(plan, person, day).perhaps_over({}, limits);
}

}  // namespace earbudget
