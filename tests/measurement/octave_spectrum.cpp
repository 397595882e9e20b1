#include <cmath>

#include <doctest/doctest.h>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/measurement/spectrum/spectrum_meter.hpp"
#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

/// Equal mean square in every bin up to 24 kHz.
PowerSpectrum flat_spectrum() { return {Frequency(1.5), std::vector<double>(16001, 1e-4)}; }

}  // namespace

TEST_CASE("A bin across an edge counts by the part inside") {
    const auto spectrum = flat_spectrum();
    const auto bins = [&](double from, double to) {
        return band_mean_square(spectrum, Frequency(from), Frequency(to)) / 1e-4;
    };
    CHECK(near(bins(150.0, 300.0), 100.0, 1e-9, Because::Arithmetic));
    CHECK(near(bins(150.3, 150.6), 0.2, 1e-9, Because::Arithmetic));
    CHECK(near(bins(149.0, 151.0), 2.0 / 1.5, 1e-9, Because::Arithmetic));
    CHECK(near(bins(100.0, 200.0) + bins(200.0, 400.0), bins(100.0, 400.0), 1e-9,
               Because::Arithmetic));
}

TEST_CASE("Octave bands cover the spectrum between them without gap or overlap") {
    const auto spectrum = flat_spectrum();
    double sum = 0.0;
    for (const OctaveBand band : octave_bands) {
        sum += band_mean_square(spectrum, lower_edge(band), upper_edge(band));
    }
    CHECK(near(
        sum,
        band_mean_square(spectrum, lower_edge(OctaveBand::Hz31_5), upper_edge(OctaveBand::Hz16000)),
        1e-9, Because::Arithmetic));
}

TEST_CASE("A-weighted band levels weight each line, not the band's middle") {
    // A line near an edge of the 63 Hz band: the weighting there is over 4 dB from mid-band's.
    PowerSpectrum line{Frequency(1.5), std::vector<double>(16001, 0.0)};
    line.mean_square[57] = 0.5;  // 85.5 Hz
    const auto plain = octave_levels(line, Frequency(48000)).at(OctaveBand::Hz63);
    const auto weighted = octave_levels(line, Frequency(48000), a_weighting).at(OctaveBand::Hz63);
    REQUIRE(plain.has_value());
    REQUIRE(weighted.has_value());
    CHECK(near(plain->dB(), 0.0, 1e-9, Because::Arithmetic));
    CHECK(near((*weighted - *plain).dB(), a_weighting(Frequency(85.5)).dB(), 1e-9,
               Because::Arithmetic));
}

TEST_CASE("Bands that the sampling rate cannot carry are not given") {
    struct Row {
        double rate;
        std::size_t missing;
    };
    // 44.1 and 22.05 kHz keep their highest band by the 2 % of grace.
    constexpr std::array<Row, 8> rows = {{{8000, 3},
                                          {11025, 3},
                                          {16000, 2},
                                          {22050, 1},
                                          {32000, 1},
                                          {44100, 0},
                                          {48000, 0},
                                          {192000, 0}}};
    std::size_t checked = 0;
    for (const Row& row : rows) {
        CAPTURE(row.rate);
        CHECK(bands_above_nyquist(Frequency(row.rate)).count() == row.missing);
        const auto reading = reading_of(white_noise(0.1, 1.0, row.rate), row.rate);
        CHECK(reading.octave.bands() == ~bands_above_nyquist(Frequency(row.rate)));
        CHECK(reading.octave_A.bands() == reading.octave.bands());
        CHECK(reading.above_nyquist == bands_above_nyquist(Frequency(row.rate)));
        ++checked;
    }
    CHECK(checked == rows.size());
}
