#pragma once

#include <memory>
#include <mutex>
#include <optional>
#include <vector>

#include "earbudget/exposure/criterion.hpp"
#include "uncertainty/drawn_levels.hpp"
#include "uncertainty/hour_windows.hpp"

namespace earbudget {

/// A criterion as a sum of exp(growth·level) over time, or the highest of those, as a part of what
/// it permits.
struct DrawnLimit {
    enum class Kind { Sum, Hour, Loudest };

    Kind kind;
    bool at_ear;
    double growth;  ///< of what a second adds, for each decibel
    double factor;  ///< of DrawnLevels::rate, for 1 to be the limit (of a sum: a second)
    std::optional<LevelA> threshold, ceiling;
    Criterion criterion;

    [[nodiscard]] static DrawnLimit of(const Criterion& criterion, double days_per_week);

    /// A part of the limit in the criterion's unit; the part must be above 0 for a level.
    [[nodiscard]] double value_of(double part) const;

    /// How far a part above 0 is below the limit.
    [[nodiscard]] LevelDifference margin_of(double part) const;
};

/// Parts of a limit above this are over; arithmetic may miss by less.
inline constexpr double most_permitted = 1.0 + arithmetic_slack;

/// How one criterion comes out: a part of its limit in each draw, and where a level is above the
/// ceiling.
struct DrawnOutcome {
    Eigen::ArrayXd part;
    Eigen::Array<bool, Eigen::Dynamic, 1> above_ceiling;

    [[nodiscard]] Eigen::Array<bool, Eigen::Dynamic, 1> over() const {
        return above_ceiling || part > most_permitted;
    }
};

/// The time of each segment in a day, and its course where an hour is looked for.
struct SegmentTimes {
    std::vector<double> seconds;
    std::vector<CoursePart> course = {};
};

/// Works out criteria over blocks of draws.
class DrawnLimits {
  public:
    DrawnLimits(const DayErrors& errors, const VariableDraws& variables,
                std::vector<DrawnLimit> limits, Eigen::Index draws, unsigned threads);

    [[nodiscard]] const std::vector<DrawnLimit>& limits() const { return limits_; }

    /// Of those limits that are wanted; the others are empty.
    /// Where only being over is asked for, an hour may count as its loudest part while that is
    /// within.
    [[nodiscard]] std::vector<DrawnOutcome> outcomes(const SegmentTimes& times,
                                                     LevelDifference added,
                                                     const std::vector<bool>& wanted,
                                                     bool only_over = false) const;

    /// The share of the draws in which a limit on the highest hour can be exceeded at all: in which
    /// its loudest part exceeds it.
    [[nodiscard]] double share_of_loud_hours(std::size_t limit) const;

  private:
    struct Work;
    /// What one segment gives for one limit with nothing on top: the same for all times.
    struct Kept {
        bool known = false;
        Eigen::ArrayXd rate = {};
        Eigen::Array<bool, Eigen::Dynamic, 1> above_ceiling = {};
    };
    static constexpr Eigen::Index most_kept = Eigen::Index{1} << 22;  // 32 MB and a little

    [[nodiscard]] double cost_of_exchange_rates(const std::vector<bool>& wanted) const;
    void count_work(const SegmentTimes& times, const std::vector<bool>& wanted, bool keeps,
                    std::size_t fresh) const;
    [[nodiscard]] const HourWindows& windows_of(const std::vector<CoursePart>& course) const;
    void choose_levels(Eigen::Index first, Eigen::Index size, Work& work) const;
    [[nodiscard]] Kept& kept(std::size_t limit, std::size_t segment) const {
        return kept_[limit * errors_.segments.size() + segment];
    }
    [[nodiscard]] std::vector<Kept*> make_room(const SegmentTimes& times,
                                               const std::vector<bool>& wanted) const;

    void work_on(Eigen::Index first, Eigen::Index size, Work& work,
                 std::vector<DrawnOutcome>& outcomes) const;
    void add(std::size_t segment, Eigen::Index first, Eigen::Index size, Work& work,
             std::vector<DrawnOutcome>& outcomes) const;
    void add_rate(std::size_t limit, std::size_t segment, Eigen::Index first,
                  const Eigen::Ref<const Eigen::ArrayXd>& rate, Work& work,
                  DrawnOutcome& outcome) const;

    const DayErrors& errors_;
    const VariableDraws& variables_;
    std::vector<DrawnLimit> limits_;
    Eigen::Index draws_;
    unsigned threads_;
    mutable std::vector<std::unique_ptr<DrawnLevels>> levels_;  // of each block; empty: many
    mutable unsigned asked_ = 0;
    mutable std::mutex making_hours_;
    mutable std::vector<CoursePart> course_;  // of hours_, kept for another question
    mutable HourWindows hours_;
    mutable std::vector<Kept> kept_;  // empty where it would be too much; not for several threads
};

}  // namespace earbudget
