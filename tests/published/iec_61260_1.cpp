// IEC 61260-1:2014, Electroacoustics – Octave-band and fractional-octave-band filters – Part 1:
// Specifications: mid-band frequencies and relative attenuation.
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include <doctest/doctest.h>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/measurement/spectrum/spectrum_meter.hpp"
#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

constexpr double no_limit = std::numeric_limits<double>::infinity();

// Table 1, octave-band filters of class 1: attenuation relative to mid-band at G^(±exponent), in
// dB, least and most. Values from memory.
struct MaskPoint {
    double exponent;
    double least, most;

    [[nodiscard]] bool allows(double attenuation) const {
        return attenuation >= least && attenuation <= most;
    }
};

constexpr std::array<MaskPoint, 9> class_1 = {{
    {0.0, -0.4, 0.4},
    {0.125, -0.4, 0.5},
    {0.25, -0.4, 0.7},
    {0.375, -0.4, 1.4},
    {0.5, 2.0, 5.3},
    {1.0, 16.6, no_limit},
    {2.0, 40.5, no_limit},
    {3.0, 60.0, no_limit},
    {4.0, 70.0, no_limit},
}};

const double octave_ratio = std::pow(10.0, 0.3);

constexpr double none_left = 200.0;  // dB
constexpr double amplitude = 0.5;
const double tone_level = 20.0 * std::log10(amplitude);  // re a full-scale sine

/// What a tone is attenuated by when this is left of its mean square.
double attenuation(double mean_square, double of_tone) {
    return mean_square > 0.0 ? -10.0 * std::log10(mean_square / of_tone) : none_left;
}

/// Where the mask for 1/`parts` octave has a point, relative to mid-band (5.10, equations 9 and 10;
/// clause from memory).
double mask_ratio(double exponent, double parts) {
    const double octave = std::pow(octave_ratio, std::abs(exponent));
    const double ratio = 1.0 + (std::pow(octave_ratio, 0.5 / parts) - 1.0) /
                                   (std::pow(octave_ratio, 0.5) - 1.0) * (octave - 1.0);
    return exponent < 0.0 ? 1.0 / ratio : ratio;
}

PowerSpectrum spectrum_of_tone(double hertz, double seconds, double rate) {
    SpectrumMeter meter{Frequency(rate)};
    meter.add(narrow(sine(hertz, amplitude, seconds, rate, 0.7)));
    return meter.finish();
}

/// Holds one band of 1/`parts` octave around `middle` against every point of its mask. `band_level`
/// gives the mean square of a spectrum between two frequencies. Returns the number of points.
template <class BandMeanSquare>
std::size_t check_mask(double middle, double parts, double rate,
                       BandMeanSquare band_mean_square_of) {
    const double half = std::pow(octave_ratio, 0.5 / parts);
    std::size_t points = 0;
    for (const MaskPoint& point : class_1) {
        for (const double sign : {-1.0, 1.0}) {
            const double hertz = middle * mask_ratio(sign * point.exponent, parts);
            const bool again = point.exponent == 0.0 && sign > 0.0;
            if (hertz > 0.49 * rate || again) continue;
            CAPTURE(rate);
            CAPTURE(middle);
            CAPTURE(hertz);
            const PowerSpectrum spectrum = spectrum_of_tone(hertz, hertz < 50.0 ? 3.0 : 0.6, rate);
            const double inside =
                band_mean_square_of(spectrum, Frequency(middle / half), Frequency(middle * half));
            CHECK(point.allows(attenuation(inside, amplitude * amplitude / 2.0)));
            ++points;
        }
    }
    return points;
}

}  // namespace

TEST_CASE("IEC 61260-1, table 1: every octave band meets class 1 at every point of the mask") {
    std::size_t points = 0;
    for (const double rate : {44100.0, 48000.0, 96000.0}) {
        // Tones an eighth of an octave apart fall on the points of all bands' masks.
        for (int eighths = 8 * (-5 - 4); eighths <= 8 * (4 + 4); ++eighths) {
            const double hertz = 1000.0 * std::pow(octave_ratio, eighths / 8.0);
            if (hertz > 0.49 * rate) break;
            // Far below all bands the masks have a point an octave.
            if (eighths < 8 * -5 - 4 && eighths % 8 != 0) continue;
            const double seconds = hertz < 50.0 ? 2.0 : 0.6;
            const auto levels =
                octave_levels(spectrum_of_tone(hertz, seconds, rate), Frequency(rate));
            for (const OctaveBand band : octave_bands) {
                const int from_middle = eighths - 8 * (static_cast<int>(index_of(band)) - 5);
                const auto point =
                    std::ranges::find(class_1, std::abs(from_middle) / 8.0, &MaskPoint::exponent);
                if (point == class_1.end()) continue;
                CAPTURE(rate);
                CAPTURE(name_of(band));
                CAPTURE(hertz);
                const auto level = levels.at(band);
                CHECK(point->allows(level ? tone_level - level->dB() : none_left));
                ++points;
            }
        }
    }
    // 17 points a band but for those above 0.49 of the sampling rate.
    CHECK(points == 3 * 10 * 17 - (4 + 1 + 3 + 2 + 1) - (4 + 3 + 2 + 1) - (3 + 2 + 1));
}

TEST_CASE("IEC 61260-1, table 1: third-octave bands meet class 1 at every point of the mask") {
    const auto of_spectrum = [](const PowerSpectrum& spectrum, Frequency from, Frequency to) {
        return band_mean_square(spectrum, from, to);
    };
    std::size_t points = 0, bands = 0;
    for (int third = -16; third <= 13; ++third) {  // 25 Hz to 20 kHz
        points += check_mask(1000.0 * std::pow(octave_ratio, third / 3.0), 3.0, 48000, of_spectrum);
        ++bands;
    }
    CHECK(bands == 30);
    CHECK(points > 28 * 17);
    for (const double rate : {44100.0, 96000.0}) {
        for (const int third : {-16, 0, 12}) {
            points +=
                check_mask(1000.0 * std::pow(octave_ratio, third / 3.0), 3.0, rate, of_spectrum);
            ++bands;
        }
    }
    CHECK(bands == 36);
}

TEST_CASE("IEC 61260-1, annex E: nominal frequencies stand for the exact ones") {
    constexpr std::array<double, 10> nominal = {31.5, 63,   125,  250,  500,
                                                1000, 2000, 4000, 8000, 16000};
    std::size_t rows = 0;
    for (const OctaveBand band : octave_bands) {
        const double exact = mid_band_frequency(band).Hz();
        CHECK(
            near(nominal_frequency(band).Hz(), nominal[index_of(band)], 0.0, Because::Arithmetic));
        CHECK(near(nominal_frequency(band).Hz() / exact, 1.0, 0.01, Because::PrintedRounding));
        ++rows;
    }
    CHECK(rows == 10);
}
