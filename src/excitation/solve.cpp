#include "excitation/solve.hpp"

#include <algorithm>
#include <cmath>

#include <Eigen/LU>

#include "earbudget/excitation/estimate.hpp"

namespace earbudget {

namespace {

constexpr double lowest_Hz = 20.0;
constexpr double end_of_band = 0.45;   // of the rate: beyond, recorders fall off
constexpr double silent_drive = 1e-9;  // of the strongest line: rounding of the transform
constexpr double regular = 1e-5;       // more than rounding may make of axes in step

/// Least squares at one frequency for the axes that are driven there, each scaled to one.
struct AtLine {
    std::vector<std::size_t> axes;
    Eigen::MatrixXcd inverse;
    Eigen::VectorXcd answers;
    Eigen::VectorXd scales;
    double left = 0.0;  ///< of the pressure's energy
};

AtLine least_squares(const CrossSpectra& sums, std::size_t k, std::vector<std::size_t> axes) {
    const auto count = static_cast<Eigen::Index>(axes.size());
    const Eigen::Matrix3cd drives = sums.drives(k);
    const Eigen::Vector3cd pressures = sums.with_pressure(k);
    AtLine at{std::move(axes), {}, {}, Eigen::VectorXd(count), 0.0};
    Eigen::MatrixXcd coherences(count, count);
    Eigen::VectorXcd scaled(count);
    const auto axis = [&](Eigen::Index n) {
        return static_cast<Eigen::Index>(at.axes[static_cast<std::size_t>(n)]);
    };
    for (Eigen::Index n = 0; n < count; ++n)
        at.scales(n) = std::sqrt(drives(axis(n), axis(n)).real());
    for (Eigen::Index n = 0; n < count; ++n) {
        scaled(n) = pressures(axis(n)) / at.scales(n);
        for (Eigen::Index m = 0; m < count; ++m)
            coherences(n, m) = drives(axis(n), axis(m)) / (at.scales(n) * at.scales(m));
        coherences(n, n) += regular;
    }
    at.inverse = coherences.inverse();
    at.answers = at.inverse * scaled;
    at.left = std::max(sums.pressure(k) - scaled.dot(at.answers).real(), 0.0);
    return at;
}

struct Judged {
    bool in_step = false;
    std::optional<SolvedLine> line;
};

Judged judge(const AtLine& at, Eigen::Index n, double windows) {
    const double inverse = std::max(at.inverse(n, n).real(), 1.0);
    if (1.0 - 1.0 / inverse > greatest_drive_coherence) return {true, std::nullopt};
    const double own = std::norm(at.answers(n)) / inverse;
    if (own <= 0.0) return {};
    const double coherence = own / (own + at.left);
    const double free = windows - static_cast<double>(at.axes.size());
    const double relative_error = std::sqrt(at.left / free / own);
    if (coherence < least_coherence || relative_error > greatest_relative_error) return {};
    return {false, SolvedLine{at.answers(n) / at.scales(n), coherence}};
}

}  // namespace

Solved solve(const CrossSpectra& sums, double rate) {
    const double width = rate / static_cast<double>(sums.length());
    const auto first = static_cast<std::size_t>(lowest_Hz / width) + 1;
    const auto last =
        std::min(static_cast<std::size_t>(end_of_band * rate / width), sums.bins() - 1);
    std::array<double, gradient_axes> largest{};
    std::array<double, gradient_axes> in_step{};
    std::array<double, gradient_axes> all{};
    Solved solved;
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        solved[axis].lines.resize(last + 1);
        for (std::size_t k = first; k <= last; ++k)
            largest[axis] = std::max(largest[axis], sums.drive(axis, k));
        solved[axis].driven = largest[axis] > 0.0;
    }
    if (sums.windows() < fewest_windows) return solved;
    for (std::size_t k = first; k <= last; ++k) {
        std::vector<std::size_t> axes;
        for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
            const double drive = sums.drive(axis, k);
            if (drive > 0.0 && drive > silent_drive * largest[axis]) axes.push_back(axis);
        }
        if (axes.empty()) continue;
        const AtLine at = least_squares(sums, k, std::move(axes));
        for (std::size_t n = 0; n < at.axes.size(); ++n) {
            const std::size_t axis = at.axes[n];
            const Judged judged = judge(at, static_cast<Eigen::Index>(n), sums.windows());
            all[axis] += sums.drive(axis, k);
            if (judged.in_step) in_step[axis] += sums.drive(axis, k);
            solved[axis].lines[k] = judged.line;
        }
    }
    for (std::size_t axis = 0; axis < gradient_axes; ++axis)
        solved[axis].separable = in_step[axis] <= 0.5 * all[axis];
    return solved;
}

}  // namespace earbudget
