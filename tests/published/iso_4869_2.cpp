// ISO 4869-2:2018, Acoustics — Hearing protectors — Estimation of effective A-weighted sound
// pressure levels when hearing protectors are worn; where it is said, the edition of 1994.
#include <algorithm>
#include <array>
#include <cmath>
#include <random>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/acoustics/normal_distribution.hpp"
#include "earbudget/protection/method_formulas.hpp"
#include "earbudget/protection/rating_from_octaves.hpp"
#include "earbudget/protection/ratings.hpp"
#include "support/near.hpp"
#include "support/random_protector.hpp"
#include "support/reference_noises.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("ISO 4869-2:2018, table 1: α by protection performance (memory)") {
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

namespace {

/// Mean and standard deviation from 63 Hz to 8 kHz.
OctaveAttenuation attenuation_of(const std::array<double, 8>& mean,
                                 const std::array<double, 8>& deviation) {
    OctaveAttenuation attenuation;
    for (std::size_t i = 0; i < 8; ++i) {
        attenuation.set(octave_bands[i + 1], LevelDifference(mean[i]),
                        LevelDifference(deviation[i]));
    }
    return attenuation;
}

// Annexes A to D: one protector in one noise, all values as printed there.
const OctaveAttenuation printed_protector = attenuation_of(
    {7.4, 10.0, 14.4, 19.6, 22.8, 29.6, 38.8, 34.1}, {3.3, 3.6, 3.6, 4.6, 4.0, 6.2, 7.4, 5.2});
constexpr std::array<double, 8> printed_noise = {75, 84, 86, 88, 97, 99, 97, 96};

OctaveAttenuation from_125_Hz(const OctaveAttenuation& attenuation) {
    OctaveAttenuation without;
    for (const OctaveBand band : octave_bands) {
        if (band == OctaveBand::Hz63 || !attenuation.has(band)) continue;
        without.set(band, attenuation.mean(band), attenuation.deviation(band));
    }
    return without;
}

double to_tenth(double dB) { return std::round(10.0 * dB) / 10.0; }

}  // namespace

TEST_CASE(
    "ISO 4869-2:2018, annex A: the octave-band method gives 81.4 dB, with 63 Hz and without") {
    OctaveLevelsZ noise;
    for (std::size_t i = 0; i < 8; ++i)
        noise.set(octave_bands[i + 1], LevelZ(printed_noise[i]));
    for (const OctaveAttenuation& protector : {printed_protector, from_125_Hz(printed_protector)}) {
        const LevelA at_ear = level_by_octave_bands(a_weighted(noise), protector, alpha_of_labels);
        CHECK(to_tenth(at_ear.dB()) == 81.4);
    }
    // The levels that the other annexes start from.
    CHECK(std::round(a_weighted(noise).sum()->dB()) == 104.0);
    CHECK(std::round(c_weighted(noise).sum()->dB()) == 103.0);
}

TEST_CASE("ISO 4869-2:2018, annexes B and C: H/M/L 24/18/13, and 81.5 dB in LA 104, LC 103 dB") {
    const Hml exact = compute_hml(printed_protector, alpha_of_labels);
    CHECK(rounded_as_label(exact.H).dB() == 24.0);
    CHECK(rounded_as_label(exact.M).dB() == 18.0);
    CHECK(rounded_as_label(exact.L).dB() == 13.0);
    const Hml label{LevelDifference(24), LevelDifference(18), LevelDifference(13)};
    const LevelDifference PNR = reduction_by_hml(c_minus_a(LevelC(103), LevelA(104)), label);
    CHECK(to_tenth((LevelA(104) - PNR).dB()) == 81.5);
    // The edition of 1994 sums from 63 Hz, and comes to another label.
    const Hml of_1994 = compute_hml(printed_protector, alpha_of_labels, RatingEdition::Of1994);
    CHECK(rounded_as_label(of_1994.L).dB() == 12.0);
}

TEST_CASE("ISO 4869-2:2018, annex D: SNR 21, and 82 dB in LC 103 dB") {
    CHECK(near(compute_snr(printed_protector, alpha_of_labels).dB(), 20.73, 0.005,
               Because::PrintedRounding));
    CHECK(rounded_as_label(compute_snr(printed_protector, alpha_of_labels)).dB() == 21.0);
    CHECK(level_by_snr(LevelC(103), LevelDifference(21)).dB() == 82.0);
    CHECK(near(compute_snr(printed_protector, alpha_of_labels, RatingEdition::Of1994).dB(), 21.15,
               0.005, Because::PrintedRounding));
}

