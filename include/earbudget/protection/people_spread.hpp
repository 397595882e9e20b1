#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <vector>

#include <Eigen/Core>

#include "earbudget/acoustics/sound_levels.hpp"
#include "earbudget/protection/predict.hpp"

namespace earbudget {

/// What people leave of a sound, exp(−growth·(R(z) − R(z0))), by a cubic over each quarter of z.
class EnergyLeft {
  public:
    /// Of each z.
    void write(const Eigen::Ref<const Eigen::ArrayXd>& z, Eigen::Ref<Eigen::ArrayXd> left) const;

  private:
    friend class PeopleSpread;
    std::vector<std::array<double, 4>> cubics_;
};

/// Between people, where nothing is stated but a label: standard deviation of the reduction, own
/// choice, wider than most laboratory data (4 to 5 dB; common practice, no source), so that less
/// data never looks better.
inline constexpr LevelDifference people_spread_by_default{6.0};

/// How the reduction of one sound differs between people: R(z) − R(z0), where R(z) is the reduction
/// by octave bands with the attenuation mean + z·sd in every band (ISO 4869-2, clause 6) and z0 the
/// z that the method of a prediction assumes. All bands move together: own choice, the widest.
class PeopleSpread {
  public:
    /// None where the protector lacks octave data from 125 Hz to 8 kHz. The PAR of a catalogue is
    /// that of the average; a person's own has no spread and is none of this. A sound without those
    /// bands counts as pink noise.
    [[nodiscard]] static std::optional<PeopleSpread> of(const SoundLevels& sound,
                                                        const AttenuationData& worn,
                                                        const Prediction& prediction);

    /// That of a label alone, the same for every sound; none for a PAR.
    [[nodiscard]] static std::optional<PeopleSpread> by_default(const Prediction& prediction);
    [[nodiscard]] static PeopleSpread by_default(double assumed_z);

    /// What is left by people, for what grows so with the level: its error stays below 0.0005 dB (a
    /// test).
    [[nodiscard]] EnergyLeft energy_left(double growth) const;

    /// z of the people that the method assumes: −α, −2 for the NRR (40 CFR 211.207).
    [[nodiscard]] double assumed_z() const { return assumed_z_; }

    /// One octave band of the sound, or of the pink noise that stands for it, A-weighted, and what
    /// is worn.
    struct Band {
        OctaveBand band;
        LevelA level;
        LevelDifference mean;
        LevelDifference deviation;
    };
    /// The same as was found before, from what it was found from; at least one band.
    [[nodiscard]] static PeopleSpread of_bands(std::vector<Band> bands, double assumed_z,
                                               bool by_pink_noise);
    /// That it was found from; empty for that of a label alone.
    [[nodiscard]] const std::vector<Band>& bands() const { return bands_; }
    /// Whether pink noise of 100 dB in every band stands for the sound.
    [[nodiscard]] bool by_pink_noise() const { return by_pink_noise_; }

    /// R(z) − R(z0) in dB; beyond ±6 as there.
    [[nodiscard]] double added(double z) const;

    /// dR/dz in dB.
    [[nodiscard]] double slope(double z) const;

  private:
    friend class EnergyLeft;
    // A cubic over each quarter of z, by value and slope at its ends: its error stays below
    // 0.0002 dB (a test).
    static constexpr double furthest = 6.0;
    static constexpr double steps_per_unit = 4.0;
    static constexpr std::size_t steps = 48;
    using Cubic = std::array<double, 4>;

    PeopleSpread() = default;

    double assumed_z_ = 0.0;
    bool by_pink_noise_ = false;
    std::vector<Band> bands_ = {};
    std::array<Cubic, steps> cubics_ = {};
};

}  // namespace earbudget
