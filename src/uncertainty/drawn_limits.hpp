#pragma once

#include <memory>
#include <mutex>
#include <optional>
#include <vector>

#include "earbudget/exposure/limit.hpp"
#include "uncertainty/drawn_levels.hpp"
#include "uncertainty/hour_windows.hpp"

namespace earbudget {

/// How one criterion comes out: what is used of its limit in each draw, and where a level is above
/// the ceiling.
struct DrawnOutcome {
    Eigen::ArrayXd used;
    Eigen::Array<bool, Eigen::Dynamic, 1> above_ceiling;

    [[nodiscard]] Eigen::Array<bool, Eigen::Dynamic, 1> over() const {
        return above_ceiling || is_above_limit(used);
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
                std::vector<ExposureLimit> limits, Eigen::Index draws, unsigned threads);

    [[nodiscard]] const std::vector<ExposureLimit>& limits() const { return limits_; }

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
    std::vector<ExposureLimit> limits_;
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
