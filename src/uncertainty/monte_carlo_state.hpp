#pragma once

#include <functional>
#include <memory>
#include <vector>

#include "earbudget/uncertainty/monte_carlo_day.hpp"
#include "uncertainty/monte_carlo_limits.hpp"
#include "uncertainty/probability_bounds.hpp"

namespace earbudget {

/// How many of some draws may be over for a share that is accepted.
[[nodiscard]] Eigen::Index accepted_draws(Eigen::Index draws, double accepted);

// Of people that a printed value holds for, whatever probability of being over a plan accepts.
inline constexpr double left_out_of_95_percent = 0.05;

[[nodiscard]] inline double share_of(Eigen::Index some, Eigen::Index all) {
    return static_cast<double>(some) / static_cast<double>(all);
}

/// How a day is drawn (docs/uncertainty.md; ISO/IEC Guide 98-3, supplement 1).
///
/// Its errors are standard normal variables (DayErrors), its rows segments that name which of them
/// they have and by how much. VariableDraws draws the variables, MonteCarloLevels turns a segment
/// in a block of draws into rates, MonteCarloLimits adds those up for each limit; each says what it
/// keeps. Asked is nearly always on which side of the accepted probability a share of the draws
/// lies. A thousand draws tell that of most days beyond doubt, five standard deviations away; the
/// settings' draws of most others; 65,536 of the rest. So the same day stands here by up to three
/// numbers of draws, each a State of its own, made when it is first needed:
/// - `few` and `many`: the day by fewer and by more draws, with all that they keep;
/// - `now`: what each sum uses of its limit as the day is, from which the runs of every row start,
///   and from which a row that varies alone is taken off;
/// - `loud_hours`: whether a highest hour can decide anything, since looking for it is dear.
///
/// Memory: that of VariableDraws and MonteCarloLimits for each, 64 MB at most a State and little
/// more. Asked by one thread at a time.
struct MonteCarloDay::State {
    State(const Plan& of, const Person& whose, const ExposureDay& exposed,
          const DrawSettings& drawn_by, std::shared_ptr<const DayErrors> with);

    /// How long each segment lasts in all, and the course of the day where `in_order`.
    [[nodiscard]] SegmentTimes times_of(std::span<const Seconds> times, unsigned sessions,
                                        bool in_order) const;

    [[nodiscard]] std::vector<MonteCarloOutcome> outcomes(const DayChange& change,
                                                          const std::vector<bool>& wanted) const;
    [[nodiscard]] MonteCarloOutcome outcome(std::size_t criterion, const DayChange& change) const;

    /// The outcomes of limits as far as what 95 % of the draws do not exceed hangs on them, of some
    /// also as far as the share over does: draws that come later than that are left out.
    [[nodiscard]] std::vector<MonteCarloOutcome> loudest_outcomes(
        const DayChange& change, std::vector<bool> wanted,
        const std::vector<bool>& with_share) const;

    /// The highest probability of being over of the limits wanted.
    [[nodiscard]] double highest_probability(const DayChange& change,
                                             const std::vector<bool>& wanted) const;
    [[nodiscard]] SureProbability sure_probability(const DayChange& change,
                                                   const std::vector<bool>& wanted) const;
    [[nodiscard]] bool is_over(const DayChange& change, const std::vector<bool>& wanted) const;

    /// Whether few draws leave no doubt that all limits wanted are kept by the day with `more` time
    /// of its rows, from what the rows that grow add to the day as it is: sums are straight lines,
    /// an hour is held against the most that it can become. False where the settings ask for no
    /// more than those draws.
    [[nodiscard]] bool is_plainly_within(const std::vector<Seconds>& more,
                                         const std::vector<bool>& wanted) const;

    /// The highest probability of these limits, by draws alone.
    [[nodiscard]] SureProbability by_draws(const DayChange& change,
                                           const std::vector<bool>& wanted) const;

    /// The probability of being over any of these limits is at most the highest of this.
    [[nodiscard]] double most_probable(const DayChange& change,
                                       const std::vector<bool>& wanted) const;

