// ISO 4869-2, Acoustics — Hearing protectors — Estimation of effective A-weighted sound pressure
// levels when hearing protectors are worn.
#include <cmath>
#include <random>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/acoustics/normal_distribution.hpp"
#include "earbudget/protection/method.hpp"
#include "earbudget/protection/protection_performance.hpp"
#include "earbudget/protection/ratings.hpp"
#include "support/near.hpp"
#include "support/random_protector.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("ISO 4869-2, table 1: α by protection performance (memory)") {
    const std::vector<std::pair<double, double>> rows = {{75, 0.67}, {80, 0.84}, {84, 1.00},
                                                         {85, 1.04}, {90, 1.28}, {95, 1.64}};
    for (const auto& [percent, alpha] : rows) {
        CHECK(ProtectionPerformance(percent).alpha() == alpha);
        // 84 % is 0.9945 and tabled as 1.00, the others are printed to two decimals.
        CHECK(near(normal_quantile(percent / 100.0), alpha, 0.006, Because::PrintedRounding));
    }
}

TEST_CASE("a performance that is not tabled takes the normal quantile and lies between") {
    CHECK(near(ProtectionPerformance(50).alpha(), 0.0, 1e-9, Because::Arithmetic));
    CHECK(near(ProtectionPerformance(97.5).alpha(), 1.95996, 1e-5, Because::Arithmetic));
    CHECK(ProtectionPerformance(82).alpha() > ProtectionPerformance(80).alpha());
    CHECK(ProtectionPerformance(82).alpha() < ProtectionPerformance(84).alpha());
}

TEST_CASE(
    "ISO 4869-2, clauses 7 and 8: equal attenuation A gives H, M, L of A and SNR of A + 1.5") {
    // The regression weights of each four noises sum to zero but for the 0.01 of their printed
    // decimals, which leaves 0.005 dB for each dB of attenuation; pink noise of 100 dB(C) has
    // 98.5 dB(A).
    for (const double A : {5.0, 15.0, 25.0}) {
        const OctaveAttenuation flat = flat_attenuation(A);
        const Hml hml = compute_hml(flat, 1.0);
        CHECK(near(hml.H.dB(), A, 0.15, Because::PrintedRounding));
        CHECK(near(hml.M.dB(), A, 0.15, Because::PrintedRounding));
        CHECK(near(hml.L.dB(), A, 0.15, Because::PrintedRounding));
        CHECK(near(compute_snr(flat, 1.0).dB(), A + 1.5, 0.1, Because::PrintedRounding));
    }
}

TEST_CASE("ISO 4869-2, clause 7: H at LC − LA = −2 dB, M at 2 dB, L at 10 dB") {
    const Hml hml{LevelDifference(32), LevelDifference(27), LevelDifference(20)};
    const auto reduction = [&](double d) { return reduction_by_hml(LevelDifference(d), hml).dB(); };
    CHECK(near(reduction(-2.0), 32.0, 1e-9, Because::Arithmetic));
    CHECK(near(reduction(2.0), 27.0, 1e-9, Because::Arithmetic));
    CHECK(near(reduction(10.0), 20.0, 1e-9, Because::Arithmetic));
    CHECK(near(reduction(0.0), 29.5, 1e-9, Because::Arithmetic));
    CHECK(near(reduction(6.0), 23.5, 1e-9, Because::Arithmetic));
}

TEST_CASE("the HML method follows the octave-band method over plausible protectors and sounds") {
    // The reference noises were made so that the regression holds; for random sounds between
    // LC − LA of −2 and 10 dB the two methods stay a few decibels apart and agree on average.
    std::mt19937 random(7);
    double sum = 0.0;
    double squares = 0.0;
    int count = 0;
    for (int round = 0; round < 4000; ++round) {
        const OctaveAttenuation attenuation = random_attenuation(random);
        const OctaveLevelsZ sound = random_octaves(random);
        const LevelA LA = *a_weighted(sound).sum();
        const LevelC LC = *c_weighted(sound).sum();
        const LevelDifference spread = c_minus_a(LC, LA);
        if (spread < LevelDifference(-2.0) || spread > LevelDifference(10.0)) continue;
        const LevelA by_bands = level_by_octave_bands(a_weighted(sound), attenuation, 1.0);
        const LevelA by_hml = LA - reduction_by_hml(spread, compute_hml(attenuation, 1.0));
        const double apart = (by_hml - by_bands).dB();
        sum += apart;
        squares += apart * apart;
        ++count;
    }
    REQUIRE(count > 1000);
    CHECK(near(sum / count, 0.0, 0.8, Because::SeededRandomness));
    CHECK(near(std::sqrt(squares / count), 1.0, 1.0, Because::SeededRandomness));
}

TEST_CASE("more attenuation in one band never lowers a rating") {
    std::mt19937 random(8);
    for (int round = 0; round < 500; ++round) {
        OctaveAttenuation attenuation = random_attenuation(random);
        const double before = compute_snr(attenuation, 1.0).dB();
        const OctaveBand band = octave_bands[1 + static_cast<std::size_t>(round) % 8];
        attenuation.set(band, attenuation.mean(band) + LevelDifference(5.0),
                        attenuation.deviation(band));
        CHECK(compute_snr(attenuation, 1.0).dB() >= before);
    }
}

TEST_CASE("labels state whole decibels, halves upwards") {
    CHECK(rounded_as_label(LevelDifference(28.4)).dB() == 28.0);
    CHECK(rounded_as_label(LevelDifference(28.5)).dB() == 29.0);
}
