#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "earbudget/day/criteria_of_person.hpp"
#include "earbudget/uncertainty/day_errors.hpp"

namespace earbudget {

inline constexpr Formula formula_of_monte_carlo_probability{
    "P = draws in which the exposure is above the limit, or a level above the ceiling / all draws",
    "ISO/IEC Guide 98-3, supplement 1 (memory); docs/uncertainty.md"};
inline constexpr Formula formula_of_probability_bound{
    "P ≤ A^(k−1)·Σ ti·ri·E[(rate/ri)^k] < 0.0005 for some k ≥ 1, A = Σ ti·ri the part of the limit "
    "that is used at the mean of every error; printed as 0",
    "Markov's inequality (memory); docs/uncertainty.md"};
inline constexpr Formula formula_of_not_exceeded{
    "the smallest value that at most 5 % of the draws exceed",
    "ISO/IEC Guide 98-3, supplement 1 (memory); docs/uncertainty.md"};

inline constexpr Formula formula_of_confident_least{
    "the least with which no exposure limit is exceeded in more than the accepted share of the "
    "draws",
    "ISO/IEC Guide 98-3, supplement 1 (memory); docs/uncertainty.md"};
inline constexpr Formula formula_of_confident{
    "the most with which no exposure limit is exceeded in more than the accepted share of the "
    "draws",
    "ISO/IEC Guide 98-3, supplement 1 (memory); docs/uncertainty.md"};

/// These draws decide where they leave no doubt on which side of the accepted probability a share
/// lies.
inline constexpr std::size_t few_draws = 1024;

/// How far a margin reaches with its uncertainty.
struct MarginRange {
    LevelDifference low;   ///< a smaller one has a probability of 5 %
    LevelDifference high;  ///< likewise a larger one; at least, where that counts nothing
};

/// How one criterion comes out over all draws of a day (MonteCarloDay).
struct MonteCarloResult {
    double probability_over = 0.0;
    /// What 95 % of the draws do not exceed, in the criterion's unit; none without sound.
    std::optional<double> not_exceeded = std::nullopt;
    /// From what 95 % of the draws do not exceed to what 95 % do; none where that is nothing.
    std::optional<MarginRange> margin_range = std::nullopt;
    std::size_t draws = 0;  ///< behind it
};

/// What is otherwise than in the day as it is; each by itself leaves the rest as it is.
struct DayChange {
    std::optional<std::span<const Seconds>> times = std::nullopt;  ///< of each row
    std::optional<unsigned> sessions = std::nullopt;
    LevelDifference added{0.0};  ///< reduction under what is worn or could be, on top
};

/// The longest time of something with which a limit is kept, in each draw; draws that change
/// nothing of what the accepted share keeps may be left out.
struct LongestTimes {
    Eigen::ArrayXd seconds;              ///< 0 where no time keeps it
    std::size_t draws = 0;               ///< with those left out, which keep more
    double probability_over_at_0 = 0.0;  ///< of being over whatever the time
    /// The longest time with a probability of being over of at most `accepted`; none: not even 0 s.
    [[nodiscard]] std::optional<Seconds> confident(double accepted) const;
};

/// A probability of being over, with the draws that it took to know on which side of the accepted
/// one it lies: few_draws, those of the settings, or those of times; none, and a value of 0, where a
/// bound says that it is below 0.0005.
struct SureProbability {
    double value;
    std::size_t draws;
};

/// A person's day drawn many times with all its errors (docs/uncertainty.md; ISO/IEC Guide 98-3,
/// supplement 1). Criteria are named by their index in Policy::criteria; those for other roles are
/// left out of all answers.
class MonteCarloDay {
  public:
    /// The day must be one of the person by `day_exposure` or `day_exposure_through`; plan, person and day
    /// must outlive this. Draws are those of the plan, unless told otherwise.
    MonteCarloDay(const Plan& plan, const Person& person, const ExposureDay& day);
    MonteCarloDay(const Plan& plan, const Person& person, const ExposureDay& day,
                  const DrawSettings& settings);
    /// Of a day whose errors are known, as of days joined (join_days); the plan is asked for its
    /// draws alone.
    MonteCarloDay(const Plan& plan, const Person& person, const ExposureDay& day,
                  std::shared_ptr<const DayErrors> errors);
    ~MonteCarloDay();
    MonteCarloDay(MonteCarloDay&&) noexcept;

    /// How every criterion comes out, in order; of those for other roles nothing. By the draws of
    /// times where others leave a doubt on which side of the accepted probability one lies, so that
    /// probabilities and times agree.
    [[nodiscard]] std::vector<MonteCarloResult> judge(const DayChange& change = {}) const;

    /// The value of one criterion in each draw, in its unit, ceilings left out; −∞ never: a level
    /// without sound gives an empty array.
    [[nodiscard]] Eigen::ArrayXd values(std::size_t criterion, const DayChange& change = {}) const;

    /// Whether the probability of being over any of the limits is above the accepted one; by few
    /// draws where those leave no doubt of it.
    [[nodiscard]] bool perhaps_over(const DayChange& change = {},
                                    Limits limits = Limits::All) const;

    /// The highest probability of being over of the limits, by as few draws as leave no doubt on
    /// which side of the accepted one it lies.
    [[nodiscard]] SureProbability sure_probability(Limits limits) const;

    /// The same of one criterion, whether or not it decides.
    [[nodiscard]] SureProbability sure_probability_of(std::size_t criterion) const;

    /// Decides the same of one limit.
    [[nodiscard]] bool perhaps_over_one(std::size_t criterion, const DayChange& change = {}) const;

    /// The longest time T up to `most` with which no limit is over with more than the accepted
    /// probability when each row lasts fixed + part·T; none: not even 0 s. With `only`, of that
    /// criterion alone.
    [[nodiscard]] std::optional<Seconds> confident_time(
        const VariableTimes& variable, Seconds most,
        std::optional<std::size_t> only = std::nullopt) const;

    /// By the draws of times: how long one row may last up to `most`, all else as it is, by a dose
    /// or LEX,8h; throws std::logic_error for a criterion that is no sum over the day.
    [[nodiscard]] LongestTimes longest_of_row(std::size_t criterion, std::size_t row,
                                              Seconds most) const;

    /// The same for a time T when each row lasts fixed + part·T.
    [[nodiscard]] LongestTimes longest(std::size_t criterion, const VariableTimes& variable,
                                       Seconds most) const;

    /// Whether `longest` can answer for a criterion.
    [[nodiscard]] bool is_sum(std::size_t criterion) const;

    /// Whether a limit on the highest hour can be over with more than the accepted probability, so
    /// that the order of rows matters.
    [[nodiscard]] bool order_matters() const;

    /// The most runs n up to `most` with which no limit is over with more than the accepted
    /// probability when each row lasts fixed + n·part, fixed being the day as it is.
    [[nodiscard]] unsigned confident_runs(const VariableTimes& runs, unsigned most) const;

    [[nodiscard]] const DayErrors& errors() const;
    [[nodiscard]] const DrawSettings& settings() const;

  private:
    struct State;
    /// Those wanted that are no sums and can be over with more than the accepted probability.
    [[nodiscard]] std::vector<bool> limits_beside_sums(std::vector<bool> wanted) const;
    std::unique_ptr<const State> state_;
};

/// Whether the probability of being over any of the limits is above the accepted one, as
/// MonteCarloDay::perhaps_over, by fewer draws where those leave no doubt of it.
[[nodiscard]] bool perhaps_over(const Plan& plan, const Person& person, const ExposureDay& day,
                                Limits limits = Limits::All);

}  // namespace earbudget
