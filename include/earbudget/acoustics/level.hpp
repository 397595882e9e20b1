#pragma once

#include <algorithm>
#include <cmath>
#include <compare>
#include <limits>
#include <optional>
#include <span>

namespace earbudget {

/// A difference between two levels in decibels: a gain, an attenuation, a correction, a spread.
///
/// Levels are points on a logarithmic scale and differences are the steps between them
/// (ISO 80000-8, clause 0.5): differences add, levels do not (see level.hpp).
class LevelDifference {
  public:
    constexpr LevelDifference() = default;
    explicit constexpr LevelDifference(double decibels) : decibels_(decibels) {}

    /// Value in dB.
    [[nodiscard]] constexpr double dB() const { return decibels_; }

    constexpr auto operator<=>(const LevelDifference&) const = default;

    constexpr LevelDifference& operator+=(LevelDifference other) {
        decibels_ += other.decibels_;
        return *this;
    }
    constexpr LevelDifference& operator-=(LevelDifference other) {
        decibels_ -= other.decibels_;
        return *this;
    }
    friend constexpr LevelDifference operator+(LevelDifference a, LevelDifference b) {
        return LevelDifference(a.decibels_ + b.decibels_);
    }
    friend constexpr LevelDifference operator-(LevelDifference a, LevelDifference b) {
        return LevelDifference(a.decibels_ - b.decibels_);
    }
    friend constexpr LevelDifference operator-(LevelDifference a) {
        return LevelDifference(-a.decibels_);
    }
    friend constexpr LevelDifference operator*(double factor, LevelDifference a) {
        return LevelDifference(factor * a.decibels_);
    }
    friend constexpr LevelDifference operator*(LevelDifference a, double factor) {
        return factor * a;
    }
    friend constexpr LevelDifference operator/(LevelDifference a, double divisor) {
        return LevelDifference(a.decibels_ / divisor);
    }

  private:
    double decibels_ = 0.0;
};

/// The ratio of two mean-square pressures that lie `difference` apart: 10^(ΔL / 10 dB).
[[nodiscard]] inline double energy_ratio(LevelDifference difference) {
    return std::pow(10.0, difference.dB() / 10.0);
}

/// The level difference of a positive ratio of mean-square pressures: 10 lg(ratio) dB.
[[nodiscard]] inline LevelDifference difference_of_energy_ratio(double ratio) {
    return LevelDifference(10.0 * std::log10(ratio));
}

/// By how much a value may pass a limit that it equals on paper: rounding of a few hundred sums,
/// and of decimals as typed, which are no exact binary numbers. Relative for amounts, absolute for
/// probabilities and counts.
inline constexpr double arithmetic_slack = 1e-9;

/// The same of levels, dB.
inline constexpr LevelDifference level_slack{1e-9};

/// What a level is the level of. Two different quantities never mix without a named function.
namespace quantity {

struct AWeighted {
    static constexpr bool is_mean_square = true;
};
struct CWeighted {
    static constexpr bool is_mean_square = true;
};
struct Unweighted {  ///< Z of IEC 61672-1, also the level in one octave band
    static constexpr bool is_mean_square = true;
};
struct FullScale {  ///< of a digital signal, reference: mean square of a full-scale sine
    static constexpr bool is_mean_square = true;
};
struct CWeightedPeak {
    static constexpr bool is_mean_square = false;
};
struct UnweightedPeak {
    static constexpr bool is_mean_square = false;
};

template <class Q>
concept MeanSquare = Q::is_mean_square;

}  // namespace quantity

/// A level in decibels: a point on a logarithmic scale, re 20 µPa unless the quantity says
/// otherwise.
///
/// level − level gives a LevelDifference, level ± LevelDifference gives a level.
/// level + level does not compile: say energy_sum or energy_mean.
template <class Quantity>
class Level {
  public:
    explicit constexpr Level(double decibels) : decibels_(decibels) {}

    /// Value in dB.
    [[nodiscard]] constexpr double dB() const { return decibels_; }

    constexpr auto operator<=>(const Level&) const = default;

    friend constexpr LevelDifference operator-(Level a, Level b) {
        return LevelDifference(a.decibels_ - b.decibels_);
    }
    friend constexpr Level operator+(Level level, LevelDifference d) {
        return Level(level.decibels_ + d.dB());
    }
    friend constexpr Level operator-(Level level, LevelDifference d) {
        return Level(level.decibels_ - d.dB());
    }

  private:
    double decibels_;
};

using LevelA = Level<quantity::AWeighted>;
using LevelC = Level<quantity::CWeighted>;
using LevelZ = Level<quantity::Unweighted>;
using LevelFS = Level<quantity::FullScale>;
using PeakLevelC = Level<quantity::CWeightedPeak>;
using PeakLevelZ = Level<quantity::UnweightedPeak>;

/// LC − LA of one sound: how much of it lies at low frequencies (ISO 4869-2, HML method).
[[nodiscard]] constexpr LevelDifference c_minus_a(LevelC LC, LevelA LA) {
    return LevelDifference(LC.dB() - LA.dB());
}

/// The mean-square pressure of a level in units of (20 µPa)².
template <quantity::MeanSquare Q>
[[nodiscard]] double relative_energy(Level<Q> level) {
    return std::pow(10.0, level.dB() / 10.0);
}

/// The level of a mean-square pressure given in units of (20 µPa)²; none for silence (zero).
template <quantity::MeanSquare Q>
[[nodiscard]] std::optional<Level<Q>> level_of_relative_energy(double energy) {
    if (!(energy > 0.0)) return std::nullopt;
    return Level<Q>(10.0 * std::log10(energy));
}

/// The level of several sounds heard at once, 10 lg Σ 10^(Li/10); none for an empty set.
template <quantity::MeanSquare Q>
[[nodiscard]] std::optional<Level<Q>> energy_sum(std::span<const Level<Q>> levels) {
    if (levels.empty()) return std::nullopt;
    // Relative to the loudest, so that no level in range can overflow or vanish.
    const Level<Q> loudest = *std::max_element(levels.begin(), levels.end());
    double sum = 0.0;
    for (const Level<Q> level : levels)
        sum += energy_ratio(level - loudest);
    return loudest + difference_of_energy_ratio(sum);
}

/// The level whose mean-square pressure is the mean of those given; none for an empty set.
template <quantity::MeanSquare Q>
[[nodiscard]] std::optional<Level<Q>> energy_mean(std::span<const Level<Q>> levels) {
    const auto sum = energy_sum(levels);
    if (!sum) return std::nullopt;
    return *sum - difference_of_energy_ratio(static_cast<double>(levels.size()));
}

}  // namespace earbudget
