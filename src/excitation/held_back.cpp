#include "excitation/held_back.hpp"

#include <cmath>

#include "excitation/bin_energies.hpp"

namespace earbudget {

namespace {

/// A comparison tells nothing of a response where more than this of the slew is not covered; own
/// choice.
constexpr double most_uncovered = 0.1;
/// Nor in a band that lies so far below the loudest: there the room is heard. Own choice.
constexpr double quietest_band_dB = 30.0;

double band_of(const std::vector<double>& energies, Frequency width, std::size_t band) {
    return band_mean_square({width, energies}, third_octave_lower_edge(band),
                            third_octave_upper_edge(band));
}

}  // namespace

HeldBack compared(const ScannerResponse& response, const Recorded& recording, std::size_t number) {
    HeldBack held{number, std::nullopt, {}};
    const Raster raster{recording.rate, recording.sums.length()};
    const BinEnergies predicted = energies_of_bins(recording.sums, response, raster, 1.0);
    std::vector<double> measured(recording.sums.bins(), 0.0);
    for (std::size_t k = 1; k < measured.size(); ++k)
        measured[k] = 2.0 / static_cast<double>(raster.length) * recording.sums.pressure(k);
    const auto gains = a_weighting_of_bins(raster);
    const double slew = weighted(predicted.slew, gains);
    const double predicted_A = weighted(predicted.sound, gains);
    if (slew <= 0.0 || predicted_A <= 0.0) return held;
    if (weighted(predicted.uncovered_slew, gains) <= most_uncovered * slew)
        held.LAeq = difference_of_energy_ratio(predicted_A / weighted(measured, gains));
    double loudest = 0.0;
    for (std::size_t band = 0; band < third_octave_count; ++band)
        loudest = std::max(loudest, band_of(measured, response.bin_width, band));
    for (std::size_t band = 0; band < third_octave_count; ++band) {
        const double sound = band_of(predicted.sound, response.bin_width, band);
        const double heard = band_of(measured, response.bin_width, band);
        const double driven = band_of(predicted.slew, response.bin_width, band);
        const double unknown = band_of(predicted.uncovered_slew, response.bin_width, band);
        if (heard < loudest * energy_ratio(LevelDifference(-quietest_band_dB))) continue;
        if (sound <= 0.0 || unknown > most_uncovered * driven) continue;
        held.third_octave[band] = difference_of_energy_ratio(sound / heard);
    }
    return held;
}

}  // namespace earbudget
