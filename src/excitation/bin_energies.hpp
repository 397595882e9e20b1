#pragma once

#include "earbudget/measurement/spectrum/spectrum_meter.hpp"
#include "excitation/driven_sound.hpp"

namespace earbudget {

/// Mean squares by bin: of the sound in Pa², of the slew in (T/m/s)².
struct BinEnergies {
    std::vector<double> sound;  ///< what is known; axes of different time bases by their energies
    std::vector<double> in_phase;  ///< the same, these in phase
    std::vector<double> at_most;   ///< and with what is unknown as loud as it is expected to be
    std::vector<double> slew;      ///< of all axes
    std::vector<double> uncovered_slew;
    std::array<std::vector<double>, gradient_axes> of_axis;  ///< sound of each alone
};

/// Of so many samples of a waveform, gone through by windows.
[[nodiscard]] BinEnergies energies_of_bins(const CrossSpectra& drives,
                                           const ScannerResponse& response, const Raster& raster,
                                           double samples);

/// Of the weighted sound, what lies at resonances no wider than three bins at half their energy,
/// 0 to 1: windows smear these.
[[nodiscard]] double share_of_narrow_resonances(const BinEnergies& energies,
                                                const ScannerResponse& response,
                                                const std::vector<double>& gains);

/// Σ gain · energy.
[[nodiscard]] double weighted(const std::vector<double>& energies,
                              const std::vector<double>& gains);

}  // namespace earbudget
