#include "excitation/bin_energies.hpp"

#include <algorithm>
#include <cmath>
#include <span>

#include "earbudget/excitation/drive.hpp"

namespace earbudget {

namespace {

/// One bin of a waveform under a response.
class Bin {
  public:
    Bin(const CrossSpectra& drives, const DriveResponse& response, std::size_t k)
        : drives_(drives.drives(k)) {
        for (std::size_t axis = 0; axis < gradient_axes; ++axis)
            h_(static_cast<Eigen::Index>(axis)) = std::complex<double>(response[axis][k]);
    }

    [[nodiscard]] double of(std::span<const std::size_t> axes) const {
        double sum = 0.0;
        for (const std::size_t one : axes) {
            for (const std::size_t other : axes)
                sum += product(one, other);
        }
        return std::max(sum, 0.0);
    }

  private:
    [[nodiscard]] double product(std::size_t one, std::size_t other) const {
        const auto a = static_cast<Eigen::Index>(one);
        const auto b = static_cast<Eigen::Index>(other);
        return (std::conj(h_(a)) * h_(b) * drives_(a, b)).real();
    }

    Eigen::Matrix3cd drives_;
    Eigen::Vector3cd h_;
};

double square(double x) { return x * x; }

constexpr std::size_t widest_of_narrow = 3;  // bins at half the energy; own choice

/// Whether a line is the crest of a resonance that is narrow; not where a flank of it is unknown.
bool is_narrow_crest(const std::vector<std::optional<ResponseLine>>& lines, std::size_t k) {
    const double crest = std::norm(lines[k]->Pa_per_T_per_m);
    std::size_t width = 1;
    const auto falls_at = [&](std::size_t n) -> std::optional<bool> {
        if (n >= lines.size() || !lines[n]) return std::nullopt;
        const double energy = std::norm(lines[n]->Pa_per_T_per_m);
        if (energy > crest) return std::nullopt;
        return energy < crest / 2.0;
    };
    for (const bool up : {false, true}) {
        for (std::size_t step = 1;; ++step) {
            if (!up && step > k) return false;
            const auto falls = falls_at(up ? k + step : k - step);
            if (!falls || width > widest_of_narrow) return false;
            if (*falls) break;
            ++width;
        }
    }
    return width <= widest_of_narrow;
}

}  // namespace

BinEnergies energies_of_bins(const CrossSpectra& drives, const ScannerResponse& response,
                             const Raster& raster, double samples) {
    const DriveResponse of_drive = response_of_drive(response, raster);
    const auto bases = axes_by_time_base(response);
    const std::size_t bins = drives.bins();
    std::array<std::vector<double>, gradient_axes> largest;
    BinEnergies energies;
    for (auto* sums : {&energies.sound, &energies.at_most, &energies.in_phase, &energies.slew,
                       &energies.uncovered_slew})
        sums->assign(bins, 0.0);
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        energies.of_axis[axis].assign(bins, 0.0);
        largest[axis] = largest_expected(response, axis, bins);
    }
    const double scale = 2.0 / (static_cast<double>(raster.length) * samples);
    for (std::size_t k = 1; k < bins; ++k) {
        const Bin bin(drives, of_drive, k);
        double in_phase = 0.0;
        for (const auto& axes : bases) {
            const double energy = scale * bin.of(axes);
            energies.sound[k] += energy;
            in_phase += std::sqrt(energy);
        }
        energies.in_phase[k] = square(in_phase);
        const double gain =
            drive_of_gradient(static_cast<double>(k) / static_cast<double>(raster.length));
        for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
            const double drive = scale * drives.drive(axis, k);
            const std::array alone{axis};
            energies.of_axis[axis][k] = scale * bin.of(alone);
            const double slew = drive * square(raster.rate);
            energies.slew[k] += slew;
            if (k < response.axes[axis].lines.size() && response.axes[axis].lines[k]) continue;
            energies.uncovered_slew[k] += slew;
            in_phase += largest[axis][k] / gain * std::sqrt(drive);
        }
        energies.at_most[k] = square(in_phase);
    }
    return energies;
}

double share_of_narrow_resonances(const BinEnergies& energies, const ScannerResponse& response,
                                  const std::vector<double>& gains) {
    const double all = weighted(energies.sound, gains);
    double narrow = 0.0;
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        const auto& lines = response.axes[axis].lines;
        std::size_t counted = 0;  // bins below it
        for (std::size_t k = 1; k < lines.size(); ++k) {
            if (!lines[k] || !is_narrow_crest(lines, k)) continue;
            const std::size_t first = std::max(counted, k - std::min(k, widest_of_narrow));
            counted = std::min(k + widest_of_narrow + 1, gains.size());
            for (std::size_t n = first; n < counted; ++n)
                narrow += gains[n] * energies.of_axis[axis][n];
        }
    }
    return all > 0.0 ? std::min(narrow / all, 1.0) : 0.0;
}

double weighted(const std::vector<double>& energies, const std::vector<double>& gains) {
    double sum = 0.0;
    for (std::size_t k = 0; k < energies.size(); ++k)
        sum += gains[k] * energies[k];
    return sum;
}

}  // namespace earbudget
