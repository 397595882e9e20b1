#include "earbudget/measurement/calibration/calibrator_tone.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include <doctest/doctest.h>

#include "measurement/formats.hpp"
#include "measurement/signals.hpp"
#include "report/words/words.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

constexpr double tone_rate = 48000;

CalibratorToneResult result_of(const Signal& signal, double sample_rate = tone_rate) {
    MemorySource source({signal}, sample_rate, linear_16);
    return find_calibrator_tones(source).front();
}

void check_tone(const CalibratorToneResult& result, double level_dB, double hertz,
                double tolerance_dB = 0.01) {
    const auto* refusal = std::get_if<Finding>(&result);
    if (refusal) MESSAGE(text_of(refusal->says));
    REQUIRE(refusal == nullptr);
    const auto& tone = std::get<CalibratorTone>(result);
    CHECK(near(tone.level.dB(), level_dB, tolerance_dB, Because::OwnTolerance));
    CHECK(near(tone.frequency.Hz(), hertz, 0.2, Because::OwnTolerance));
    CHECK(tone.steady >= Seconds(1.0));
    CHECK(tone.spread <= LevelDifference(0.2));
}

/// Refused as no tone, with these words in the reason.
void check_refused(const CalibratorToneResult& result, const std::string& reason,
                   QualityCode code = QualityCode::CalibrationNotATone) {
    const auto* finding = std::get_if<Finding>(&result);
    REQUIRE(finding != nullptr);
    CAPTURE(text_of(finding->says));
    CHECK(finding->code == code);
    CHECK(text_of(finding->says).find(reason) != std::string::npos);
}

constexpr double level_of_tenth = -20.0;  // a sine of amplitude 0.1

Signal handling_noise(double seconds) {
    Signal noise = white_noise(0.4, seconds, tone_rate, 5);
    for (std::size_t n = 0; n < noise.size(); ++n) {
        noise[n] *= std::exp(-5.0 * std::fmod(static_cast<double>(n) / tone_rate, 0.4));
    }
    return noise;
}

}  // namespace

TEST_CASE(
    "The tone of a calibrator is found at any tone_rate and within 0.7 % of its frequency (IEC "
    "60942:2017)") {
    std::size_t rows = 0;
    for (const double sample_rate : sampling_rates) {
        for (const double hertz : {248.5, 250.0, 251.19, 993.5, 1000.0, 1006.5}) {
            CAPTURE(sample_rate);
            CAPTURE(hertz);
            check_tone(result_of(sine(hertz, 0.1, 3.0, sample_rate, 0.4), sample_rate),
                       level_of_tenth, hertz);
            ++rows;
        }
    }
    CHECK(rows == 48);
}

TEST_CASE("Handling noise before and after the tone is passed over") {
    const Signal recording = followed_by(
        followed_by(handling_noise(1.3), sine(1000, 0.1, 4.0, tone_rate)), handling_noise(0.9));
    const auto result = result_of(recording);
    check_tone(result, level_of_tenth, 1000.0);
    CHECK(std::get<CalibratorTone>(result).steady.count() > 3.5);
}

TEST_CASE("Hum, an offset and room noise beside the tone do not count") {
    Signal recording = sine(1000, 0.1, 4.0, tone_rate) + sine(50, 0.08, 4.0, tone_rate) +
                       white_noise(0.001, 4.0, tone_rate);
    for (double& x : recording)
        x += 0.2;
    check_tone(result_of(recording), level_of_tenth, 1000.0);
}

TEST_CASE("Each channel has its own tone") {
    MemorySource source({sine(1000, 0.1, 3.0, tone_rate), sine(250, 0.2, 3.0, tone_rate),
                         white_noise(0.1, 3.0, tone_rate)},
                        tone_rate);
    const auto results = find_calibrator_tones(source);
    REQUIRE(results.size() == 3);
    check_tone(results[0], level_of_tenth, 1000.0);
    check_tone(results[1], level_of_tenth + 20.0 * std::log10(2.0), 250.0);
    check_refused(results[2], "No calibrator tone");
}

