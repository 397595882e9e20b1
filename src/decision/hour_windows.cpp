#include "decision/hour_windows.hpp"

#include <algorithm>
#include <cmath>
#include <set>

namespace earbudget {

namespace {

using Shares = std::vector<double>;

/// What each segment fills of a window that begins at `begin`.
Shares shares_from(double begin, double length, const std::vector<CoursePart>& course,
                   const std::vector<double>& ends, std::size_t segments) {
    Shares shares(segments, 0.0);
    const auto first = std::upper_bound(ends.begin(), ends.end(), begin) - ends.begin();
    for (auto i = static_cast<std::size_t>(first); i < course.size(); ++i) {
        const double from = std::max(begin, i == 0 ? 0.0 : ends[i - 1]);
        const double until = std::min(begin + length, ends[i]);
        if (from >= begin + length) break;
        if (course[i].segment) shares[*course[i].segment] += std::max(0.0, until - from) / length;
    }
    // So that windows alike are found alike.
    for (double& share : shares)
        share = std::nearbyint(share * 1e12) * 1e-12;
    return shares;
}

bool is_below(const Shares& a, const Shares& b) {
    return std::equal(a.begin(), a.end(), b.begin(), std::less_equal<>());
}

/// Leaves out windows that another one fills at least as much by every segment.
std::vector<Shares> without_lesser(const std::set<Shares>& windows) {
    std::vector<Shares> kept;
    for (const Shares& window : windows) {
        const auto covers = [&](const Shares& other) {
            return &other != &window && is_below(window, other);
        };
        if (windows.size() > 512 || std::none_of(windows.begin(), windows.end(), covers)) {
            kept.push_back(window);
        }
    }
    return kept;
}

}  // namespace

Eigen::MatrixXd windows_of(const std::vector<CoursePart>& course, std::size_t segments,
                           Seconds window) {
    std::vector<double> ends;
    for (const CoursePart& part : course)
        ends.push_back((ends.empty() ? 0.0 : ends.back()) + part.time.count());
    const double length = window.count();
    std::set<Shares> windows = {shares_from(0.0, length, course, ends, segments)};
    for (const double end : ends) {
        windows.insert(shares_from(end, length, course, ends, segments));
        windows.insert(shares_from(end - length, length, course, ends, segments));
    }
    const std::vector<Shares> kept = without_lesser(windows);
    Eigen::MatrixXd result(static_cast<Eigen::Index>(kept.size()),
                           static_cast<Eigen::Index>(segments));
    for (std::size_t i = 0; i < kept.size(); ++i) {
        result.row(static_cast<Eigen::Index>(i)) =
            Eigen::Map<const Eigen::RowVectorXd>(kept[i].data(), result.cols());
    }
    return result;
}

}  // namespace earbudget
