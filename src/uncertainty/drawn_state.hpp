#pragma once

#include <functional>
#include <memory>
#include <vector>

#include "earbudget/uncertainty/drawn_day.hpp"
#include "uncertainty/drawn_limits.hpp"

namespace earbudget {

/// How many of some draws may be over.
[[nodiscard]] Eigen::Index accepted_draws(Eigen::Index draws, double accepted);

[[nodiscard]] inline double share_of(Eigen::Index some, Eigen::Index all) {
    return static_cast<double>(some) / static_cast<double>(all);
}

/// A day by some number of draws and, once they are needed, the same day by fewer and by more.
/// Asked by one thread at a time.
struct DrawnDay::State {
    State(const Plan& of, const Person& whose, const HearingDay& heard,
          const DrawSettings& drawn_by);

    /// How long each segment lasts in all; its course too where `in_order`.
    [[nodiscard]] SegmentTimes times_of(std::span<const Seconds> times, unsigned sessions,
                                        bool in_order) const;

    [[nodiscard]] std::vector<DrawnOutcome> outcomes(const DayChange& change,
                                                     const std::vector<bool>& wanted,
                                                     bool only_over = false) const;
    [[nodiscard]] DrawnOutcome outcome(std::size_t criterion, const DayChange& change) const;
    /// The same of the day as it is, kept; of a criterion that is a sum.
    [[nodiscard]] const DrawnOutcome& outcome_now(std::size_t criterion) const;

    /// The highest probability of being over of the limits wanted.
    [[nodiscard]] double highest_probability(const DayChange& change,
                                             const std::vector<bool>& wanted) const;
    [[nodiscard]] SureProbability sure_probability(const DayChange& change,
                                                   const std::vector<bool>& wanted) const;
    [[nodiscard]] bool is_over(const DayChange& change, const std::vector<bool>& wanted) const;

    /// Whether few draws leave no doubt that all limits wanted are kept; not where there are none
    /// but those of the settings.
    [[nodiscard]] bool is_plainly_within(const DayChange& change,
                                         const std::vector<bool>& wanted) const;

    /// Whether fewer draws than those of times leave no doubt that one of them is not.
    [[nodiscard]] bool is_plainly_over(const DayChange& change,
                                       const std::vector<bool>& wanted) const;

    /// A share of the draws, by as few draws as leave no doubt on which side of the accepted
    /// probability it lies: few_draws, those of the settings, at last those of times.
    [[nodiscard]] SureProbability surely(const std::function<double(const State&)>& share) const;

    /// Whether a share of these draws leaves no doubt of that.
    [[nodiscard]] bool is_beyond_doubt(double share) const;

    /// This, or the day by more draws where there are to be more for times.
    [[nodiscard]] const State& by_many() const;

    /// Whether a limit on the highest hour can be over with more than the accepted probability.
    [[nodiscard]] bool hour_matters(std::size_t criterion) const;

    /// How much longer a day can become in each draw by one criterion that is a sum, when each row
    /// lasts fixed + part·T; `at_0` is the outcome for T = 0.
    [[nodiscard]] LongestTimes longest(std::size_t criterion, const DrawnOutcome& at_0,
                                       const std::vector<double>& part, Seconds most) const;

    [[nodiscard]] std::vector<bool> wanted_by(Limits which) const;
    /// Also those that decide nothing.
    [[nodiscard]] std::vector<bool> all_for_the_role() const;
    [[nodiscard]] Accumulation accumulation(std::size_t criterion) const {
        return limits.limits().at(criterion).accumulation();
    }
    [[nodiscard]] double accepted() const { return person.policy.accepted_probability; }

    const Plan& plan;
    const Person& person;
    const HearingDay& day;
    DrawSettings settings;
    mutable std::unique_ptr<const State> few, many;
    DayErrors errors;
    VariableDraws variables;
    DrawnLimits limits;
    mutable std::vector<DrawnOutcome> now;                ///< by criterion; empty: not known yet
    mutable std::vector<std::optional<bool>> loud_hours;  ///< hour_matters, by criterion

  private:
    [[nodiscard]] const State& by(std::unique_ptr<const State>& other, std::size_t draws) const;
};

}  // namespace earbudget
