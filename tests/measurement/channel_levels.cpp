
#include <algorithm>
#include <cmath>
#include <set>
#include <string>

#include <doctest/doctest.h>

#include "earbudget/measurement/meters/channel_reading.hpp"
#include "measurement/formats.hpp"
#include "measurement/signals.hpp"
#include "report/words/words.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

ChannelLevels levels_of(const Signal& signal, double rate, double full_scale_dB,
                        std::optional<Quantization> quantization = std::nullopt) {
    MemorySource source({signal}, rate, quantization);
    return calibrated(read_channels(source).front(), Calibration(LevelZ(full_scale_dB)));
}

std::set<std::string> codes(const ChannelLevels& levels) {
    std::set<std::string> result;
    for (const Finding& finding : levels.findings) {
        CHECK(text_of(finding.says).size() > 40);
        result.emplace(name_of(finding.code));
    }
    return result;
}

using Codes = std::set<std::string>;

}  // namespace

TEST_CASE("A clean recording of 10 s has levels and no findings") {
    const Signal noise = white_noise(0.1, 10.0, 48000);
    const auto levels = levels_of(noise, 48000, 114.0, linear_16);
    CHECK(codes(levels) == Codes{});
    REQUIRE(levels.LZeq.has_value());
    const double expected = 114.0 + 10.0 * std::log10(mean_square(noise) / 0.5);
    CHECK(near(levels.LZeq->dB(), expected, 0.001, Because::FiniteSignal));
    CHECK(near(levels.LAE->dB() - levels.LAeq->dB(), 10.0, 1e-9, Because::Arithmetic));
    CHECK(levels.octave.bands().all());
    CHECK(levels.octave_A.bands().all());
}

TEST_CASE("What a card takes is what was measured") {
    const auto levels = levels_of(white_noise(0.1, 3.0, 48000), 48000, 114.0);
    const auto card = levels.sound_levels();
    REQUIRE(card.has_value());
    CHECK(card->LAeq == *levels.LAeq);
    CHECK(card->LCeq == levels.LCeq);
    CHECK(card->LCpeak == levels.LCpeak);
    CHECK(card->LZpeak == levels.LZpeak);
    CHECK(card->octave.bands() == levels.octave.bands());
    CHECK(near((*card->a_weighted_octaves().sum() - card->LAeq).dB(), 0.0, 0.1,
               Because::FiniteSignal));
}

TEST_CASE("Silence gives no level and says so") {
    const auto levels = levels_of(silence(3.0, 48000), 48000, 114.0, linear_16);
    CHECK(codes(levels) == Codes{"near-noise-floor"});
    CHECK(!levels.LAeq.has_value());
    CHECK(!levels.LAE.has_value());
    CHECK(!levels.LCpeak.has_value());
    CHECK(levels.octave.empty());
    CHECK(!levels.sound_levels().has_value());
}

TEST_CASE("A level below -20 dB or above 190 dB is not given") {
    const auto faint = levels_of(sine(1000, 1e-3, 3.0, 48000), 48000, 45.0);
    CHECK(codes(faint) == Codes{"near-noise-floor"});
    CHECK(near(faint.LAeq->dB(), -15.0, 0.01, Because::OwnTolerance));
    CHECK(!faint.octave.has(OctaveBand::Hz31_5));
    CHECK(faint.octave.has(OctaveBand::Hz1000));

    const auto loud = levels_of(sine(1000, 0.5, 3.0, 48000), 48000, 195.0);
    CHECK(codes(loud) == Codes{"level-out-of-range"});
    CHECK(near(loud.LAeq->dB(), 188.98, 0.01, Because::OwnTolerance));
    CHECK(!loud.LCpeak.has_value());
    CHECK(!loud.LAE.has_value());
}

TEST_CASE("A short recording is marked") {
    CHECK(codes(levels_of(white_noise(0.1, 1.9, 48000), 48000, 114.0)) == Codes{"too-short"});
    CHECK(codes(levels_of(white_noise(0.1, 2.0, 48000), 48000, 114.0)) == Codes{});
}

TEST_CASE("A clipped recording is marked, and where it begins to be") {
    Signal signal = sine(100, 2.0, 3.0, 48000);
    for (double& x : signal)
        x = std::clamp(x, -1.0, 1.0 - step_16);
    std::fill(signal.begin(), signal.begin() + 24000, 0.01);
    const auto levels = levels_of(signal, 48000, 114.0, linear_16);
    CHECK(codes(levels) == Codes{"clipped"});
    CHECK(text_of(levels.findings.front().says).find("0.50 s") != std::string::npos);
}

TEST_CASE("Bands above half the sampling rate are named") {
    const auto levels = levels_of(white_noise(0.1, 3.0, 16000), 16000, 114.0);
    CHECK(codes(levels) == Codes{"band-above-nyquist"});
    CHECK(text_of(levels.findings.front().says).find("8000, 16000 Hz") != std::string::npos);
    CHECK(codes(levels_of(white_noise(0.1, 3.0, 44100), 44100, 114.0)) == Codes{});
}

TEST_CASE("A recording close to its own rounding is marked") {
    Signal faint = white_noise(1.5 * step_16, 3.0, 48000);
    for (double& x : faint)
        x = std::round(x / step_16) * step_16;
    CHECK(codes(levels_of(faint, 48000, 140.0, linear_16)) == Codes{"near-noise-floor"});
    CHECK(codes(levels_of(faint, 48000, 140.0)) == Codes{});
}
