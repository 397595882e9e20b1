#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "earbudget/decision/day_errors.hpp"
#include "earbudget/exposure/uncertainty.hpp"

namespace earbudget {

/// How many draws, and of which seed: the same settings give the same numbers on any number of
/// threads.
struct DrawSettings {
    std::size_t draws = 8192;
    std::uint64_t seed = 1;
    unsigned threads = 1;  ///< at most; worth it from some 100,000 draws
};

/// What is otherwise than in the day as it is.
struct DayChange {
    std::optional<std::span<const Seconds>> times = std::nullopt;  ///< of each row
    std::optional<unsigned> sessions = std::nullopt;
    LevelDifference added{0.0};  ///< reduction under the protector, on top
};

/// How one criterion comes out over all draws.
struct DrawnResult {
    double probability_over = 0.0;
    /// What 95 % of the draws do not exceed, in the criterion's unit; none without sound.
    std::optional<double> not_exceeded = std::nullopt;
};

/// The longest time of something with which a limit is kept, in each draw.
struct LongestTimes {
    Eigen::ArrayXd seconds;              ///< 0 where no time keeps it
    double probability_over_at_0 = 0.0;  ///< of being over whatever the time
    /// The longest time with a probability of being over of at most 5 %; none: not even 0 s.
    [[nodiscard]] std::optional<Seconds> confident() const;
};

/// A person's day drawn many times with all its errors (docs/uncertainty.md; ISO/IEC Guide 98-3,
/// supplement 1). Criteria are named by their index in Policy::criteria.
class DrawnDay {
  public:
    /// The day must be hear(plan, person, wears, wearing); plan, person and day must outlive this.
    DrawnDay(const Plan& plan, const Person& person, const HearingDay& day,
             const std::vector<std::string>& wears, const Wearing& wearing,
             const DrawSettings& settings = {});
    ~DrawnDay();
    DrawnDay(DrawnDay&&) noexcept;

    /// Every criterion of the person, in order.
    [[nodiscard]] std::vector<DrawnResult> judge(const DayChange& change = {}) const;

    /// The value of one criterion in each draw, in its unit, ceilings left out; −∞ never: a level
    /// without sound gives an empty array.
    [[nodiscard]] Eigen::ArrayXd values(std::size_t criterion, const DayChange& change = {}) const;

    /// How long one row may last up to `most`, all else as it is, by a dose or LEX,8h; throws
    /// std::logic_error for a criterion that is no sum over the day.
    [[nodiscard]] LongestTimes longest_of_row(std::size_t criterion, std::size_t row,
                                              Seconds most) const;

    /// The same of a time T when each row lasts fixed + part·T.
    [[nodiscard]] LongestTimes longest(std::size_t criterion, std::span<const Seconds> fixed,
                                       std::span<const double> part, Seconds most) const;

    /// Whether `longest` can answer for a criterion.
    [[nodiscard]] bool is_sum(std::size_t criterion) const;

    [[nodiscard]] const DayErrors& errors() const;

  private:
    struct State;
    std::unique_ptr<const State> state_;
};

}  // namespace earbudget
