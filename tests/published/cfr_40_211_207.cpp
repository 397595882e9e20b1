// 40 CFR 211.207, Computation of the noise reduction rating, with the example of its figure 2.
#include <array>
#include <cmath>
#include <random>

#include <doctest/doctest.h>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/protection/rating_from_octaves.hpp"
#include "support/near.hpp"
#include "support/random_protector.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

struct BandRow {
    OctaveBand band;
    double mean;
    double deviation;
    double protected_level;  // as printed, dB(A)
};

// Figure 2. At 4 and 8 kHz the data of the octave band itself; those beside it stand below.
constexpr std::array<BandRow, 7> figure_2 = {{{OctaveBand::Hz125, 21, 3.7, 70.3},
                                              {OctaveBand::Hz250, 22, 3.3, 76.0},
                                              {OctaveBand::Hz500, 23, 3.8, 81.4},
                                              {OctaveBand::Hz1000, 29, 4.7, 80.4},
                                              {OctaveBand::Hz2000, 41, 3.3, 66.8},
                                              {OctaveBand::Hz4000, 47, 3.4, 62.7},
                                              {OctaveBand::Hz8000, 36, 6.5, 73.0}}};

OctaveAttenuation example() {
    OctaveAttenuation attenuation;
    for (const BandRow& row : figure_2)
        attenuation.set(row.band, LevelDifference(row.mean), LevelDifference(row.deviation));
    attenuation.set(ExtraBand::Hz3150, {LevelDifference(43), LevelDifference(3.3)});
    attenuation.set(ExtraBand::Hz6300, {LevelDifference(41), LevelDifference(6.1)});
    return attenuation;
}

// A protector that lets through one band alone, so that its protected level can be read.
double protected_level(OctaveBand band, OctaveAttenuation attenuation) {
    for (const BandRow& row : figure_2) {
        if (row.band == band) continue;
        attenuation.set(row.band, LevelDifference(400), LevelDifference(0));
    }
    if (band != OctaveBand::Hz4000) {
        attenuation.set(ExtraBand::Hz3150, {LevelDifference(400), LevelDifference(0)});
    }
    if (band != OctaveBand::Hz8000) {
        attenuation.set(ExtraBand::Hz6300, {LevelDifference(400), LevelDifference(0)});
    }
    return 107.9 - 3.0 - compute_nrr(attenuation).dB();
}

}  // namespace

TEST_CASE("40 CFR 211.207, figure 2: NRR 19.8, stated as 20") {
    CHECK(near(compute_nrr(example()).dB(), 19.8, 0.05, Because::PrintedRounding));
    CHECK(near(107.9 - 3.0 - compute_nrr(example()).dB(), 85.1, 0.05, Because::PrintedRounding));
    CHECK(rounded_as_nrr_label(compute_nrr(example())).dB() == 20.0);
}

TEST_CASE("40 CFR 211.207, figure 2: the protected level of each band as printed") {
    for (const BandRow& row : figure_2) {
        CAPTURE(name_of(row.band));
        CHECK(near(protected_level(row.band, example()), row.protected_level, 0.0501,
                   Because::PrintedRounding));
    }
}

TEST_CASE("40 CFR 211.207, figure 2: the noise has 107.9 dB(C) together (derived)") {
    OctaveLevelsZ noise;
    for (const BandRow& row : figure_2)
        noise.set(row.band, LevelZ(100.0));
    CHECK(near(c_weighted(noise).sum()->dB(), 107.9, 0.1, Because::PrintedRounding));
}

TEST_CASE(
    "without 3150 and 6300 Hz the octave band stands alone, with the same values it is equal") {
    OctaveAttenuation alone;
    for (const BandRow& row : figure_2)
        alone.set(row.band, LevelDifference(row.mean), LevelDifference(row.deviation));
    CHECK(near(protected_level(OctaveBand::Hz1000, alone), 80.4, 0.05, Because::PrintedRounding));
    OctaveAttenuation repeated = alone;
    repeated.set(ExtraBand::Hz3150, {LevelDifference(47), LevelDifference(3.4)});
    repeated.set(ExtraBand::Hz6300, {LevelDifference(36), LevelDifference(6.5)});
    CHECK(near(compute_nrr(repeated).dB(), compute_nrr(alone).dB(), 1e-9, Because::Arithmetic));
    CHECK(std::abs(compute_nrr(example()).dB() - compute_nrr(alone).dB()) > 0.01);
}

TEST_CASE("63 Hz does not count in an NRR") {
    OctaveAttenuation with_63_Hz = example();
    with_63_Hz.set(OctaveBand::Hz63, LevelDifference(0), LevelDifference(9));
    CHECK(compute_nrr(with_63_Hz) == compute_nrr(example()));
}

TEST_CASE("an NRR is stated to the nearest whole decibel, halves downwards") {
    const std::array<std::array<double, 2>, 8> rows = {{{19.8, 20},
                                                        {19.5, 19},
                                                        {19.51, 20},
                                                        {19.49, 19},
                                                        {20.5, 20},
                                                        {0.5, 0},
                                                        {-0.5, -1},
                                                        {-0.4, 0}}};
    for (const auto& [exact, label] : rows) {
        CAPTURE(exact);
        CHECK(rounded_as_nrr_label(LevelDifference(exact)).dB() == label);
    }
}

TEST_CASE("equal attenuation A without spread gives an NRR of A − 2.0") {
    // The noise has 107.0 dB(A): 107.9 − (107.0 − A) − 3 = A − 2.1 to the printed decimals.
    double energy = 0.0;
    for (const BandRow& row : figure_2)
        energy += std::pow(10.0, (100.0 + a_weighting(row.band).dB()) / 10.0);
    const double constant = 107.9 - 3.0 - 10.0 * std::log10(energy);
    CHECK(near(constant, -2.1, 0.1, Because::PrintedRounding));
    for (const double A : {0.0, 12.0, 40.0}) {
        CHECK(near(compute_nrr(flat_attenuation(A)).dB(), A + constant, 1e-9, Because::Arithmetic));
    }
}

TEST_CASE("more attenuation never lowers the NRR, more spread never raises it, in any band") {
    std::mt19937 random(40);
    std::uniform_real_distribution<double> more(0.1, 12.0);
    for (int round = 0; round < 300; ++round) {
        OctaveAttenuation attenuation = random_attenuation(random);
        if (round % 2 == 0) {
            for (const ExtraBand band : extra_bands)
                attenuation.set(band, {LevelDifference(25.0), LevelDifference(3.0)});
        }
        const LevelDifference before = compute_nrr(attenuation);
        const LevelDifference step(more(random));
        for (const BandRow& row : figure_2) {
            const LevelDifference mean = attenuation.mean(row.band);
            const LevelDifference deviation = attenuation.deviation(row.band);
            OctaveAttenuation raised = attenuation;
            raised.set(row.band, mean + step, deviation);
            CHECK(compute_nrr(raised) > before);
            OctaveAttenuation spread = attenuation;
            spread.set(row.band, mean, deviation + step);
            CHECK(compute_nrr(spread) < before);
        }
        for (const ExtraBand band : extra_bands) {
            if (!attenuation.at(band)) continue;
            const auto [mean, deviation] = *attenuation.at(band);
            OctaveAttenuation raised = attenuation;
            raised.set(band, {mean + step, deviation});
            CHECK(compute_nrr(raised) > before);
            OctaveAttenuation spread = attenuation;
            spread.set(band, {mean, deviation + step});
            CHECK(compute_nrr(spread) < before);
        }
    }
}