TEST_CASE("What is no calibrator tone is refused with the reason") {
    check_refused(result_of(silence(3.0, tone_rate)), "silence");
    check_refused(result_of(sine(440, 0.1, 3.0, tone_rate)), "at 440.0 Hz");
    check_refused(result_of(sine(1030, 0.1, 3.0, tone_rate)), "at 1030.0 Hz");
    check_refused(result_of(sine(1008, 0.1, 3.0, tone_rate)),
                  "within 0.7 % (IEC 60942:2017, class 1)");
    check_refused(result_of(sine(252.2, 0.1, 3.0, tone_rate)),
                  "within 0.7 % (IEC 60942:2017, class 1)");
    check_refused(result_of(sine(1000, 0.1, 0.9, tone_rate)), "1 s are needed");
    check_refused(result_of(sine(1000, 0.1, 0.1, tone_rate)), "shorter than 0.2 s");
    check_refused(result_of(sine(1000, 0.1, 3.0, tone_rate) + sine(3000, 0.02, 3.0, tone_rate)),
                  "distortion and noise are 20.0 %");
    check_refused(result_of(sine(1000, 0.1, 3.0, tone_rate) + sine(3000, 0.0028, 3.0, tone_rate)),
                  "distortion and noise are 2.8 % of the tone; at most 2.5 %");
    check_tone(result_of(sine(1000, 0.1, 3.0, tone_rate) + sine(3000, 0.0022, 3.0, tone_rate)),
               level_of_tenth, 1000.0);
    check_refused(result_of(sine(1000, 0.1, 3.0, tone_rate) + sine(50, 0.2, 3.0, tone_rate)),
                  "low-frequency noise");
    check_refused(result_of(white_noise(0.3, 5.0, tone_rate)), "No calibrator tone");
}

TEST_CASE("A tone whose level moves is refused") {
    Signal swaying = sine(1000, 0.1, 6.0, tone_rate);
    Signal fading = swaying;
    for (std::size_t n = 0; n < swaying.size(); ++n) {
        const double t = static_cast<double>(n) / tone_rate;
        swaying[n] *= 1.0 + 0.1 * std::sin(2.0 * std::numbers::pi * 0.5 * t);
        fading[n] *= std::pow(10.0, -t / 60.0);  // 2 dB in 6 s
    }
    check_refused(result_of(swaying), "stays within 0.2 dB");
    check_refused(result_of(fading), "stays within 0.2 dB");
}

TEST_CASE("A first try too short to be a calibration is passed over") {
    const Signal recording =
        followed_by(followed_by(sine(1000, 0.09, 0.7, tone_rate), handling_noise(0.5)),
                    sine(1000, 0.1, 4.0, tone_rate));
    check_tone(result_of(recording), level_of_tenth, 1000.0);
}

TEST_CASE("A clipped tone is refused for clipping, clipped handling noise does no harm") {
    Signal clipped = sine(250, 1.4, 3.0, tone_rate);
    for (double& x : clipped)
        x = std::clamp(x, -1.0, 1.0 - step_16);
    check_refused(result_of(clipped), "cut off at full scale", QualityCode::Clipped);

    const Signal knock(2400, 1.0);
    check_tone(result_of(followed_by(knock, sine(1000, 0.1, 4.0, tone_rate))), level_of_tenth,
               1000.0);
}

TEST_CASE("Only the first ten minutes are looked at") {
    MemorySource source({silence(700.0, 8000)}, 8000);
    (void)find_calibrator_tones(source);
    Signal rest(8000, 0.0);
    CHECK(source.read(rest) == 8000);
}

TEST_CASE("Two levels of a calibrator in one recording are refused, whichever lasts longer") {
    const Signal gap = white_noise(0.001, 1.0, tone_rate);
    for (const auto& [first, second] : {std::pair{3.0, 5.0}, std::pair{5.0, 3.0}}) {
        const Signal recording = followed_by(followed_by(sine(1000, 0.1, first, tone_rate), gap),
                                             sine(1000, 0.125, second, tone_rate));
        check_refused(result_of(recording), "second steady tone");
    }
    // A tone that is taken off and put on again at the same level is one calibration.
    check_tone(result_of(followed_by(followed_by(sine(1000, 0.1, 3.0, tone_rate), gap),
                                     sine(1000, 0.1, 2.0, tone_rate))),
               level_of_tenth, 1000.0);
}
