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

/// The value at one place of all in order; they are then parted there.
double at_place(std::span<double> values, Eigen::Index place) {
    const auto there = values.begin() + place;
    std::nth_element(values.begin(), there, values.end());
    return *there;
}

}  // namespace

MonteCarloDay::MonteCarloDay(const Plan& plan, const Person& person, const ExposureDay& day)
    : MonteCarloDay(plan, person, day, plan.draws) {}

MonteCarloDay::MonteCarloDay(const Plan& plan, const Person& person, const ExposureDay& day,
                             const DrawSettings& settings)
    : state_(std::make_unique<const State>(
          plan, person, day, settings,
          std::make_shared<const DayErrors>(errors_of_day(plan, person, day)))) {}

MonteCarloDay::MonteCarloDay(const Plan& plan, const Person& person, const ExposureDay& day,
                             std::shared_ptr<const DayErrors> errors)
    : state_(std::make_unique<const State>(plan, person, day, plan.draws, std::move(errors))) {}

MonteCarloDay::~MonteCarloDay() = default;
MonteCarloDay::MonteCarloDay(MonteCarloDay&&) noexcept = default;

namespace {

/// Where the smallest value stands that at most 5 % of all draws exceed; those that use most are
/// there.
Eigen::Index exceeded_by_few(const Eigen::ArrayXd& used, Eigen::Index draws) {
    return used.size() - 1 - accepted_draws(draws, left_out_of_95_percent);
}

/// By all draws.
MonteCarloResult result_of(MonteCarloOutcome outcome, const ExposureLimit& limit) {
    const Eigen::Index draws = outcome.used.size();
    MonteCarloResult result{.probability_over = share_of(outcome.over_in({0, draws}), draws),
                            .draws = static_cast<std::size_t>(draws)};
    const Eigen::Index place = exceeded_by_few(outcome.used, draws);
    const double high = at_place(all_of(outcome.used), place);
    if (high > 0.0) {
        // What at most 5 % of the draws are below; where that counts nothing, the least that does.
        const double low =
            at_place(all_of(outcome.used).first(static_cast<std::size_t>(place) + 1),
                     accepted_draws(draws, left_out_of_95_percent));
        const double counts = low > 0.0 ? low : least_above_0(outcome.used);
        result.margin_range = {limit.margin_of(high), limit.margin_of(counts)};
    }
    if (high > 0.0 || is_dose(limit.criterion().quantity))
        result.not_exceeded = limit.value_of(high);
    return result;
}

/// What 95 % of the draws do not exceed by more draws, of which those are there that use most; the
/// other end stays as it was.
void settle_most(Eigen::ArrayXd used, Eigen::Index draws, const ExposureLimit& limit,
                 MonteCarloResult& result) {
    const double high = at_place(all_of(used), exceeded_by_few(used, draws));
    result.not_exceeded.reset();
    if (high > 0.0 || is_dose(limit.criterion().quantity))
        result.not_exceeded = limit.value_of(high);
    if (!(high > 0.0)) {
        result.margin_range.reset();
    } else if (result.margin_range) {
        result.margin_range->low = limit.margin_of(high);
    } else {
        result.margin_range = {limit.margin_of(high), limit.margin_of(least_above_0(used))};
    }
}

// A larger share would ask for nearly all draws, and is far from any that is accepted.
constexpr double most_settled = 0.15;  // own choice

}  // namespace

std::vector<MonteCarloResult> MonteCarloDay::judge(const DayChange& change) const {
    std::vector<MonteCarloResult> results;
    const auto& limits = state_->limits.limits();
    auto outcomes = state_->outcomes(change, state_->all_for_the_role());
    const State& many = state_->by_many();
    std::vector<bool> doubted(limits.size(), false), settled(limits.size(), false);
    for (std::size_t i = 0; i < limits.size(); ++i) {
        MonteCarloResult& result = results.emplace_back();
        if (outcomes[i].used.size() == 0) continue;
        result = result_of(std::move(outcomes[i]), limits[i]);
        doubted[i] = !state_->is_beyond_doubt(result.probability_over);
        // In order the loudest are soon found; all of the draws would be many.
        settled[i] = doubted[i] || (many.is_in_order && result.not_exceeded);
        doubted[i] = doubted[i] || (settled[i] && result.probability_over < most_settled);
    }
    if (&many == state_.get() || std::ranges::find(settled, true) == settled.end()) return results;
    outcomes = many.loudest_outcomes(change, settled, doubted);
    for (std::size_t i = 0; i < limits.size(); ++i) {
        if (!settled[i]) continue;
        if (doubted[i]) {
            results[i].draws = static_cast<std::size_t>(many.draws());
            const DrawRange all{0, outcomes[i].used.size()};
            results[i].probability_over = share_of(outcomes[i].over_in(all), many.draws());
        }
        settle_most(std::move(outcomes[i].used), many.draws(), limits[i], results[i]);
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

namespace {

std::vector<bool> one_of(std::size_t criterion, std::size_t count) {
    std::vector<bool> wanted(count, false);
    wanted.at(criterion) = true;
    return wanted;
}

}  // namespace

SureProbability MonteCarloDay::sure_probability_of(std::size_t criterion) const {
    return state_->sure_probability({}, one_of(criterion, state_->limits.limits().size()));
}

bool MonteCarloDay::perhaps_over_one(std::size_t criterion, const DayChange& change) const {
    return state_->is_over(change, one_of(criterion, state_->limits.limits().size()));
}

const DayErrors& MonteCarloDay::errors() const { return state_->errors; }

const DrawSettings& MonteCarloDay::settings() const { return state_->settings; }

bool perhaps_over(const Plan& plan, const Person& person, const ExposureDay& day, Limits limits) {
    return MonteCarloDay(plan, person, day).perhaps_over({}, limits);
}

}  // namespace earbudget
