#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace earbudget {

/// A line in a power spectrum: what a steady tone leaves there.
struct SpectralLine {
    double position;     ///< in bins
    double mean_square;  ///< without the floor beneath
    double floor;        ///< mean square of a bin beside it
    std::size_t first;   ///< bins from `first` to `last` belong to it, skirts included
    std::size_t last;
};

/// The lines whose highest bin lies from `from` to `to`, by rising position; for main lobes up to
/// three bins to either side. Also chance peaks of noise; what is broader is left out.
[[nodiscard]] std::vector<SpectralLine> spectral_lines(std::span<const double> power,
                                                       std::size_t from, std::size_t to);

}  // namespace earbudget
