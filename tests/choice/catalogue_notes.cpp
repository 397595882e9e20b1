// What looks mistyped in a catalogue.
#include <functional>
#include <utility>

#include <doctest/doctest.h>

#include "day/label_protector.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("each typing error gets its note") {
    using Spoil = std::function<void(Protector&)>;
    const std::vector<std::pair<std::string, Spoil>> mistakes = {
        {"sd-zero", [](Protector& p) { set_deviation(p, OctaveBand::Hz500, 0.0); }},
        {"mean-dips", [](Protector& p) { set_mean(p, OctaveBand::Hz1000, 2.8); }},
        {"mean-stands-out", [](Protector& p) { set_mean(p, OctaveBand::Hz500, 62.0); }},
        {"mean-falls", [](Protector& p) { set_mean(p, OctaveBand::Hz8000, 3.4); }},
        {"unit-of-mean", [](Protector& p) { set_all(p, 0.97, 4.0); }},
        {"unit-of-sd", [](Protector& p) { set_all(p, 25.0, 0.8); }},
        {"mean-too-high", [](Protector& p) { set_all(p, 75.0, 4.0); }},
        {"sd-above-mean", [](Protector& p) { set_deviation(p, OctaveBand::Hz125, 25.0); }},
        {"unit-of-rating", [](Protector& p) { p.ratings.SNR = decibels(0.31); }},
        {"rating-too-high", [](Protector& p) { p.ratings.NRR_SF = decibels(71); }},
        {"H-M-L-order", [](Protector& p) { std::swap(p.ratings.H, p.ratings.L); }},
        {"H-M-L-order", [](Protector& p) { std::swap(p.ratings.H, p.ratings.M); }},
        {"SNR-below-M", [](Protector& p) { p.ratings.SNR = *p.ratings.M - decibels(1); }},
        {"SNR-above-H", [](Protector& p) { p.ratings.SNR = *p.ratings.H + decibels(4); }},
        {"NRR-above-SNR", [](Protector& p) { std::swap(p.ratings.NRR, p.ratings.SNR); }},
        {"PAR-in-catalogue", [](Protector& p) { p.ratings.PAR = decibels(24); }},
        {"no-octave-data", [](Protector& p) { p.octave.reset(); }},
        {"bands-missing", [](Protector& p) { p.octave = OctaveAttenuation(); }},
    };
    for (const auto& [code, spoil] : mistakes) {
        CAPTURE(code);
        Protector protector = sound_protector();
        spoil(protector);
        CHECK(codes(check(protector)).contains(code));
    }
}

TEST_CASE("notes name the bands and the numbers that they are about") {
    Protector protector = sound_protector();
    set_deviation(protector, OctaveBand::Hz250, 0.0);
    set_deviation(protector, OctaveBand::Hz4000, 0.0);
    CHECK(says(check(protector), "sd-zero", "250, 4000 Hz"));
    protector = sound_protector();
    protector.ratings.SNR = decibels(72);
    CHECK(says(check(protector), "rating-apart", "SNR 72 for 26 (+46 dB; with its digits swapped"));
    protector.ratings.SNR = decibels(35);
    CHECK_FALSE(says(check(protector), "rating-apart", "digits swapped"));
    protector = sound_protector();
    protector.ratings.NRR = decibels(30);
    CHECK(says(check(protector), "rating-apart", "3150 and 6300 Hz"));
    for (const ExtraBand band : extra_bands)
        protector.octave->set(band, {decibels(33), decibels(4)});
    CHECK_FALSE(says(check(protector), "rating-apart", "3150 and 6300 Hz"));
    protector.octave->set(ExtraBand::Hz6300, {decibels(3.3), decibels(4)});
    CHECK(says(check(protector), "mean-dips", "6300 Hz"));
}

TEST_CASE("ordinary shapes are no typing errors") {
    // An earmuff's resonance and the bone-conduction dip at 2 kHz stay below 10 dB.
    Protector muff = sound_protector();
    const std::vector<double> means = {14.2, 16.1, 22.4, 30.2, 38.1, 31.0, 37.9, 36.1};
    for (std::size_t i = 0; i < means.size(); ++i)
        muff.octave->set(octave_bands[i + 1], decibels(means[i]), decibels(3.0));
    muff.ratings = check(muff).computed;
    CHECK(check(muff).notes.empty());
    // A protector that lets high frequencies through has H below M in its data too.
    Protector falling = sound_protector();
    const std::vector<double> flat = {30, 30, 30, 30, 30, 30.5, 30.5, 30.5};
    for (std::size_t i = 0; i < flat.size(); ++i)
        falling.octave->set(octave_bands[i + 1], decibels(flat[i]), decibels(i < 4 ? 3.0 : 9.0));
    falling.ratings = check(falling).computed;
    REQUIRE(*falling.ratings.H < *falling.ratings.L);
    CHECK_FALSE(codes(check(falling)).contains("H-M-L-order"));
    falling.ratings.H = *falling.ratings.H - decibels(9);
    CHECK(codes(check(falling)).contains("H-M-L-order"));
}
