#include <cmath>

#include <doctest/doctest.h>

#include "earbudget/measurement/calibration/calibration.hpp"
#include "earbudget/measurement/meters/channel_reading.hpp"
#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

ChannelLevels of(double LAeq, double LCeq) {
    ChannelLevels levels{};
    levels.duration = Seconds(10.0);
    levels.LAeq = LevelA(LAeq);
    levels.LCeq = LevelC(LCeq);
    levels.LAE = ExposureLevelA(LAeq + 10.0);
    return levels;
}

ChannelLevels measured(const Signal& signal) {
    return calibrated(reading_of(signal, 48000), Calibration(LevelZ(120.0)));
}

}  // namespace

// 10 lg(10^(L1/10) − 10^(L2/10)) and its limits: practice of ISO 3744 and ISO 1996-2 (memory).
TEST_CASE("A background is taken off from 3 to 15 dB below the level") {
    struct Row {
        double above, corrected;
        bool changed, bound;
    };
    // The usual table of corrections: 3 dB 3.0, 6 dB 1.3, 10 dB 0.5 (memory); here from the
    // formula.
    constexpr std::array<Row, 8> rows = {{{0.0, 0.0, false, true},
                                          {2.99, 0.0, false, true},
                                          {3.0, -3.0206, true, false},
                                          {6.0, -1.2563, true, false},
                                          {10.0, -0.4576, true, false},
                                          {14.99, -0.1399, true, false},
                                          {15.0, 0.0, false, false},
                                          {40.0, 0.0, false, false}}};
    std::size_t checked = 0;
    for (const Row& row : rows) {
        CAPTURE(row.above);
        ChannelLevels levels = of(90.0, 95.0);
        const auto effect = subtract_background(levels, of(90.0 - row.above, 20.0));
        CHECK(near(levels.LAeq->dB(), 90.0 + row.corrected, 0.0001, Because::PrintedRounding));
        CHECK(near(levels.LAE->dB(), 100.0 + row.corrected, 0.0001, Because::PrintedRounding));
        CHECK(near(levels.LCeq->dB(), 95.0, 0.0, Because::Arithmetic));
        CHECK(effect.corrected == row.changed);
        CHECK(effect.LAeq_is_upper_bound == row.bound);
        CHECK(near(effect.distance->dB(), row.above, 1e-9, Because::Arithmetic));
        CHECK(levels.findings.size() == (row.bound ? 1U : 0U));
        ++checked;
    }
    CHECK(checked == rows.size());
}

TEST_CASE("Taking off a background undoes adding it, in every band that stands clear of it") {
    const Signal sound = white_noise(0.1, 8.0, 48000, 5);
    const Signal hum = sine(60.0, 0.02, 8.0, 48000) + white_noise(0.03, 8.0, 48000, 77);
    const ChannelLevels alone = measured(sound);
    ChannelLevels together = measured(sound + hum);
    const auto effect = subtract_background(together, measured(hum));
    CHECK(effect.corrected);
    // Sound and background are only uncorrelated on average.
    CHECK(near((*together.LAeq - *alone.LAeq).dB(), 0.0, 0.05, Because::FiniteSignal));
    CHECK(near((*together.LZeq - *alone.LZeq).dB(), 0.0, 0.05, Because::FiniteSignal));
    std::size_t bands = 0;
    for (const OctaveBand band : octave_bands) {
        if (band <= OctaveBand::Hz63) continue;
        CAPTURE(name_of(band));
        CHECK(near((*together.octave.at(band) - *alone.octave.at(band)).dB(), 0.0, 0.3,
                   Because::FiniteSignal));
        ++bands;
    }
    CHECK(bands == 8);
    // White noise has little at 63 Hz: there the hum is what was measured.
    CHECK(effect.upper_bounds == std::vector<std::string>{"63 Hz"});
    CHECK(std::ranges::find(effect.upper_bound_thirds, "63 Hz") != effect.upper_bound_thirds.end());
    REQUIRE(together.findings.size() > alone.findings.size());
    CHECK(together.findings.back().code == QualityCode::BackgroundTooClose);
}

TEST_CASE("A corrected level is never above the measured one and falls as the background rises") {
    double before = 90.0;
    for (double above = 15.0; above >= 3.0; above -= 0.25) {
        ChannelLevels levels = of(90.0, 90.0);
        static_cast<void>(subtract_background(levels, of(90.0 - above, 0.0)));
        CHECK(levels.LAeq->dB() <= before);
        before = levels.LAeq->dB();
    }
    CHECK(before < 87.0);
}

TEST_CASE("What the background lacks is left as measured") {
    ChannelLevels levels = of(80.0, 82.0);
    ChannelLevels silent{};
    const auto effect = subtract_background(levels, silent);
    CHECK(!effect.corrected);
    CHECK(effect.upper_bounds.empty());
    CHECK(!effect.distance.has_value());
    CHECK(near(levels.LAeq->dB(), 80.0, 0.0, Because::Arithmetic));
}

TEST_CASE("Levels that methods use together do not contradict each other") {
    // LAeq too close: LCeq 10 dB above would be corrected and LC − LA come out too low.
    ChannelLevels levels = of(80.0, 92.0);
    const auto effect = subtract_background(levels, of(78.0, 82.0));
    CHECK(effect.LAeq_is_upper_bound);
    CHECK(!effect.corrected);
    CHECK(near(levels.LCeq->dB(), 92.0, 0.0, Because::Arithmetic));
    CHECK(effect.upper_bounds == std::vector<std::string>{"LAeq", "LAE", "LCeq"});

    // LCeq too close: LZeq stays above it; LAeq is corrected all the same.
    levels = of(80.0, 92.0);
    levels.LZeq = LevelZ(92.5);
    ChannelLevels background = of(70.0, 90.0);
    background.LZeq = LevelZ(88.0);
    const auto rumble = subtract_background(levels, background);
    CHECK(near(levels.LAeq->dB(), 80.0 - 0.4576, 0.0001, Because::PrintedRounding));
    CHECK(near(levels.LZeq->dB(), 92.5, 0.0, Because::Arithmetic));
    CHECK(rumble.upper_bounds == std::vector<std::string>{"LCeq", "LZeq"});
}
