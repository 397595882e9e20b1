#include <algorithm>
#include <cmath>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/excitation/prediction.hpp"
#include "earbudget/measurement/calibration/calibration.hpp"
#include "earbudget/measurement/spectrum/tones.hpp"
#include "excitation/bin_energies.hpp"
#include "excitation/driven_sound.hpp"
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

/// Pressures are in pascals: a full-scale sine has an amplitude of 1 Pa.
const Calibration& in_pascals() {
    static const Calibration calibration(
        level_of<quantity::Unweighted>(Pressure(std::sqrt(full_scale_mean_square))));
    return calibration;
}

template <class Quantity>
std::optional<Level<Quantity>> level_of_pa2(double mean_square) {
    const auto level = level_of_mean_square(mean_square);
    if (!level) return std::nullopt;
    return in_pascals().level<Quantity>(*level);
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
