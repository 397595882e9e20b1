#include "excitation/levels_of_seconds.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "excitation/in_pascals.hpp"

namespace earbudget {

namespace {

/// Adds a window's energy to the seconds in which it lies, as the squares of the window do, taken
/// as those of a raised cosine: what reaches out of the waveform belongs to what is within, so that
/// no energy is lost and none of it comes to lie in the last moment.
void share_out(double energy, double begin, double length, double duration,
               std::vector<double>& energies) {
    const auto share_before = [&](double time) {
        const double x = std::clamp((std::min(time, duration) - begin) / length, 0.0, 1.0);
        return x - std::sin(2.0 * std::numbers::pi * x) / (2.0 * std::numbers::pi);
    };
    const double before = share_before(0.0);
    const double within = share_before(duration) - before;
    // The rounding of the difference would decide.
    if (within < 1e-12) {
        (begin < 0.0 ? energies.front() : energies.back()) += energy;
        return;
    }
    for (auto second = static_cast<std::size_t>(std::max(begin, 0.0));
         second < energies.size() && static_cast<double>(second) < begin + length; ++second) {
        const auto from = static_cast<double>(second);
        energies[second] += energy * (share_before(from + 1.0) - share_before(from)) / within;
    }
}

}  // namespace

std::vector<std::optional<LevelA>> levels_of_seconds(const DrivenSound& driven,
                                                     const Raster& raster) {
    const double duration = driven.duration.count();
    const auto count = static_cast<std::size_t>(std::ceil(duration - 1e-9));
    std::vector<double> energies(std::max<std::size_t>(count, 1), 0.0);
    const double length = static_cast<double>(raster.length) / raster.rate;
    for (std::size_t window = 0; window < driven.window_energies.size(); ++window)
        share_out(driven.window_energies[window],
                  (static_cast<double>(window) - 1.0) * length / 2.0, length, duration, energies);
    std::vector<std::optional<LevelA>> levels;
    for (std::size_t second = 0; second < energies.size(); ++second) {
        const double lasts = std::min(1.0, duration - static_cast<double>(second));
        levels.push_back(
            level_of_pa2<quantity::AWeighted>(energies[second] / (raster.rate * lasts)));
    }
    return levels;
}

}  // namespace earbudget
