#pragma once

#include <complex>
#include <vector>

#include "earbudget/excitation/cross_spectra.hpp"
#include "earbudget/excitation/response.hpp"
#include "earbudget/excitation/waveform.hpp"

namespace earbudget {

/// Samples a second and windows that fit a response: its bins are those of the windows.
struct Raster {
    double rate = 0.0;
    std::size_t length = 0;  ///< of a window, a power of two
};

/// Reaching to the response's last bin, and to 20 kHz at least, where hearing ends.
[[nodiscard]] Raster raster_for(const ScannerResponse& response);

/// What each axis' drive is multiplied by, of the drive's kind (excitation/drive.hpp); 0 where the
/// response is unknown.
using DriveResponse = std::array<std::vector<std::complex<float>>, gradient_axes>;

[[nodiscard]] DriveResponse response_of_drive(const ScannerResponse& response,
                                              const Raster& raster);

/// Which axes share a time base, as lists of axes.
[[nodiscard]] std::vector<std::vector<std::size_t>> axes_by_time_base(
    const ScannerResponse& response);

/// A weighting, as a ratio of energies, of each bin; 0 at frequency 0.
[[nodiscard]] std::vector<double> a_weighting_of_bins(const Raster& raster);

/// A waveform gone through: sums over its windows, and the A-weighted energy of each window,
/// Σ p² over its samples in Pa².
struct DrivenSound {
    CrossSpectra drives;
    std::vector<double> window_energies;  ///< the n-th begins (n − 1) · length / 2 samples in
    Seconds duration{0.0};
};

[[nodiscard]] DrivenSound drive_through(WaveformSource& waveform, const ScannerResponse& response,
                                        const Raster& raster);

}  // namespace earbudget
