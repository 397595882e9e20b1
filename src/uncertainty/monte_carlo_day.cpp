#include "earbudget/uncertainty/monte_carlo_day.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "uncertainty/monte_carlo_state.hpp"

namespace earbudget {

namespace {

double least_above_0(const Eigen::ArrayXd& values) {
    double least = std::numeric_limits<double>::infinity();
    for (const double value : values)
        if (value > 0.0) least = std::min(least, value);
    return least;
}

// Of people that a printed value holds for, whatever probability of being over a plan accepts.
constexpr double left_out_of_95_percent = 0.05;

/// The value at one place of all in order.
double at_place(Eigen::ArrayXd& values, Eigen::Index place) {
    std::nth_element(values.data(), values.data() + place, values.data() + values.size());
    return values[place];
}

}  // namespace

MonteCarloDay::MonteCarloDay(const Plan& plan, const Person& person, const ExposureDay& day)
    : MonteCarloDay(plan, person, day, plan.draws) {}

MonteCarloDay::MonteCarloDay(const Plan& plan, const Person& person, const ExposureDay& day,
                             const DrawSettings& settings)
    : state_(std::make_unique<const State>(plan, person, day, settings)) {}

MonteCarloDay::~MonteCarloDay() = default;
MonteCarloDay::MonteCarloDay(MonteCarloDay&&) noexcept = default;

std::vector<MonteCarloResult> MonteCarloDay::judge(const DayChange& change) const {
    std::vector<MonteCarloResult> results;
    const auto& limits = state_->limits.limits();
    auto outcomes = state_->outcomes(change, state_->all_for_the_role());
    const bool doubt = std::ranges::any_of(outcomes, [this](const MonteCarloOutcome& outcome) {
        return outcome.used.size() > 0 &&
               !state_->is_beyond_doubt(share_of(outcome.over().count(), outcome.used.size()));
    });
    const State& by = doubt ? state_->by_many() : *state_;
    if (&by != state_.get()) outcomes = by.outcomes(change, state_->all_for_the_role());
    for (std::size_t i = 0; i < limits.size(); ++i) {
        MonteCarloOutcome& outcome = outcomes[i];
        MonteCarloResult& result = results.emplace_back();
        if (outcome.used.size() == 0) continue;
        result.draws = by.settings.draws;
        result.probability_over = share_of(outcome.over().count(), outcome.used.size());
        // The smallest value that at most 5 % of the draws exceed, and the largest that at most 5 %
        // are below.
        const Eigen::Index beyond = accepted_draws(outcome.used.size(), left_out_of_95_percent);
        const double low = at_place(outcome.used, beyond);
        const double high = at_place(outcome.used, outcome.used.size() - 1 - beyond);
        if (high > 0.0) {
            // Where the low end counts nothing, the least that counts stands for it.
            const double counts = low > 0.0 ? low : least_above_0(outcome.used);
            result.margin_range = {limits[i].margin_of(high), limits[i].margin_of(counts)};
        }
        if (high > 0.0 || is_dose(limits[i].criterion().quantity)) {
            result.not_exceeded = limits[i].value_of(high);
        }
    }
    return results;
}

Eigen::ArrayXd MonteCarloDay::values(std::size_t criterion, const DayChange& change) const {
    const ExposureLimit& limit = state_->limits.limits().at(criterion);
    Eigen::ArrayXd values = state_->outcome(criterion, change).used;
    if (!is_dose(limit.criterion().quantity) && !(values > 0.0).all()) return {};
    for (double& value : values)
        value = limit.value_of(value);
    return values;
}

bool MonteCarloDay::perhaps_over(const DayChange& change, Limits limits) const {
    return state_->is_over(change, state_->wanted_by(limits));
}

SureProbability MonteCarloDay::sure_probability(Limits limits) const {
    return state_->sure_probability({}, state_->wanted_by(limits));
}

bool MonteCarloDay::perhaps_over_one(std::size_t criterion) const {
    std::vector<bool> wanted(state_->limits.limits().size(), false);
    wanted.at(criterion) = true;
    return state_->is_over({}, wanted);
}

const DayErrors& MonteCarloDay::errors() const { return state_->errors; }

const DrawSettings& MonteCarloDay::settings() const { return state_->settings; }

bool perhaps_over(const Plan& plan, const Person& person, const ExposureDay& day, Limits limits) {
    return MonteCarloDay(plan, person, day).perhaps_over({}, limits);
}

}  // namespace earbudget
