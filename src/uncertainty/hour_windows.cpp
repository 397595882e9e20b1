#include <algorithm>
#include <cmath>
#include <functional>
#include <unordered_map>

#include "computing/work_costs.hpp"
#include "earbudget/computing/work_meter.hpp"
#include "uncertainty/monte_carlo_limits.hpp"

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

std::size_t hash_of(const Shares& shares) {
    std::size_t hash = 0;
    for (const double share : shares)
        hash = 31 * hash + std::hash<double>()(share);
    return hash;
}

bool is_below(const Shares& a, const Shares& b) {
    return std::equal(a.begin(), a.end(), b.begin(), std::less_equal<>());
}

// Among more windows than these it is not sought which another one covers: it would take longer
// than it saves.
constexpr std::size_t most_compared = 512;

/// Leaves out windows that another one fills at least as much by every segment.
std::vector<Shares> without_lesser(std::vector<Shares> windows) {
    if (windows.size() > most_compared) return windows;
    std::vector<Shares> kept;
    for (const Shares& window : windows) {
        const auto covers = [&](const Shares& other) {
            return &other != &window && is_below(window, other);
        };
        if (std::none_of(windows.begin(), windows.end(), covers)) kept.push_back(window);
    }
    return kept;
}

// Cells of windows by segments: 8 bytes each, three times while they are made.
constexpr double most_cells = 6e6;

void count_work(std::size_t course, std::size_t segments) {
    const double cells = static_cast<double>(2 * course + 1) * static_cast<double>(segments);
    if (cells > most_cells && WorkMeter::of_this_thread()) throw TooMuchWork();
    WorkMeter::spend(cost::cell_of_window * cells);
}

/// Each window once, in the order of their beginnings, in which few segments change at a time.
std::vector<Shares> windows_in_order(const std::vector<CoursePart>& course, std::size_t segments,
                                     double length) {
    std::vector<double> ends;
    count_work(course.size(), segments);
    for (const CoursePart& part : course)
        ends.push_back((ends.empty() ? 0.0 : ends.back()) + part.time.count());
    std::vector<double> begins = {0.0};
    for (const double end : ends) {
        begins.push_back(end);
        begins.push_back(end - length);
    }
    std::ranges::sort(begins);
    std::unordered_multimap<std::size_t, std::size_t> known;  // windows by their hash
    std::vector<Shares> windows;
    for (const double begin : begins) {
        Shares shares = shares_from(begin, length, course, ends, segments);
        const std::size_t hash = hash_of(shares);
        const auto [first, last] = known.equal_range(hash);
        if (std::any_of(first, last,
                        [&](const auto& one) { return windows[one.second] == shares; }))
            continue;
        known.emplace(hash, windows.size());
        windows.push_back(std::move(shares));
    }
    return windows;
}

// A change of one segment counts as so many segments of a window by multiplication of matrices,
// which are added faster (own choice; either way gives the same hour).
constexpr Eigen::Index cost_of_a_change = 4;

}  // namespace

HourWindows::HourWindows(const std::vector<CoursePart>& course, std::size_t segments,
                         Seconds window) {
    const auto kept = without_lesser(windows_in_order(course, segments, window.count()));
    shares_.resize(static_cast<Eigen::Index>(kept.size()), static_cast<Eigen::Index>(segments));
    // Eight windows at a time, since those of one segment lie side by side.
    for (std::size_t first = 0; first < kept.size(); first += 8) {
        for (std::size_t segment = 0; segment < segments; ++segment) {
            for (std::size_t i = first; i < std::min(first + 8, kept.size()); ++i)
                shares_(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(segment)) =
                    kept[i][segment];
        }
    }
    Eigen::Index all = 0;
    std::vector<double> before(segments, 0.0);
    for (const Shares& shares : kept) {
        auto& changes = changes_.emplace_back();
        for (std::size_t i = 0; i < segments; ++i) {
            if (shares[i] != before[i])
                changes.push_back({static_cast<Eigen::Index>(i), shares[i] - before[i]});
        }
        all += static_cast<Eigen::Index>(changes.size());
        before = shares;
    }
    all_changes_ = static_cast<std::size_t>(all);
    if (cost_of_a_change * all >= shares_.size()) changes_.clear();
}

double HourWindows::cost_of_a_draw() const {
    if (changes_.empty()) return cost::product_of_window * static_cast<double>(shares_.size());
    return cost::change_of_window * static_cast<double>(all_changes_ + changes_.size());
}

Eigen::ArrayXd HourWindows::loudest(const Eigen::MatrixXd& of_segments) const {
    if (changes_.empty()) {
        return (of_segments * shares_.transpose()).rowwise().maxCoeff().array();
    }
    // Rounding stays a part in 10^12 of the loudest window.
    Eigen::ArrayXd now = Eigen::ArrayXd::Zero(of_segments.rows());
    Eigen::ArrayXd loudest = now;
    for (const auto& changes : changes_) {
        for (const Change& change : changes)
            now += change.share * of_segments.col(change.segment).array();
        loudest = loudest.max(now);
    }
    return loudest;
}

}  // namespace earbudget