    /// Whether a bound alone tells that all of them keep the accepted probability.
    [[nodiscard]] bool is_surely_within(const DayChange& change,
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
    /// lasts fixed + part·T; where `fixed` is empty, longer than the day as it is. Draws that do
    /// not matter for what the accepted share keeps may have `most`.
    [[nodiscard]] LongestTimes longest(std::size_t criterion, std::span<const Seconds> fixed,
                                       const std::vector<double>& part, Seconds most) const;

    [[nodiscard]] std::vector<bool> wanted_by(Limits which) const;
    /// Those for the person's role, also if they decide nothing.
    [[nodiscard]] std::vector<bool> all_for_the_role() const;
    [[nodiscard]] Accumulation accumulation(std::size_t criterion) const {
        return limits.limits().at(criterion).accumulation();
    }
    [[nodiscard]] Eigen::Index draws() const { return static_cast<Eigen::Index>(settings.draws); }
    [[nodiscard]] double accepted() const { return person.policy.accepted_probability; }

    const Plan& plan;
    const Person& person;
    const ExposureDay& day;
    DrawSettings settings;
    mutable std::unique_ptr<const State> few, many;
    std::shared_ptr<const DayErrors> shared;  // by all numbers of draws
    const DayErrors& errors;
    VariableDraws variables;
    MonteCarloLimits limits;
    ProbabilityBounds bounds;
    bool is_in_order = false;                    // draws by how loud the day is, the loudest first
    mutable std::vector<MonteCarloOutcome> now;  // by criterion; empty: not known yet
    mutable Eigen::Index now_known = 0;          // draws of it
    /// One limit on the highest hour, its loudest part in the hour's place.
    struct LoudestPart {
        MonteCarloLimits limits;
        Eigen::ArrayXd used;  ///< of the day as it is
    };
    mutable std::vector<std::unique_ptr<LoudestPart>> loudest_parts;  // by criterion
    mutable std::vector<std::optional<bool>> loud_hours;              // by criterion
    mutable std::vector<MonteCarloOutcome> day_as_it_is;  // by criterion; empty: not known yet

  private:
    /// A question to the limits: what lasts how long, and for which of them.
    struct Asked {
        SegmentTimes times;
        LevelDifference added;
        std::vector<bool> wanted;
        bool only_over = false;
    };
    /// The highest share of the draws that is over a limit: draws in order are asked for until the
    /// last quarter of them is over none.
    [[nodiscard]] double highest_share(const MonteCarloLimits& of, Asked question) const;
    [[nodiscard]] Asked asked(const DayChange& change, std::vector<bool> wanted,
                              bool only_over) const;
    void find(const Asked& question, DrawRange range,
              std::vector<MonteCarloOutcome>& outcomes) const;
    [[nodiscard]] DrawRange first_draws() const;
    [[nodiscard]] DrawRange draws_after(DrawRange range) const;
    [[nodiscard]] std::vector<bool> sums_of_now() const;
    void find_now(Eigen::Index end) const;
    /// What a question on sums lacks of the day as it is; none where it is on more than those,
    /// where anything lasts longer than in the day, or where much is lacking.
    [[nodiscard]] std::optional<SegmentTimes> taken_from_day(const Asked& question) const;
    /// Finds the answer by taking off what the day uses as it is, which agrees with summing what is
    /// left to 10⁻¹² of what the day uses, rounding alone.
    void find_without(const SegmentTimes& taken, const Asked& question, DrawRange range,
                      std::vector<MonteCarloOutcome>& outcomes) const;
    [[nodiscard]] double most_over_with(const std::vector<Seconds>& more,
                                        const std::vector<bool>& wanted) const;
    [[nodiscard]] Eigen::ArrayXd most_of_hour_with(std::size_t criterion,
                                                   const std::vector<Seconds>& more) const;
    [[nodiscard]] bool tells_of_rest(DrawRange range) const;
    [[nodiscard]] bool is_ended(const Eigen::ArrayXd& seconds, Eigen::Index over,
                                Eigen::Index over_at_last, DrawRange range) const;
    [[nodiscard]] const State& by(std::unique_ptr<const State>& other, std::size_t draws) const;
};

}  // namespace earbudget
