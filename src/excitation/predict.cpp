#include <algorithm>
#include <cmath>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/excitation/prediction.hpp"
#include "earbudget/measurement/spectrum/tones.hpp"
#include "excitation/bin_energies.hpp"
#include "excitation/driven_sound.hpp"
#include "excitation/in_pascals.hpp"
#include "excitation/levels_of_seconds.hpp"
#include "excitation/worst_orientation.hpp"

namespace earbudget {

namespace {

constexpr double most_uncovered_of_a_band = 0.1;  // own choice

/// By which windows may smear a resonance that is narrower than three bins: found with one of
/// quality 150 (docs/prediction.md). Own choice.
constexpr double smeared_at_most_dB = 3.3;

LevelDifference with_smearing(LevelDifference uncertainty, double share_of_narrow) {
    return LevelDifference(std::hypot(uncertainty.dB(), smeared_at_most_dB * share_of_narrow));
}

/// Octave bands in pascals, as their weighting has it.
template <class Quantity>
OctaveLevels<Quantity> octaves_of_pa2(const PowerSpectrum& spectrum, const Raster& raster,
                                      Weighting weighting = nullptr) {
    const auto levels = octave_levels(spectrum, Frequency(raster.rate), weighting);
    OctaveLevels<Quantity> octaves;
    for (const OctaveBand band : octave_bands) {
        if (const auto level = levels.at(band))
            octaves.set(band, in_pascals().level<Quantity>(*level));
    }
    return octaves;
}

Uncovered uncovered_by(const BinEnergies& energies, const Raster& raster,
                       const std::vector<double>& gains) {
    const double all = weighted(energies.slew, gains);
    Uncovered uncovered;
    if (all <= 0.0) return uncovered;
    uncovered.energy_percent = 100.0 * weighted(energies.uncovered_slew, gains) / all;
    uncovered.LAeq_at_most = level_of_pa2<quantity::AWeighted>(weighted(energies.at_most, gains));
    const Frequency width(raster.rate / static_cast<double>(raster.length));
    const PowerSpectrum at_most{width, energies.at_most};
    uncovered.octave_at_most = octaves_of_pa2<quantity::Unweighted>(at_most, raster);
    uncovered.octave_A_at_most = octaves_of_pa2<quantity::AWeighted>(at_most, raster, a_weighting);
    for (std::size_t band = 0; band < third_octave_count; ++band) {
        const auto from = third_octave_lower_edge(band);
        const auto to = third_octave_upper_edge(band);
        const double of_band = band_mean_square({width, energies.slew}, from, to);
        const double unknown = band_mean_square({width, energies.uncovered_slew}, from, to);
        if (unknown > most_uncovered_of_a_band * of_band) uncovered.third_octaves.push_back(band);
    }
    return uncovered;
}

void take_bands(ExpectedSound& prediction, const Raster& raster) {
    const PowerSpectrum& sound = prediction.sound;
    prediction.octave = octaves_of_pa2<quantity::Unweighted>(sound, raster);
    prediction.octave_A = octaves_of_pa2<quantity::AWeighted>(sound, raster, a_weighting);
    const auto thirds = third_octave_levels(sound, Frequency(raster.rate));
    for (std::size_t band = 0; band < third_octave_count; ++band) {
        if (thirds[band])
            prediction.third_octave[band] = in_pascals().level<quantity::Unweighted>(*thirds[band]);
    }
}

void take_tones(ExpectedSound& prediction) {
    const Tones found = find_tones(prediction.sound);
    prediction.fundamental = found.fundamental;
    for (const Tone& tone : found.tones)
        prediction.tones.push_back(
            {tone.frequency, in_pascals().level<quantity::Unweighted>(tone.level), tone.harmonic});
}

/// Sees whether any gradient may not turn.
class OrientedWaveform final : public WaveformSource {
  public:
    explicit OrientedWaveform(WaveformSource& source) : source_(source) {}
    [[nodiscard]] std::optional<GradientPiece> next() override {
        const auto piece = source_.next();
        if (piece && !piece->may_turn)
            keeps_some_ |= piece->from != AxisVector{} || piece->to != AxisVector{};
        return piece;
    }
    void rewind() override {
        source_.rewind();
        keeps_some_ = false;
    }
    [[nodiscard]] bool duration_is_lower_bound() const override {
        return source_.duration_is_lower_bound();
    }
    [[nodiscard]] bool keeps_some() const { return keeps_some_; }

