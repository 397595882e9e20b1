#include "earbudget/protection/people_spread.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <utility>

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
        bands_.reserve(used.count());
        for (const OctaveBand band : octave_bands) {
            if (!used.test(index_of(band))) continue;
            bands_.push_back(
                {band, *sound.at(band), attenuation.mean(band), attenuation.deviation(band)});
        }
        find_loudest();
    }

    explicit OctaveReduction(std::vector<PeopleSpread::Band> bands) : bands_(std::move(bands)) {
        find_loudest();
    }

    [[nodiscard]] const std::vector<PeopleSpread::Band>& bands() const { return bands_; }

    [[nodiscard]] double at(double z) const {
        double sum = 0.0;
        for (const PeopleSpread::Band& band : bands_)
            sum += energy_at(band, z);
        return reduction_of(sum);
    }

    /// At `begin` and every `step` on.
    template <std::size_t count>
    [[nodiscard]] std::array<ValueAndSlope, count> along(double begin, double step) const {
        std::array<double, count> sums{};
        std::array<double, count> slopes{};
        for (const PeopleSpread::Band& band : bands_) {
            // From one z to the next the energy in a band changes by the same factor: no
            // exponential for each.
            double energy = energy_at(band, begin);
            const double deviation = band.deviation.dB();
            const double factor = std::exp(-step * deviation * per_dB);
            for (std::size_t i = 0; i < count; ++i) {
                sums[i] += energy;
                slopes[i] += energy * deviation;
                energy *= factor;
            }
        }
        std::array<ValueAndSlope, count> all{};
        for (std::size_t i = 0; i < count; ++i)
            all[i] = {reduction_of(sums[i]), slopes[i] / sums[i]};
        return all;
    }

  private:
    static constexpr double per_dB = std::numbers::ln10 / 10.0;

    void find_loudest() {
        for (const PeopleSpread::Band& band : bands_)
            loudest_ = std::max(loudest_, (band.level - band.mean).dB());
    }

    [[nodiscard]] double energy_at(const PeopleSpread::Band& band, double z) const {
        const double level = (band.level - band.mean).dB() - z * band.deviation.dB();
        return std::exp((level - loudest_) * per_dB);
    }
    [[nodiscard]] double reduction_of(double energy) const {
        return -loudest_ - std::log(energy) / per_dB;
    }

    double loudest_ = -std::numeric_limits<double>::infinity();  // at the ear at z = 0
    std::vector<PeopleSpread::Band> bands_;
};

}  // namespace

std::optional<PeopleSpread> PeopleSpread::of(const SoundLevels& sound, const AttenuationData& worn,
                                             const Prediction& prediction) {
    if (!worn.octave || !hold_all_from_125_Hz(worn.octave->bands())) return std::nullopt;
    const OctaveLevelsA levels = sound.a_weighted_octaves();
    const bool has_bands = hold_all_from_125_Hz(levels.bands());
    const OctaveReduction reduction(has_bands ? levels : pink_noise(), *worn.octave);
    return of_bands(reduction.bands(), z_assumed_by(prediction), !has_bands);
}

PeopleSpread PeopleSpread::of_bands(std::vector<Band> bands, double assumed_z, bool by_pink_noise) {
    const OctaveReduction reduction(std::move(bands));
    PeopleSpread spread;
    spread.assumed_z_ = assumed_z;
    spread.by_pink_noise_ = by_pink_noise;
    spread.bands_ = reduction.bands();
    const double assumed_reduction = reduction.at(spread.assumed_z_);
    constexpr double step = 1.0 / steps_per_unit;
    const auto ends = reduction.along<steps + 1>(-furthest, step);
    for (std::size_t i = 0; i < steps; ++i) {
        const double rise = ends[i + 1].value - ends[i].value;
        const double s0 = step * ends[i].slope;
        const double s1 = step * ends[i + 1].slope;
        spread.cubics_[i] = {ends[i].value - assumed_reduction, s0, 3.0 * rise - 2.0 * s0 - s1,
                             s0 + s1 - 2.0 * rise};
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
    return by_default(z_assumed_by(prediction));
}

PeopleSpread PeopleSpread::by_default(double assumed_z) {
    PeopleSpread spread;
    spread.assumed_z_ = assumed_z;
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
    left.cubics_.resize(steps);
    constexpr double step = 1.0 / steps_per_unit;
    // Where the cubics meet, each begins with its value and its slope a step.
    std::array<double, steps + 1> added_at{};
    std::array<double, steps + 1> slope_at{};
    for (std::size_t i = 0; i < steps; ++i) {
        added_at[i] = cubics_[i][0];
        slope_at[i] = -growth * cubics_[i][1];
    }
    added_at[steps] = added(furthest);
    slope_at[steps] = -growth * step * slope(furthest);
    std::array<double, steps + 1> at{};
    const std::array sum{vector::Addend{-growth, added_at.data()}};
    vector::exponentials(sum, at);
    for (std::size_t i = 0; i < steps; ++i) {
        const double rise = at[i + 1] - at[i];
        const double s0 = slope_at[i] * at[i];
        const double s1 = slope_at[i + 1] * at[i + 1];
        left.cubics_[i] = {at[i], s0, 3.0 * rise - 2.0 * s0 - s1, s0 + s1 - 2.0 * rise};
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
