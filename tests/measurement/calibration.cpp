#include "earbudget/measurement/calibration/calibration.hpp"

#include <cmath>
#include <limits>
#include <stdexcept>

#include <doctest/doctest.h>

#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("A level re full scale becomes a level in air") {
    const Calibration calibration(LevelZ(120.0));
    CHECK(near(calibration.level<quantity::AWeighted>(LevelFS(-26.0)).dB(), 94.0, 1e-12,
               Because::Arithmetic));
    CHECK(near(calibration.full_scale_level().dB(), 120.0, 0.0, Because::Arithmetic));
}

TEST_CASE("A calibrator of 94 dB recorded at -20 dB makes full scale 114 dB") {
    const auto calibration = Calibration::from_tone(LevelFS(-20.0), LevelZ(94.0));
    CHECK(near(calibration.full_scale_level().dB(), 114.0, 1e-12, Because::Arithmetic));
}

TEST_CASE("50 mV/Pa into 1 V peak: full scale is 14.14 Pa") {
    const auto calibration = Calibration::from_sensitivity(50.0, 1.0);
    const double expected = 20.0 * std::log10(1.0 / std::sqrt(2.0) / 0.05 / 20e-6);
    CHECK(near(calibration.full_scale_level().dB(), expected, 1e-9, Because::Arithmetic));
    CHECK(near(calibration.full_scale_level().dB(), 116.99, 0.005, Because::Arithmetic));
}

TEST_CASE("A calibration from no number is refused") {
    constexpr double infinity = std::numeric_limits<double>::infinity();
    CHECK_THROWS_AS(Calibration(LevelZ(infinity)), std::invalid_argument);
    CHECK_THROWS_AS(Calibration(LevelZ(std::nan(""))), std::invalid_argument);
    CHECK_THROWS_AS((void)Calibration::from_sensitivity(0.0, 1.0), std::invalid_argument);
    CHECK_THROWS_AS((void)Calibration::from_sensitivity(50.0, -1.0), std::invalid_argument);
    CHECK_THROWS_AS((void)Calibration::from_sensitivity(50.0, infinity), std::invalid_argument);
}