  private:
    WaveformSource& source_;
    bool keeps_some_ = false;
};

}  // namespace

ExpectedSound predict_sound(WaveformSource& waveform, const ScannerResponse& response) {
    const Raster raster = raster_for(response);
    OrientedWaveform oriented(waveform);
    const DrivenSound driven = drive_through(oriented, response, raster);
    ExpectedSound prediction;
    prediction.duration = driven.duration;
    prediction.uncertainty = response.uncertainty.LAeq;
    if (driven.duration.count() <= 0.0) return prediction;
    const auto gains = a_weighting_of_bins(raster);
    BinEnergies energies =
        energies_of_bins(driven.drives, response, raster, raster.rate * driven.duration.count());
    prediction.uncovered = uncovered_by(energies, raster, gains);
    prediction.uncertainty = with_smearing(prediction.uncertainty,
                                           share_of_narrow_resonances(energies, response, gains));
    prediction.sound = {response.bin_width, std::move(energies.sound)};
    prediction.slew = {response.bin_width, std::move(energies.slew)};
    prediction.LAeq =
        level_of_pa2<quantity::AWeighted>(weighted(prediction.sound.mean_square, gains));
    if (!prediction.LAeq) return prediction;
    if (prediction.uncovered.LAeq_at_most)
        prediction.uncertainty = std::max(
            prediction.uncertainty, (*prediction.uncovered.LAeq_at_most - *prediction.LAeq) / 2.0);
    prediction.LCeq = level_of_pa2<quantity::CWeighted>(band_mean_square(
        prediction.sound, Frequency(0.0), Frequency(raster.rate / 2.0), c_weighting));
    std::size_t sounding = 0;
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        prediction.of_axis[axis] =
            level_of_pa2<quantity::AWeighted>(weighted(energies.of_axis[axis], gains));
        sounding += prediction.of_axis[axis] ? 1 : 0;
    }
    prediction.energies_added = sounding > 1 && axes_by_time_base(response).size() > 1;
    if (prediction.energies_added)
        prediction.LAeq_in_phase =
            level_of_pa2<quantity::AWeighted>(weighted(energies.in_phase, gains));
    take_bands(prediction, raster);
    take_tones(prediction);
    prediction.seconds = levels_of_seconds(driven, raster);
    prediction.keeps_orientation = oriented.keeps_some();
    if (!prediction.keeps_orientation)
        prediction.worst = worst_orientation(driven, response, raster, gains);
    return prediction;
}

RoughSound predict_roughly(WaveformSource& waveform, const ScannerResponse& response) {
    const Raster raster = raster_for(response);
    const DrivenSound driven = drive_through(waveform, response, raster);
    if (driven.duration.count() <= 0.0) return {};
    const auto gains = a_weighting_of_bins(raster);
    const BinEnergies energies =
        energies_of_bins(driven.drives, response, raster, raster.rate * driven.duration.count());
    RoughSound sound{level_of_pa2<quantity::AWeighted>(weighted(energies.sound, gains)), {}};
    double largest = 0.0;
    for (std::size_t k = 0; k < energies.slew.size(); ++k) {
        if (gains[k] * energies.slew[k] <= largest) continue;
        largest = gains[k] * energies.slew[k];
        sound.strongest = static_cast<double>(k) * response.bin_width;
    }
    return sound;
}

}  // namespace earbudget