TEST_CASE("by 2018 nothing depends on 63 Hz, by 1994 without such a datum only the SNR differs") {
    std::mt19937 random(18);
    for (int round = 0; round < 100; ++round) {
        const OctaveAttenuation whole = random_attenuation(random);
        const OctaveAttenuation without = from_125_Hz(whole);
        CHECK(compute_hml(whole, 1.0) == compute_hml(without, 1.0));
        CHECK(compute_snr(whole, 1.0) == compute_snr(without, 1.0));
        CHECK(compute_hml(without, 1.0, RatingEdition::Of1994) == compute_hml(without, 1.0));
        CHECK(near(
            (compute_snr(without, 1.0, RatingEdition::Of1994) - compute_snr(without, 1.0)).dB(),
            0.5, 1e-9, Because::Arithmetic));
    }
}

TEST_CASE(
    "ISO 4869-2:2018, clauses 7 and 8: equal attenuation A gives H, M, L of A and SNR of A + 1.0") {
    // The regression weights of each four noises sum to zero but for the 0.01 of their printed
    // decimals, which leaves 0.005 dB for each dB of attenuation; 92.0 dB in each octave band from
    // 125 Hz have 98.98 dB(A).
    for (const double A : {0.0, 5.0, 15.0, 25.0, 28.0}) {
        const OctaveAttenuation flat = flat_attenuation(A);
        const Hml hml = compute_hml(flat, 1.0);
        CHECK(near(hml.H.dB(), A, 0.15, Because::PrintedRounding));
        CHECK(near(hml.M.dB(), A, 0.15, Because::PrintedRounding));
        CHECK(near(hml.L.dB(), A, 0.15, Because::PrintedRounding));
        CHECK(near(compute_snr(flat, 1.0).dB(), A + 1.015, 0.01, Because::PrintedRounding));
        CHECK(near(compute_snr(flat, 1.0, RatingEdition::Of1994).dB(), A + 1.513, 0.01,
                   Because::PrintedRounding));
    }
}

TEST_CASE("ISO 4869-2:2018, clause 7: H at LC − LA = −2 dB, M at 2 dB, L at 10 dB") {
    const Hml hml{LevelDifference(32), LevelDifference(27), LevelDifference(20)};
    const auto reduction = [&](double d) { return reduction_by_hml(LevelDifference(d), hml).dB(); };
    CHECK(near(reduction(-2.0), 32.0, 1e-9, Because::Arithmetic));
    CHECK(near(reduction(2.0), 27.0, 1e-9, Because::Arithmetic));
    CHECK(near(reduction(10.0), 20.0, 1e-9, Because::Arithmetic));
    CHECK(near(reduction(0.0), 29.5, 1e-9, Because::Arithmetic));
    CHECK(near(reduction(6.0), 23.5, 1e-9, Because::Arithmetic));
}

TEST_CASE("ISO 4869-2:2018, table 2: each noise has 100 dB(A) and its printed LC − LA (derived)") {
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

TEST_CASE("ISO 4869-2:2018, clause 7: H, M, L from the table as the clause prints the sums") {
    std::mt19937 random(7);
    for (int round = 0; round < 100; ++round) {
        const OctaveAttenuation attenuation = random_attenuation(random);
        std::array<double, 8> pnr{};
        for (std::size_t i = 0; i < 8; ++i)
            pnr[i] = reduction_by_octaves(table_2[i], from_125_Hz(attenuation));
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

TEST_CASE("ISO 4869-2, clause 8: SNR from octave bands of 100 dB(C) together") {
    struct Row {
        RatingEdition edition;
        double level;       // of each octave band
        std::size_t first;  // 63 or 125 Hz
    };
    for (const Row& row : {Row{RatingEdition::Of2018, 92.0, 2}, {RatingEdition::Of1994, 91.5, 1}}) {
        OctaveLevelsZ pink;
        for (std::size_t i = row.first; i <= 8; ++i)
            pink.set(octave_bands[i], LevelZ(row.level));
        CHECK(near(c_weighted(pink).sum()->dB(), 100.0, 0.05, Because::PrintedRounding));
        std::mt19937 random(71);
        for (int round = 0; round < 100; ++round) {
            const OctaveAttenuation attenuation = random_attenuation(random);
            const LevelA at_ear = level_by_octave_bands(a_weighted(pink), attenuation, 1.0);
            CHECK(near(compute_snr(attenuation, 1.0, row.edition).dB(), 100.0 - at_ear.dB(), 1e-9,
                       Because::Arithmetic));
        }
    }
}

TEST_CASE("labels state whole decibels, halves upwards") {
    CHECK(rounded_as_label(LevelDifference(28.4)).dB() == 28.0);
    CHECK(rounded_as_label(LevelDifference(28.5)).dB() == 29.0);
    CHECK(!std::signbit(rounded_as_label(LevelDifference(-0.1)).dB()));  // no label says "-0"
}
