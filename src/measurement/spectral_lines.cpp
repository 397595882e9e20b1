#include "measurement/spectral_lines.hpp"

#include <algorithm>
#include <array>
#include <optional>

namespace earbudget {

namespace {

constexpr std::size_t nearest_rival = 2;  // no line this close to a higher bin
constexpr std::size_t half_lobe = 3;
constexpr std::size_t beside_from = 2;  // the floor is sought at these distances
constexpr std::size_t beside_to = 8;
constexpr std::size_t widest_skirt = 16;
constexpr double least_contrast = 8.0;  // of the highest bin to the floor

// Square bins about the mean. A steady tone has 1/3 with a Hann window and pi^2/32 with
// sin(pi/2 sin^2): the mean square of a window's slope. A pulsed one has more, an even band of
// seven bins 4.
constexpr double broadest = 2.5;

/// The bin `distance` away on one side.
std::size_t beside(std::size_t bin, std::size_t distance, bool above) {
    return above ? bin + distance : bin - distance;
}

bool is_highest_around(std::span<const double> power, std::size_t bin) {
    for (std::size_t d = 1; d <= nearest_rival; ++d) {
        if (power[bin - d] >= power[bin] || power[bin + d] > power[bin]) return false;
    }
    return true;
}

/// The second lowest bin on one side: next to no other line reaches it.
double floor_beside(std::span<const double> power, std::size_t bin, bool above) {
    const std::size_t room = above ? power.size() - 1 - bin : bin;
    std::array<double, beside_to - beside_from + 1> bins{};
    const std::size_t count = std::min(beside_to, room) - beside_from + 1;
    for (std::size_t d = 0; d < count; ++d)
        bins[d] = power[beside(bin, beside_from + d, above)];
    std::nth_element(bins.begin(), bins.begin() + 1,
                     bins.begin() + static_cast<std::ptrdiff_t>(count));
    return bins[1];
}

/// How many bins the spectrum falls from `bin` on, at most `limit`.
std::size_t fall(std::span<const double> power, std::size_t bin, bool above, std::size_t limit) {
    const std::size_t room = above ? power.size() - 1 - bin : bin;
    std::size_t d = 0;
    while (d < std::min(limit, room) &&
           power[beside(bin, d + 1, above)] <= power[beside(bin, d, above)]) {
        ++d;
    }
    return d;
}

/// How many bins on one side belong to the main lobe; within it the spectrum may rise again.
std::size_t lobe(std::span<const double> power, std::size_t bin, bool above) {
    return std::max(nearest_rival, fall(power, bin, above, half_lobe));
}

std::optional<SpectralLine> line_at(std::span<const double> power, std::size_t bin) {
    if (!is_highest_around(power, bin)) return std::nullopt;
    const double below = floor_beside(power, bin, false);
    const double above = floor_beside(power, bin, true);
    if (power[bin] < least_contrast * std::max(below, above)) return std::nullopt;

    const double floor = 0.5 * (below + above);
    const auto at = static_cast<double>(bin);
    double sum = 0.0;
    double first_moment = 0.0;
    double second_moment = 0.0;
    for (std::size_t k = bin - lobe(power, bin, false); k <= bin + lobe(power, bin, true); ++k) {
        const double offset = static_cast<double>(k) - at;
        sum += power[k] - floor;
        first_moment += offset * (power[k] - floor);
        second_moment += offset * offset * (power[k] - floor);
    }
    const double mean = first_moment / sum;
    if (second_moment / sum - mean * mean > broadest) return std::nullopt;
    return SpectralLine{at + mean, sum, floor, bin - fall(power, bin, false, widest_skirt),
                        bin + fall(power, bin, true, widest_skirt)};
}

}  // namespace

std::vector<SpectralLine> spectral_lines(std::span<const double> power, std::size_t from,
                                         std::size_t to) {
    constexpr std::size_t margin = beside_from + 2;
    std::vector<SpectralLine> lines;
    for (std::size_t bin = std::max(from, margin); bin <= to && bin + margin < power.size();
         ++bin) {
        if (const auto line = line_at(power, bin)) lines.push_back(*line);
    }
    return lines;
}

}  // namespace earbudget
