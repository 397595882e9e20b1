// Properties of the ratings computed from octave-band data; their publication's own values stand in
// tests/published/iso_4869_2.cpp.
#include "earbudget/protection/ratings.hpp"

#include <algorithm>
#include <random>

#include <doctest/doctest.h>

#include "earbudget/protection/rating_from_octaves.hpp"
#include "support/near.hpp"
#include "support/random_protector.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

constexpr double alpha = 1.0;  // of 84 %

std::vector<OctaveBand> bands_of(const OctaveAttenuation& attenuation) {
    std::vector<OctaveBand> bands;
    for (const OctaveBand band : octave_bands) {
        if (attenuation.has(band)) bands.push_back(band);
    }
    return bands;
}

OctaveAttenuation raised(OctaveAttenuation attenuation, OctaveBand band, double mean,
                         double deviation) {
    attenuation.set(band, attenuation.mean(band) + LevelDifference(mean),
                    attenuation.deviation(band) + LevelDifference(deviation));
    return attenuation;
}

}  // namespace

TEST_CASE("more attenuation in any band from 125 Hz raises the SNR, more spread lowers it") {
    std::mt19937 random(8);
    std::uniform_real_distribution<double> more(0.1, 12.0);
    for (int round = 0; round < 500; ++round) {
        const OctaveAttenuation attenuation = random_attenuation(random);
        const LevelDifference before = compute_snr(attenuation, alpha);
        const double step = more(random);
        for (const OctaveBand band : bands_of(attenuation)) {
            if (band == OctaveBand::Hz63) continue;
            CHECK(compute_snr(raised(attenuation, band, step, 0.0), alpha) > before);
            CHECK(compute_snr(raised(attenuation, band, 0.0, step), alpha) < before);
        }
    }
}

TEST_CASE("H, M and L are regressions: a better band can lower them, by little") {
    // H reads its line at LC − LA = −2 dB, where the noise with the most low frequencies counts
    // with 0.25 − 0.48·1.56 < 0: more attenuation at 125 or 250 Hz always lowers it. M and L
    // have such a noise too. Over random protectors the fall for 5 dB more stays below the bounds.
    std::mt19937 random(81);
    double fall_H = 0.0;
    double fall_M = 0.0;
    double fall_L = 0.0;
    for (int round = 0; round < 2000; ++round) {
        const OctaveAttenuation attenuation = random_attenuation(random);
        const Hml before = compute_hml(attenuation, alpha);
        for (const OctaveBand band : bands_of(attenuation)) {
            const Hml after = compute_hml(raised(attenuation, band, 5.0, 0.0), alpha);
            if (band == OctaveBand::Hz63) {
                CHECK(after == before);
                continue;
            }
            if (band <= OctaveBand::Hz250) CHECK(after.H < before.H);
            if (band >= OctaveBand::Hz1000) CHECK(after.H > before.H);
            if (band >= OctaveBand::Hz250) CHECK(after.M > before.M);
            if (band <= OctaveBand::Hz500) CHECK(after.L > before.L);
            fall_H = std::max(fall_H, (before.H - after.H).dB());
            fall_M = std::max(fall_M, (before.M - after.M).dB());
            fall_L = std::max(fall_L, (before.L - after.L).dB());
        }
    }
    CHECK(near(fall_H, 0.2, 0.1, Because::SeededRandomness));
    CHECK(near(fall_M, 0.02, 0.02, Because::SeededRandomness));
    CHECK(near(fall_L, 0.03, 0.03, Because::SeededRandomness));
}

TEST_CASE("all bands better by x: M, L, SNR and NRR rise by x, H by 0.9952·x") {
    // The weights d of the noises for M and L sum to 0, those for H to 0.01.
    std::mt19937 random(82);
    for (int round = 0; round < 200; ++round) {
        const OctaveAttenuation attenuation = random_attenuation(random);
        OctaveAttenuation better = attenuation;
        for (const OctaveBand band : bands_of(attenuation))
            better = raised(better, band, 7.0, 0.0);
        const Hml before = compute_hml(attenuation, alpha);
        const Hml after = compute_hml(better, alpha);
        const auto rise = [](LevelDifference a, LevelDifference b) { return (b - a).dB(); };
        CHECK(near(rise(before.M, after.M), 7.0, 1e-9, Because::Arithmetic));
        CHECK(near(rise(before.L, after.L), 7.0, 1e-9, Because::Arithmetic));
        CHECK(near(rise(before.H, after.H), 7.0 * (1.0 - 0.48 * 0.01), 1e-9, Because::Arithmetic));
        CHECK(near(rise(compute_snr(attenuation, alpha), compute_snr(better, alpha)), 7.0, 1e-9,
                   Because::Arithmetic));
        CHECK(near(rise(compute_nrr(attenuation), compute_nrr(better)), 7.0, 1e-9,
                   Because::Arithmetic));
    }
}

TEST_CASE("equal attenuation above 28 dB: H falls behind by the coefficients' 0.01·0.48·A") {
    for (const double A : {28.0, 35.0, 45.0, 60.0}) {
        const Hml hml = compute_hml(flat_attenuation(A), alpha);
        CAPTURE(A);
        CHECK(near(hml.M.dB(), A, 0.15, Because::PrintedRounding));
        CHECK(near(hml.L.dB(), A, 0.15, Because::PrintedRounding));
        CHECK(near(hml.H.dB(), A - 0.01 * 0.48 * A, 0.15, Because::PrintedRounding));
    }
}

TEST_CASE("what was measured at 3150 and 6300 Hz changes the NRR alone") {
    std::mt19937 random(83);
    for (int round = 0; round < 50; ++round) {
        const OctaveAttenuation plain = random_attenuation(random);
        OctaveAttenuation more = plain;
        more.set(ExtraBand::Hz3150, {LevelDifference(3.0), LevelDifference(9.0)});
        more.set(ExtraBand::Hz6300, {LevelDifference(3.0), LevelDifference(9.0)});
        CHECK(more.bands() == plain.bands());
        CHECK(compute_snr(more, alpha) == compute_snr(plain, alpha));
        CHECK(compute_hml(more, alpha).H == compute_hml(plain, alpha).H);
        CHECK(compute_hml(more, alpha).M == compute_hml(plain, alpha).M);
        CHECK(compute_hml(more, alpha).L == compute_hml(plain, alpha).L);
        CHECK(compute_nrr(more) < compute_nrr(plain));
    }
}
