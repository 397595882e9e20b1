#pragma once

#include <chrono>
#include <cmath>
#include <compare>

#include "earbudget/acoustics/level.hpp"

namespace earbudget {

/// A frequency in hertz, also a sampling rate.
class Frequency {
  public:
    explicit constexpr Frequency(double hertz) : hertz_(hertz) {}

    /// Value in Hz.
    [[nodiscard]] constexpr double Hz() const { return hertz_; }

    constexpr auto operator<=>(const Frequency&) const = default;

    friend constexpr Frequency operator*(double factor, Frequency f) {
        return Frequency(factor * f.hertz_);
    }
    friend constexpr Frequency operator/(Frequency f, double divisor) {
        return Frequency(f.hertz_ / divisor);
    }
    /// Ratio of two frequencies, without a unit.
    friend constexpr double operator/(Frequency a, Frequency b) { return a.hertz_ / b.hertz_; }

  private:
    double hertz_;
};

/// A length of time in seconds, with fractions.
using Seconds = std::chrono::duration<double>;

/// A length of time in hours, with fractions.
using Hours = std::chrono::duration<double, std::ratio<3600>>;

/// A sound pressure in pascals, root mean square or peak as its name says.
class Pressure {
  public:
    explicit constexpr Pressure(double pascals) : pascals_(pascals) {}

    /// Value in Pa.
    [[nodiscard]] constexpr double Pa() const { return pascals_; }

    constexpr auto operator<=>(const Pressure&) const = default;

  private:
    double pascals_;
};

/// Reference sound pressure of every level in air (ISO 80000-8, 8-14).
inline constexpr Pressure reference_pressure{20e-6};

/// The pressure of a level re 20 µPa.
template <class Q>
[[nodiscard]] Pressure pressure_of(Level<Q> level) {
    static_assert(!std::is_same_v<Q, quantity::FullScale>, "a digital level has no pressure");
    return Pressure(reference_pressure.Pa() * std::pow(10.0, level.dB() / 20.0));
}

/// The level re 20 µPa of a positive pressure.
template <class Q>
[[nodiscard]] Level<Q> level_of(Pressure pressure) {
    static_assert(!std::is_same_v<Q, quantity::FullScale>, "a digital level has no pressure");
    return Level<Q>(20.0 * std::log10(pressure.Pa() / reference_pressure.Pa()));
}

/// A-weighted sound exposure in Pa²h: ∫ p² dt (IEC 61672-1, 3.13), from an Leq and its time.
[[nodiscard]] inline double sound_exposure_Pa2h(LevelA LAeq, Seconds time) {
    return reference_pressure.Pa() * reference_pressure.Pa() * relative_energy(LAeq) *
           Hours(time).count();
}

}  // namespace earbudget
