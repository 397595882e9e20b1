#pragma once

#include <cmath>
#include <compare>

#include "earbudget/acoustics/duration.hpp"
#include "earbudget/acoustics/level.hpp"

namespace earbudget {

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
