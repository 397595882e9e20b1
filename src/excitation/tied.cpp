#include "excitation/tied.hpp"

#include <algorithm>

#include "earbudget/excitation/drive.hpp"

namespace earbudget {

namespace {

using Complex = std::complex<double>;

/// How well answers of one axis must agree to tell how recordings lie to each other; own choice.
constexpr double least_agreement = 0.8;
/// In so many lines at least; own choice.
constexpr std::size_t fewest_common_lines = 20;

/// The answers of all axes one after the other, on one scale of frequency: a shift is the same for
/// each.
Shift shift_of(const Solved& first, const Solved& second, std::size_t bins) {
    Shift best;
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        std::vector<Complex> one(bins + 1, 0.0);
        std::vector<Complex> other(bins + 1, 0.0);
        std::size_t common = 0;
        const std::size_t lines = std::min(first[axis].lines.size(), second[axis].lines.size());
        for (std::size_t k = 1; k < lines; ++k) {
            if (!first[axis].lines[k] || !second[axis].lines[k]) continue;
            one[k] = first[axis].lines[k]->answer;
            other[k] = second[axis].lines[k]->answer;
            ++common;
        }
        if (common < fewest_common_lines) continue;
        const Shift shift = shift_between(one, other);
        if (shift.agreement > best.agreement) best = shift;
    }
    return best;
}

}  // namespace

Tied tied_together(const std::vector<Recorded>& all, const std::vector<std::size_t>& which,
                   bool common_start) {
    Tied tied{std::vector<unsigned>(all.size(), 0), {}};
    std::vector<Solved> solved;  // of each group so far
    for (const std::size_t n : which) {
        const Recorded& each = all[n];
        std::size_t group = 0;
        Shift shift;
        for (; group < tied.sums.size(); ++group) {
            if (common_start) break;
            shift = shift_of(solved[group], each.solved, each.sums.bins());
            if (shift.agreement >= least_agreement) break;
        }
        tied.group[n] = static_cast<unsigned>(group);
        if (group == tied.sums.size()) {
            tied.sums.push_back(each.sums);
            solved.push_back(each.solved);
            continue;
        }
        CrossSpectra moved = each.sums;
        if (!common_start) moved.delay_pressure(-shift.samples);
        tied.sums[group] += moved;
        solved[group] = solve(tied.sums[group], each.rate);
    }
    return tied;
}

namespace {

std::size_t known_lines(const SolvedAxis& axis) {
    return static_cast<std::size_t>(
        std::ranges::count_if(axis.lines, [](const auto& line) { return line.has_value(); }));
}

AxisResponse axis_response(const SolvedAxis& solved, std::size_t group, std::size_t length) {
    AxisResponse axis;
    axis.driven = solved.driven;
    axis.separable = solved.separable;
    axis.time_base = static_cast<unsigned>(group);
    std::size_t last = solved.lines.size();
    while (last > 0 && !solved.lines[last - 1])
        --last;
    axis.lines.resize(last);
    for (std::size_t k = 0; k < last; ++k) {
        if (!solved.lines[k]) continue;
        const double gain = drive_of_gradient(static_cast<double>(k) / static_cast<double>(length));
        axis.lines[k] =
            ResponseLine{solved.lines[k]->answer * Complex(0.0, gain), solved.lines[k]->coherence};
    }
    return axis;
}

}  // namespace

ScannerResponse response_of(const std::vector<Recorded>& all, const Tied& tied) {
    ScannerResponse response;
    const auto length = static_cast<double>(all[0].sums.length());
    response.bin_width = Frequency(all[0].rate / length);
    std::vector<Solved> solved;
    for (const CrossSpectra& sums : tied.sums)
        solved.push_back(solve(sums, all[0].rate));
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        // Where recordings could not be tied, that axis' answer is taken from those that tell most.
        std::optional<std::size_t> best;
        for (std::size_t group = 0; group < solved.size(); ++group) {
            if (!solved[group][axis].driven) continue;
            if (!best || known_lines(solved[group][axis]) > known_lines(solved[*best][axis]))
                best = group;
        }
        if (best)
            response.axes[axis] = axis_response(solved[*best][axis], *best, all[0].sums.length());
    }
    return response;
}

}  // namespace earbudget
