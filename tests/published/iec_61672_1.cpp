// IEC 61672-1:2013, Electroacoustics – Sound level meters – Part 1: Specifications: weightings.
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include <doctest/doctest.h>

#include "earbudget/acoustics/bands.hpp"
#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

constexpr double no_limit = std::numeric_limits<double>::infinity();

// Table 3: nominal frequency in Hz, design-goal weightings in dB and class 1 limits around them.
// From memory; the weightings agree with the design curve to their last digit. Row n stands for
// 10^((10 + n)/10) Hz.
struct WeightingRow {
    double nominal, a, c, above, below;

    [[nodiscard]] bool allows(double weighting, double goal) const {
        return weighting <= goal + above && weighting >= goal - below;
    }
};

constexpr std::array<WeightingRow, 34> table_3 = {{
    {10, -70.4, -14.3, 3.0, no_limit}, {12.5, -63.4, -11.2, 2.5, no_limit},
    {16, -56.7, -8.5, 2.0, 4.0},       {20, -50.5, -6.2, 2.0, 2.0},
    {25, -44.7, -4.4, 2.0, 1.5},       {31.5, -39.4, -3.0, 1.5, 1.5},
    {40, -34.6, -2.0, 1.0, 1.0},       {50, -30.2, -1.3, 1.0, 1.0},
    {63, -26.2, -0.8, 1.0, 1.0},       {80, -22.5, -0.5, 1.0, 1.0},
    {100, -19.1, -0.3, 1.0, 1.0},      {125, -16.1, -0.2, 1.0, 1.0},
    {160, -13.4, -0.1, 1.0, 1.0},      {200, -10.9, 0.0, 1.0, 1.0},
    {250, -8.6, 0.0, 1.0, 1.0},        {315, -6.6, 0.0, 1.0, 1.0},
    {400, -4.8, 0.0, 1.0, 1.0},        {500, -3.2, 0.0, 1.0, 1.0},
    {630, -1.9, 0.0, 1.0, 1.0},        {800, -0.8, 0.0, 1.0, 1.0},
    {1000, 0.0, 0.0, 0.7, 0.7},        {1250, 0.6, 0.0, 1.0, 1.0},
    {1600, 1.0, -0.1, 1.0, 1.0},       {2000, 1.2, -0.2, 1.0, 1.0},
    {2500, 1.3, -0.3, 1.0, 1.0},       {3150, 1.2, -0.5, 1.0, 1.0},
    {4000, 1.0, -0.8, 1.0, 1.0},       {5000, 0.5, -1.3, 1.5, 1.5},
    {6300, -0.1, -2.0, 1.5, 2.0},      {8000, -1.1, -3.0, 1.5, 2.5},
    {10000, -2.5, -4.4, 2.0, 3.0},     {12500, -4.3, -6.2, 2.0, 5.0},
    {16000, -6.6, -8.5, 2.5, 16.0},    {20000, -9.3, -11.2, 3.0, no_limit},
}};

double exact_frequency(int row) { return std::pow(10.0, (10.0 + row) / 10.0); }

double rounded(double decibels) { return std::round(decibels * 10.0) / 10.0; }

/// What a meter makes of a tone, relative to the tone's own level, dB.
struct Weighted {
    double hertz, a, c, z;

    [[nodiscard]] double deviation_of_a() const { return a - a_weighting(Frequency(hertz)).dB(); }
    [[nodiscard]] double deviation_of_c() const { return c - c_weighting(Frequency(hertz)).dB(); }
};

/// A tone near `hertz`, of whole cycles in the time that it lasts.
Weighted weighted_tone(double hertz, double rate) {
    const double seconds = hertz < 50.0 ? 2.0 : 0.4;
    const double whole = std::round(hertz * seconds) / seconds;
    const auto reading = reading_of(sine(whole, 0.5, seconds, rate), rate);
    const double tone = 20.0 * std::log10(0.5);
    return {whole, reading.A->dB() - tone, reading.C->dB() - tone, reading.Z->dB() - tone};
}

/// The largest deviation from the design curve and where it was.
struct Worst {
    double decibels = 0.0;
    double hertz = 0.0;

    void take(double deviation, double at) {
        if (std::abs(deviation) <= std::abs(decibels)) return;
        decibels = deviation;
        hertz = at;
    }
};

}  // namespace

TEST_CASE("IEC 61672-1, table 3: the design curve at exact frequencies rounds to what is printed") {
    int row = 0;
    for (const WeightingRow& printed : table_3) {
        CAPTURE(printed.nominal);
        const Frequency f(exact_frequency(row++));
        CHECK(near(printed.nominal / f.Hz(), 1.0, 0.02, Because::PrintedRounding));
        CHECK(near(rounded(a_weighting(f).dB()), printed.a, 1e-9, Because::Arithmetic));
        CHECK(near(rounded(c_weighting(f).dB()), printed.c, 1e-9, Because::Arithmetic));
    }
    CHECK(row == 34);
}

TEST_CASE("IEC 61672-1, table 3: the weightings of octave bands are the printed ones") {
    std::size_t bands = 0;
    for (const WeightingRow& printed : table_3) {
        const auto band = octave_band_named(Frequency(printed.nominal));
        if (!band) continue;
        CHECK(near(a_weighting(*band).dB(), printed.a, 1e-9, Because::Arithmetic));
        CHECK(near(c_weighting(*band).dB(), printed.c, 1e-9, Because::Arithmetic));
        ++bands;
    }
    CHECK(bands == octave_band_count);
}

TEST_CASE("IEC 61672-1, table 3 and annex E: A, C and Z of tones at four sampling rates") {
    std::size_t in_class_1 = 0, on_curve = 0;
    for (const double rate : {44100.0, 48000.0, 96000.0, 192000.0}) {
        CAPTURE(rate);
        Worst a, c, z;
        // Octaves from 10 Hz are enough where a tone has many samples.
        for (int row = 0; row <= 40; row += rate > 50000.0 ? 3 : 1) {
            const double hertz = exact_frequency(row);
            const auto printed = static_cast<std::size_t>(row);
            const bool within = printed < table_3.size();
            if (hertz > 0.45 * rate && !within) break;
            CAPTURE(hertz);
            const Weighted tone = weighted_tone(hertz, rate);
            if (within) {
                CHECK(table_3[printed].allows(tone.a, table_3[printed].a));
                CHECK(table_3[printed].allows(tone.c, table_3[printed].c));
                CHECK(table_3[printed].allows(tone.z, 0.0));
                ++in_class_1;
            }
            if (tone.hertz > 0.45 * rate) continue;
            a.take(tone.deviation_of_a(), tone.hertz);
            c.take(tone.deviation_of_c(), tone.hertz);
            z.take(tone.z, tone.hertz);
            ++on_curve;
        }
        const Weighted last = weighted_tone(0.45 * rate, rate);
        a.take(last.deviation_of_a(), last.hertz);
        c.take(last.deviation_of_c(), last.hertz);
        z.take(last.z, last.hertz);
        MESSAGE(rate, " Hz: at worst A ", a.decibels, " dB at ", a.hertz, " Hz, C ", c.decibels,
                " at ", c.hertz, ", Z ", z.decibels, " at ", z.hertz);
        for (const Worst& worst : {a, c, z})
            CHECK(near(worst.decibels, 0.0, 0.1, Because::OwnTolerance));
    }
    CHECK(in_class_1 == 2 * 34 + 2 * 12);
    CHECK(on_curve == 33 + 34 + 13 + 14);
}
