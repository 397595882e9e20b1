// SoX as a witness: what it reads from a sound file has the level that is measured.
#include <cmath>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>
#include <sndfile.h>

#include "files/sound_files.hpp"
#include "measurement/signals.hpp"
#include "support/near.hpp"
#include "support/program.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget;
using namespace earbudget::test;
using nlohmann::json;

namespace {

constexpr double full_scale = 120.0;  // dB, of a sine

/// A line of `sox FILE -n stat`, such as "RMS     amplitude:     0.173205".
double stat(const std::string& text, const std::string& name) {
    const auto place = text.find(name);
    REQUIRE(place != std::string::npos);
    return std::stod(text.substr(text.find(':', place) + 1));
}

/// Unweighted level without the mean, by SoX. Its absence is a failure.
double level_by_sox(const std::string& file) {
    const Outcome outcome = run_other("sox", {file, "-n", "stat"});
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status == 0);
    const double rms = stat(outcome.errors, "RMS     amplitude");
    const double mean = stat(outcome.errors, "Mean    amplitude");
    return full_scale + 10.0 * std::log10((rms * rms - mean * mean) / 0.5);
}

double measured_level(const std::string& file) {
    const Outcome outcome =
        run_program({"measure", file, "--full-scale-level", "120", "--format", "json"});
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status == 0);
    return json::parse(outcome.output)["recordings"][0]["channels"][0]["LZeq_dB"];
}

}  // namespace

TEST_CASE("LZeq of white noise and of a tone is SoX's RMS level, in every format") {
    struct Row {
        const char* name;
        int format;
    };
    const std::vector<Row> sound_formats = {{"8.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_U8},
                                            {"16.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_16},
                                            {"24.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_24},
                                            {"32.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_32},
                                            {"float.wav", SF_FORMAT_WAV | SF_FORMAT_FLOAT},
                                            {"double.wav", SF_FORMAT_WAV | SF_FORMAT_DOUBLE},
                                            {"ulaw.wav", SF_FORMAT_WAV | SF_FORMAT_ULAW},
                                            {"16.aiff", SF_FORMAT_AIFF | SF_FORMAT_PCM_16},
                                            {"24.au", SF_FORMAT_AU | SF_FORMAT_PCM_24},
                                            {"16.flac", SF_FORMAT_FLAC | SF_FORMAT_PCM_16},
                                            {"24.flac", SF_FORMAT_FLAC | SF_FORMAT_PCM_24}};
    const TemporaryFolder folder;
    std::size_t rows = 0;
    for (const int rate : {44100, 48000}) {
        const double hertz = rate;
        const Signal noise = white_noise(0.3, 2.3, hertz);
        // With a constant offset, which is no part of LZeq.
        const Signal tone = sine(997.0, 0.1, 2.3, hertz) + Signal(noise.size(), 0.05);
        for (const Row& row : sound_formats) {
            for (const Signal& signal : {noise, tone}) {
                CAPTURE(rate);
                CAPTURE(row.name);
                const std::string file =
                    write_sound(folder.path(row.name), signal, row.format, 1, rate);
                // SoX prints six decimals, here of 0.07 and more.
                CHECK(near(measured_level(file), level_by_sox(file), 0.02, Because::OwnTolerance));
                ++rows;
            }
        }
    }
    CHECK(rows == 2 * 2 * sound_formats.size());
}

TEST_CASE("a program that is not installed is no outcome to pass with") {
    CHECK(run_other("earbudget-has-no-such-program", {}).status == 127);
}
