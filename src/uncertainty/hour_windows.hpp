#pragma once

#include <optional>
#include <vector>

#include <Eigen/Core>

#include "earbudget/acoustics/units.hpp"

namespace earbudget {

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

}  // namespace earbudget
