#include "earbudget/protection/people_spread.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "computing/vector/draws.hpp"

namespace earbudget {

namespace {

double z_assumed_by(const Prediction& prediction) {
    return method_rows[prediction.method].z.value_or(-prediction.performance.alpha());
}

OctaveLevelsA pink_noise() {
    OctaveLevelsZ pink;
    for (const OctaveBand band : octave_bands)
        pink.set(band, LevelZ(100.0));
    return a_weighted(pink);
}

struct ValueAndSlope {
    double value;  // dB
    double slope;  // dB for 1 of z
};

// The reduction up to a constant: minus the level at the ear.
class OctaveReduction {
  public:
    OctaveReduction(const OctaveLevelsA& sound, const OctaveAttenuation& attenuation) {
        const OctaveMask used = bands_of_octave_method(sound.bands(), attenuation.bands());
        for (const OctaveBand band : octave_bands) {
            if (!used.test(index_of(band))) continue;
            const auto n = static_cast<Eigen::Index>(index_of(band));
            level_[n] = sound.at(band)->dB() - attenuation.mean(band).dB();
            deviation_[n] = attenuation.deviation(band).dB();
            bands_.push_back(
                {band, *sound.at(band), attenuation.mean(band), attenuation.deviation(band)});
        }
        loudest_ = level_.maxCoeff();
    }

    [[nodiscard]] const std::vector<PeopleSpread::Band>& bands() const { return bands_; }

    [[nodiscard]] ValueAndSlope at(double z) const {
        constexpr double per_dB = std::numbers::ln10 / 10.0;
        const OctaveArray energy = ((level_ - z * deviation_ - loudest_) * per_dB).exp();
        const double sum = energy.sum();
        return {-loudest_ - std::log(sum) / per_dB, (energy * deviation_).sum() / sum};
    }

  private:
    static constexpr double silent = -1000.0;

    OctaveArray level_ = OctaveArray::Constant(silent);  // at the ear at z = 0
    OctaveArray deviation_ = OctaveArray::Zero();
    double loudest_;
    std::vector<PeopleSpread::Band> bands_;
};

}  // namespace

std::optional<PeopleSpread> PeopleSpread::of(const SoundLevels& sound, const AttenuationData& worn,
                                             const Prediction& prediction) {
    if (!worn.octave || !hold_all_from_125_Hz(worn.octave->bands())) return std::nullopt;
    const OctaveLevelsA levels = sound.a_weighted_octaves();
    const OctaveReduction reduction(hold_all_from_125_Hz(levels.bands()) ? levels : pink_noise(),
                                    *worn.octave);
    PeopleSpread spread;
    spread.assumed_z_ = z_assumed_by(prediction);
    spread.by_pink_noise_ = !hold_all_from_125_Hz(levels.bands());
    spread.bands_ = reduction.bands();
    const double assumed_reduction = reduction.at(spread.assumed_z_).value;
    constexpr double step = 1.0 / steps_per_unit;
    ValueAndSlope left = reduction.at(-furthest);
    for (std::size_t i = 0; i < steps; ++i) {
        const ValueAndSlope right = reduction.at(-furthest + step * static_cast<double>(i + 1));
        const double rise = right.value - left.value;
        const double s0 = step * left.slope;
        const double s1 = step * right.slope;
        spread.cubics_[i] = {left.value - assumed_reduction, s0, 3.0 * rise - 2.0 * s0 - s1,
                             s0 + s1 - 2.0 * rise};
        left = right;
    }
    return spread;
}

double PeopleSpread::added(double z) const {
    const double place = (std::clamp(z, -furthest, furthest) + furthest) * steps_per_unit;
    const auto i = std::min(static_cast<std::size_t>(place), steps - 1);
    const double t = place - static_cast<double>(i);
    const Cubic& cubic = cubics_[i];
    return cubic[0] + t * (cubic[1] + t * (cubic[2] + t * cubic[3]));
}

double PeopleSpread::slope(double z) const {
    const double place = (std::clamp(z, -furthest, furthest) + furthest) * steps_per_unit;
    const auto i = std::min(static_cast<std::size_t>(place), steps - 1);
    const double t = place - static_cast<double>(i);
    const Cubic& cubic = cubics_[i];
    return steps_per_unit * (cubic[1] + t * (2.0 * cubic[2] + t * 3.0 * cubic[3]));
}

std::optional<PeopleSpread> PeopleSpread::by_default(const Prediction& prediction) {
    if (prediction.method == Method::Par) return std::nullopt;
    PeopleSpread spread;
    spread.assumed_z_ = z_assumed_by(prediction);
    const double deviation = people_spread_by_default.dB();
    for (std::size_t i = 0; i < steps; ++i) {
        const double z = -furthest + static_cast<double>(i) / steps_per_unit;
        spread.cubics_[i] = {deviation * (z - spread.assumed_z_), deviation / steps_per_unit, 0.0,
                             0.0};
    }
    return spread;
}

EnergyLeft PeopleSpread::energy_left(double growth) const {
    EnergyLeft left;
    left.cubics_.reserve(steps);
    constexpr double step = 1.0 / steps_per_unit;
    const auto at = [&](double z) {
        const double value = std::exp(-growth * added(z));
        return ValueAndSlope{value, -growth * slope(z) * value};
    };
    ValueAndSlope begin = at(-furthest);
    for (std::size_t i = 0; i < steps; ++i) {
        const ValueAndSlope end = at(-furthest + step * static_cast<double>(i + 1));
        const double rise = end.value - begin.value;
        const double s0 = step * begin.slope;
        const double s1 = step * end.slope;
        left.cubics_.push_back({begin.value, s0, 3.0 * rise - 2.0 * s0 - s1, s0 + s1 - 2.0 * rise});
        begin = end;
    }
    return left;
}

void EnergyLeft::write(const Eigen::Ref<const Eigen::ArrayXd>& z,
                       Eigen::Ref<Eigen::ArrayXd> left) const {
    vector::interpolate({.cubics = cubics_,
                         .begin = -PeopleSpread::furthest,
                         .per_unit = PeopleSpread::steps_per_unit},
                        {z.data(), static_cast<std::size_t>(z.size())}, left.data());
}

}  // namespace earbudget
