#pragma once

#include <optional>
#include <vector>

#include <Eigen/Core>

#include "earbudget/acoustics/duration.hpp"

namespace earbudget {

/// A stretch of a day; no segment: silence.
struct CoursePart {
    std::optional<std::size_t> segment;
    Seconds time;

    bool operator==(const CoursePart&) const = default;
};

/// The windows that can be the loudest of a day, whatever the levels. A loudest window begins or
/// ends where a part does.
class HourWindows {
  public:
    HourWindows() = default;
    HourWindows(const std::vector<CoursePart>& course, std::size_t segments, Seconds window);

    [[nodiscard]] bool empty() const { return shares_.size() == 0; }

    /// How many segments a day has.
    [[nodiscard]] Eigen::Index segments() const { return shares_.cols(); }

    /// By windows and segments: the part of the window that the segment fills.
    [[nodiscard]] const Eigen::MatrixXd& shares() const { return shares_; }

    /// The mean over the loudest window in each draw, of what segments have: draws by segments.
    [[nodiscard]] Eigen::ArrayXd loudest(const Eigen::MatrixXd& of_segments) const;

    /// Nanoseconds for the loudest window of one draw (computing/work_costs.hpp).
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
