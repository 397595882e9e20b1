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
};

/// The windows that can be the loudest of a day, whatever the levels: each row holds the part of
/// the window that each segment fills. A loudest window begins or ends where a part does.
[[nodiscard]] Eigen::MatrixXd windows_of(const std::vector<CoursePart>& course,
                                         std::size_t segments, Seconds window);

}  // namespace earbudget
