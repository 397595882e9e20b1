#pragma once

#include <memory>
#include <mutex>
#include <optional>
#include <vector>

#include <Eigen/Core>

#include "earbudget/acoustics/units.hpp"
#include "earbudget/exposure/limit.hpp"
#include "uncertainty/monte_carlo_levels.hpp"

namespace earbudget {

/// Some draws, whole blocks but for the last: from `first` to before `end`.
struct DrawRange {
    Eigen::Index first, end;
};

/// A stretch of a day; no segment: silence.
struct CoursePart {
    std::optional<std::size_t> segment;
    Seconds time;

    bool operator==(const CoursePart&) const = default;
};

/// The windows that can be the loudest of a day, whatever the levels: over one draw after another
/// the levels change and the course does not, so that windows are found once and then only
/// weighted.
///
/// The mean over a window is a straight line in its beginning between the moments at which a row
/// begins or ends at one of its edges, so that a loudest one begins or ends where a part does: two
/// windows a part at most, each the part of it that every segment fills. Sessions bring the same
/// windows again, which are left out, and so are those that another one fills at least as much by
/// every segment. Their means in all draws are one product of matrices; from one window to the next
/// few segments change, though, and where that is less work the changes alone are added up.
///
/// Memory: 8 bytes a window and segment, three times that while they are made.
class HourWindows {
  public:
    HourWindows() = default;
    HourWindows(const std::vector<CoursePart>& course, std::size_t segments, Seconds window);

    [[nodiscard]] bool empty() const { return shares_.size() == 0; }

    /// How many segments the day has.
    [[nodiscard]] Eigen::Index segments() const { return shares_.cols(); }

    /// The part of a window that a segment fills, by windows and segments.
    [[nodiscard]] const Eigen::MatrixXd& shares() const { return shares_; }

    /// The mean over the loudest window in each draw, of what the segments have there (draws by
    /// segments).
    [[nodiscard]] Eigen::ArrayXd loudest(const Eigen::MatrixXd& of_segments) const;

    /// What the loudest window of one draw costs, in nanoseconds (computing/work_costs.hpp).
    [[nodiscard]] double cost_of_a_draw() const;

  private:
    struct Change {
        Eigen::Index segment;
        double share;
    };

    Eigen::MatrixXd shares_;
    /// From each window to the next, where that is less work than every window anew; else empty.
    std::vector<std::vector<Change>> changes_;
    std::size_t all_changes_ = 0;
};

/// How one criterion comes out: what is used of its limit in each draw, and where a level is above
/// the ceiling.
struct MonteCarloOutcome {
    Eigen::ArrayXd used;
    Eigen::Array<bool, Eigen::Dynamic, 1> above_ceiling;

    [[nodiscard]] Eigen::Array<bool, Eigen::Dynamic, 1> over() const {
        return above_ceiling || is_above_limit(used);
    }

    /// In how many of some draws.
    [[nodiscard]] Eigen::Index over_in(DrawRange range) const {
        const Eigen::Index size = range.end - range.first;
        return (above_ceiling.segment(range.first, size) ||
                is_above_limit(used.segment(range.first, size)))
            .count();
    }
};

/// The time of each segment in a day, and its course where an hour is looked for.
struct SegmentTimes {
    std::vector<double> seconds;
    std::vector<CoursePart> course = {};
};

/// Works out what a day uses of each limit, in each draw.
///
/// Draws are taken in blocks of 1024, so that the handful of arrays that a segment needs stay in
/// the processor's innermost cache; threads take the next block as they come free, and what comes
/// out does not hang on who had which. In a block each segment's rate (MonteCarloLevels) is asked
/// for once a limit and added to what is used: times the segment's seconds for a sum, by the
/// highest for the loudest part; for the highest hour it is put aside until all segments are there,
/// and the loudest window is sought then (HourWindows).
///
/// The same day is asked about many times, with other times of its rows: for the longest time, for
/// runs, for sessions. Three caches serve that:
/// - `kept_`: the rate of each limit and segment in all draws. Times multiply it and do not change
///   it, so that another question is a sum of products. Begun with the second question, since most
///   days are asked one; not where a reduction is added, which changes it; nor where it would take
///   more than most_kept numbers.
/// - `levels_`: the MonteCarloLevels of each block, whose factors another question finds again.
/// Only
///   with one thread, where draws are kept, and for 64 blocks at most.
/// - `hours_` of `course_`: the windows of an hour follow from the course alone, and are dear.
///
/// Memory: 9 bytes a draw for each limit that is asked about and what is kept, 32 MB at most.
/// Questions are asked by one thread at a time.
class MonteCarloLimits {
  public:
    MonteCarloLimits(const DayErrors& errors, const VariableDraws& variables,
                     std::vector<ExposureLimit> limits, Eigen::Index draws, unsigned threads);

