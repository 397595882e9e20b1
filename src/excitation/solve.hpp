#pragma once

#include "earbudget/excitation/cross_spectra.hpp"
#include "earbudget/excitation/response.hpp"

namespace earbudget {

/// An answer to the drive (excitation/drive.hpp) at one frequency, where it is known.
struct SolvedLine {
    std::complex<double> answer;
    double coherence = 0.0;
};

/// What least squares give of one axis.
struct SolvedAxis {
    std::vector<std::optional<SolvedLine>> lines;
    bool driven = false;
    bool separable = true;
};

using Solved = std::array<SolvedAxis, gradient_axes>;

/// The answers of all axes, by frequency. An axis is not separable where most of its drive is in
/// step with others.
[[nodiscard]] Solved solve(const CrossSpectra& sums, double rate);

}  // namespace earbudget
