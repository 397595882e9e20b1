#pragma once

#include <cmath>
#include <compare>

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

}  // namespace earbudget