    [[nodiscard]] const std::vector<ExposureLimit>& limits() const { return limits_; }

    /// The outcomes of those limits that are wanted; the others are empty. Where only being over is
    /// asked for, an hour may count as its loudest part while that is within.
    [[nodiscard]] std::vector<MonteCarloOutcome> outcomes(const SegmentTimes& times,
                                                          LevelDifference added,
                                                          const std::vector<bool>& wanted,
                                                          bool only_over = false) const;

    /// The draws `range` of those outcomes, behind those of the ranges before.
    void find(const SegmentTimes& times, LevelDifference added, const std::vector<bool>& wanted,
              bool only_over, DrawRange range, std::vector<MonteCarloOutcome>& outcomes) const;

    /// The same day by one limit on the highest hour, of which the loudest part stands for the
    /// hour: where that does not exceed it no hour can.
    [[nodiscard]] MonteCarloLimits of_loudest_part(std::size_t limit) const;

  private:
    struct Work;
    /// The rate of one segment for one limit in all draws.
    struct Kept {
        Eigen::Index known = 0;  ///< draws from the first
        Eigen::ArrayXd rate = {};
        Eigen::Array<bool, Eigen::Dynamic, 1> above_ceiling = {};
    };
    static constexpr Eigen::Index most_kept = Eigen::Index{1} << 22;

    [[nodiscard]] double cost_of_rate(const std::vector<bool>& wanted, std::size_t exposed) const;
    void count_work(const SegmentTimes& times, const std::vector<bool>& wanted, bool keeps,
                    std::size_t fresh, Eigen::Index draws) const;
    [[nodiscard]] const HourWindows& windows_of(const std::vector<CoursePart>& course) const;
    void choose_levels(Eigen::Index first, Eigen::Index size, Work& work) const;
    [[nodiscard]] Kept& kept(std::size_t limit, std::size_t segment) const {
        return kept_[limit * errors_.segments.size() + segment];
    }
    [[nodiscard]] std::vector<Kept*> make_room(const SegmentTimes& times,
                                               const std::vector<bool>& wanted,
                                               Eigen::Index end) const;

    void work_on(Eigen::Index first, Eigen::Index size, Work& work,
                 std::vector<MonteCarloOutcome>& outcomes) const;
    void add(std::size_t segment, Eigen::Index first, Eigen::Index size, Work& work,
             std::vector<MonteCarloOutcome>& outcomes) const;
    void add_rate(std::size_t limit, std::size_t segment, Eigen::Index first,
                  const Eigen::Ref<const Eigen::ArrayXd>& rate, Work& work,
                  MonteCarloOutcome& outcome) const;

    const DayErrors& errors_;
    const VariableDraws& variables_;
    std::vector<ExposureLimit> limits_;
    Eigen::Index draws_;
    unsigned threads_;
    double factors_anew_ = 1.0;  // part of the segments whose sound none of the last ones shares
    mutable std::vector<std::unique_ptr<MonteCarloLevels>> levels_;  // by block; empty: not kept
    mutable unsigned asked_ = 0;                                     // questions so far
    mutable std::mutex making_hours_;
    mutable std::vector<CoursePart> course_;
    mutable HourWindows hours_;
    mutable std::vector<Kept> kept_;  // by limit and segment; empty: not kept
};

}  // namespace earbudget
