// ISO 4869-2, Acoustics — Hearing protectors — Estimation of effective A-weighted sound pressure
// levels when hearing protectors are worn.
#include <algorithm>
#include <array>
#include <cmath>
#include <random>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/acoustics/frequency_weighting.hpp"
#include "earbudget/acoustics/normal_distribution.hpp"
#include "earbudget/protection/method.hpp"
#include "earbudget/protection/protection_performance.hpp"
#include "earbudget/protection/ratings.hpp"
#include "support/near.hpp"
#include "support/random_protector.hpp"
#include "support/reference_noises.hpp"

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
    for (const double A : {0.0, 5.0, 15.0, 25.0, 28.0}) {
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

TEST_CASE("ISO 4869-2, table 2: each noise has 100 dB(A) and its printed LC − LA (derived)") {
    for (const Noise& noise : table_2) {
        CAPTURE(noise.LC_minus_LA);
        CHECK(near(levels_of(noise).sum()->dB(), 100.0, 0.05, Because::PrintedRounding));
        OctaveLevelsZ unweighted;
        for (std::size_t i = 0; i < 8; ++i) {
            const OctaveBand band = octave_bands[i + 1];
            unweighted.set(band, LevelZ(noise.LA[i] - a_weighting(band).dB()));
        }
        CHECK(near(c_weighted(unweighted).sum()->dB() - 100.0, noise.LC_minus_LA, 0.1,
                   Because::PrintedRounding));
    }
}

TEST_CASE("ISO 4869-2, clause 7: H, M, L from the table as the clause prints the sums") {
    std::mt19937 random(7);
    for (int round = 0; round < 100; ++round) {
        const OctaveAttenuation attenuation = random_attenuation(random);
        std::array<double, 8> pnr{};
        for (std::size_t i = 0; i < 8; ++i)
            pnr[i] = reduction_by_octaves(table_2[i], attenuation);
        double H = 0.0;
        double M = 0.0;
        double L = 0.0;
        for (std::size_t i = 0; i < 4; ++i)
            H += 0.25 * pnr[i] - 0.48 * table_2[i].d * pnr[i];
        for (std::size_t i = 4; i < 8; ++i)
            M += 0.25 * pnr[i] - 0.16 * table_2[i].d * pnr[i];
        for (std::size_t i = 4; i < 8; ++i)
            L += 0.25 * pnr[i] + 0.23 * table_2[i].d * pnr[i];
        const Hml computed = compute_hml(attenuation, 1.0);
        CHECK(near(computed.H.dB(), H, 1e-9, Because::Arithmetic));
        CHECK(near(computed.M.dB(), M, 1e-9, Because::Arithmetic));
        CHECK(near(computed.L.dB(), L, 1e-9, Because::Arithmetic));
    }
}

TEST_CASE("ISO 4869-2, clause 8: SNR from 91.5 dB in each octave band, 100 dB(C) together") {
    OctaveLevelsZ pink;
    for (std::size_t i = 1; i <= 8; ++i)
        pink.set(octave_bands[i], LevelZ(91.5));
    CHECK(near(c_weighted(pink).sum()->dB(), 100.0, 0.05, Because::PrintedRounding));
    std::mt19937 random(71);
    for (int round = 0; round < 100; ++round) {
        const OctaveAttenuation attenuation = random_attenuation(random);
        const LevelA at_ear = level_by_octave_bands(a_weighted(pink), attenuation, 1.0);
        CHECK(near(compute_snr(attenuation, 1.0).dB(), 100.0 - at_ear.dB(), 1e-9,
                   Because::Arithmetic));
    }
}

TEST_CASE("labels state whole decibels, halves upwards") {
    CHECK(rounded_as_label(LevelDifference(28.4)).dB() == 28.0);
    CHECK(rounded_as_label(LevelDifference(28.5)).dB() == 29.0);
    CHECK(!std::signbit(rounded_as_label(LevelDifference(-0.1)).dB()));  // no label says "-0"
}
