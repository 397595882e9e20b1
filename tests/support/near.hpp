#pragma once

#include <cmath>
#include <string>

#include <doctest/doctest.h>

namespace earbudget::test {

/// Why a tolerance is what it is.
enum class Because {
    Arithmetic,        ///< rounding of floating-point sums
    PrintedRounding,   ///< the publication prints this many decimals
    OwnTolerance,      ///< the publication states the tolerance
    FiniteSignal,      ///< a recording of finite length and random content
    SeededRandomness,  ///< a seeded draw of finite size
};

/// True when both values are finite and at most `tolerance` apart, in the unit of the values.
///
/// doctest::Approx is relative and therefore wrong for decibels; use CHECK(near(...)) instead.
inline bool near(double computed, double expected, double tolerance, Because) {
    const bool holds = std::isfinite(computed) && std::abs(computed - expected) <= tolerance;
    if (!holds) {
        MESSAGE("computed ", computed, ", expected ", expected, " within ", tolerance);
    }
    return holds;
}

}  // namespace earbudget::test
