// From a recording to levels to a card to a plan, through the whole program.
#include <cmath>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>
#include <sndfile.h>

#include "end_to_end/measured.hpp"
#include "files/sound_files.hpp"
#include "files/study_files.hpp"
#include "measurement/signals.hpp"
#include "support/near.hpp"
#include "support/program.hpp"
#include "support/study_folder.hpp"

using namespace earbudget;
using namespace earbudget::test;
using nlohmann::json;

TEST_CASE("a full-scale sine of 1 kHz measures the stated full-scale level, in every format") {
    struct Row {
        const char* name;
        int format;
    };
    const std::vector<Row> formats = {{"16.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_16},
                                      {"24.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_24},
                                      {"32.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_32},
                                      {"f.wav", SF_FORMAT_WAV | SF_FORMAT_FLOAT},
                                      {"d.wav", SF_FORMAT_WAV | SF_FORMAT_DOUBLE},
                                      {"16.flac", SF_FORMAT_FLAC | SF_FORMAT_PCM_16},
                                      {"24.flac", SF_FORMAT_FLAC | SF_FORMAT_PCM_24},
                                      {"16.aiff", SF_FORMAT_AIFF | SF_FORMAT_PCM_16},
                                      {"24.au", SF_FORMAT_AU | SF_FORMAT_PCM_24},
                                      {"16.w64", SF_FORMAT_W64 | SF_FORMAT_PCM_16}};
    const TemporaryFolder folder;
    for (const Row& row : formats) {
        CAPTURE(row.name);
        write_sound(folder.path(row.name), sine(1000.0, 0.999, 3.0, 48000.0), row.format);
        const json channel =
            first_channel(measured(folder, {row.name, "--full-scale-level", "120"}));
        const double expected = 120.0 + 20.0 * std::log10(0.999);
        // The filters of A and C pass 1 kHz with 0 dB; start and end of the tone cost 0.01 dB.
        for (const char* key : {"LAeq_dB", "LCeq_dB", "LZeq_dB"}) {
            CHECK(near(channel[key], expected, 0.02, Because::FiniteSignal));
        }
        CHECK(
            near(channel["LAE_dB"], expected + 10 * std::log10(3.0), 0.02, Because::FiniteSignal));
        CHECK(near(channel["LCpeak_dB"], expected + 3.01, 0.1, Because::FiniteSignal));
        CHECK(near(channel["octave_dB"]["1000"], expected, 0.02, Because::FiniteSignal));
    }
}

TEST_CASE("a calibrator's tone gives what the full-scale level gives") {
    const TemporaryFolder folder;
    write_sound(folder.path("tone.wav"), sine(1000.0, 0.1, 5.0, 48000.0), wav_float);
    write_sound(folder.path("noise.wav"), white_noise(0.3, 4.0, 48000.0), wav_float);
    // 0.1 of full scale is 94 dB: full scale is 114 dB.
    const json by_tone = first_channel(
        measured(folder, {"noise.wav", "--calibration", "tone.wav", "--calibrator-level", "94"}));
    const json by_level =
        first_channel(measured(folder, {"noise.wav", "--full-scale-level", "114"}));
    CHECK(near(by_tone["calibration"]["full_scale_level_dB"], 114.0, 0.01, Because::FiniteSignal));
    CHECK(near(by_tone["LAeq_dB"], by_level["LAeq_dB"], 0.01, Because::FiniteSignal));
    CHECK(near(by_tone["octave_dB"]["4000"], by_level["octave_dB"]["4000"], 0.01,
               Because::FiniteSignal));
}

TEST_CASE("quality: clipped, too short, and a calibration that is no tone gives no decibels") {
    const TemporaryFolder folder;
    Signal loud = sine(300.0, 3.0, 3.0, 48000.0);
    for (double& x : loud)
        x = std::clamp(x, -1.0, 1.0);
    write_sound(folder.path("clipped.wav"), loud, wav_16);
    write_sound(folder.path("short.wav"), sine(300.0, 0.3, 0.4, 48000.0), wav_16);
    write_sound(folder.path("noise.wav"), white_noise(0.3, 4.0, 48000.0), wav_16);
    const auto quality = [&](const char* file) {
        return first_channel(measured(folder, {file, "--full-scale-level", "120"}));
    };
    CHECK(has_quality(quality("clipped.wav"), "clipped"));
    CHECK(has_quality(quality("short.wav"), "too-short"));
    CHECK(!has_quality(quality("noise.wav"), "clipped"));
    CHECK(!has_quality(quality("noise.wav"), "too-short"));
    const json no_tone = first_channel(measured(
        folder, {"noise.wav", "--calibration", "noise.wav", "--calibrator-level", "94"}, 1));
    CHECK(has_quality(no_tone, "calibration-not-a-tone"));
    CHECK(no_tone["LAeq_dB"].is_null());
    CHECK(no_tone["octave_dB"]["1000"].is_null());
    const Outcome card = run_program({"measure", "noise.wav", "--calibration", "noise.wav",
                                      "--calibrator-level", "94", "--card", "card.toml"},
                                     folder.path(""));
    CHECK(card.status == 2);
    CHECK(!std::filesystem::exists(folder.path("card.toml")));
    const Outcome clipped_card =
        run_program({"measure", "clipped.wav", "--full-scale-level", "120", "--card", "card.toml"},
                    folder.path(""));
    CHECK(clipped_card.status == 2);
    CHECK(!std::filesystem::exists(folder.path("card.toml")));
}

TEST_CASE("a card reads back in a plan to the levels that were measured") {
    StudyText text;
    text.plan = with(text.plan, "wears = [\"foam\"]", "wears = []");
    const std::vector<std::pair<std::string, Signal>> signals = {
        {"noise", white_noise(0.3, 4.0, 48000.0)},
        // A tone at the upper edge of the 500 Hz octave, where mid-band weighting is 2 dB off.
        {"edge-tone", sine(690.0, 0.5, 4.0, 48000.0)},
        {"low-tone", sine(80.0, 0.5, 4.0, 48000.0)}};
    for (const auto& [name, signal] : signals) {
        CAPTURE(name);
        const StudyFolder study(text);
        write_sound(study.folder().path("run.wav"), signal, wav_float);
        const json channel = first_channel(
            measured(study.folder(), {"run.wav", "--full-scale-level", "130", "--card",
                                      "cards/epi.toml", "--id", "epi", "--force"}));
        const Outcome outcome =
            run_program({"assess", "plan.toml", "--format", "json"}, study.root());
        CAPTURE(outcome.errors);
        REQUIRE(outcome.status <= 1);
        const json segment = json::parse(outcome.output)["people"][0]["segments"][0];
        CHECK(segment["LAeq_dB"] == channel["LAeq_dB"]);
        const std::string card = content_of(study.folder().path("cards/epi.toml"));
        CHECK((card.find("[levels.octave_A]") != std::string::npos) == (name != "noise"));
        CHECK(card.find("how = \"measured\"") != std::string::npos);
    }
}

TEST_CASE("channels are measured on their own, the card takes the loudest") {
    const TemporaryFolder folder;
    const Signal left = sine(1000.0, 0.1, 3.0, 48000.0);
    const Signal right = sine(1000.0, 0.4, 3.0, 48000.0);
    std::vector<double> both;
    for (std::size_t i = 0; i < left.size(); ++i)
        both.insert(both.end(), {left[i], right[i]});
    write_sound(folder.path("both.wav"), both, wav_float, 2);
    const json result =
        measured(folder, {"both.wav", "--full-scale-level", "120", "--card", "card.toml"});
    const json& channels = result["recordings"][0]["channels"];
    REQUIRE(channels.size() == 2);
    const double apart =
        channels[1]["LAeq_dB"].get<double>() - channels[0]["LAeq_dB"].get<double>();
    CHECK(near(apart, 12.04, 0.01, Because::Arithmetic));
    CHECK(content_of(folder.path("card.toml")).find("LAeq = 112.0") != std::string::npos);
    const json second =
        measured(folder, {"both.wav", "--full-scale-level", "120", "--channel", "2"});
    REQUIRE(second["recordings"][0]["channels"].size() == 1);
    CHECK(second["recordings"][0]["channels"][0] == channels[1]);
}

TEST_CASE("a card holds the highest peak of all channels and none of a clipped one") {
    const TemporaryFolder folder;
    // The left channel is louder on average, the right one has a knock of higher peak.
    const Signal left = sine(1000.0, 0.3, 3.0, 48000.0);
    Signal right = sine(1000.0, 0.01, 3.0, 48000.0);
    for (std::size_t i = 0; i < 24; ++i)
        right[48000 + i] = 0.9 * std::sin(0.13 * static_cast<double>(i));
    std::vector<double> both;
    for (std::size_t i = 0; i < left.size(); ++i)
        both.insert(both.end(), {left[i], right[i]});
    write_sound(folder.path("both.wav"), both, wav_float, 2);
    const json channels = measured(folder, {"both.wav", "--full-scale-level", "120", "--card",
                                            "card.toml"})["recordings"][0]["channels"];
    REQUIRE(channels[1]["LZpeak_dB"] > channels[0]["LZpeak_dB"]);
    const Sequence card = files::read_sequence_card(folder.path("card.toml"));
    CHECK(card.levels.LAeq.dB() == channels[0]["LAeq_dB"].get<double>());
    CHECK(card.levels.LZpeak->dB() == channels[1]["LZpeak_dB"].get<double>());
    CHECK(card.levels.LCpeak->dB() == channels[1]["LCpeak_dB"].get<double>());
    for (std::size_t i = 0; i < 200; ++i)
        both[2 * (60000 + i) + 1] = 1.0;
    write_sound(folder.path("clipped.wav"), both, wav_16, 2);
    const auto write_card = [&](std::vector<std::string> more) {
        std::vector<std::string> words = {"measure", "clipped.wav", "--full-scale-level",
                                          "120",     "--card",      "second.toml"};
        words.insert(words.end(), more.begin(), more.end());
        return run_program(words, folder.path("")).status;
    };
    CHECK(write_card({}) == 2);
    CHECK(write_card({"--channel", "1"}) == 0);
}

TEST_CASE("bands above half the sampling rate are null and marked, not invented") {
    const TemporaryFolder folder;
    write_sound(folder.path("low.wav"), white_noise(0.3, 4.0, 8000.0), wav_float, 1, 8000);
    const json channel = first_channel(measured(folder, {"low.wav", "--full-scale-level", "120"}));
    CHECK(has_quality(channel, "band-above-nyquist"));
    CHECK(channel["octave_dB"]["4000"].is_null());
    CHECK(channel["octave_dB"]["16000"].is_null());
    CHECK(channel["octave_dB"]["2000"].is_number());
}

TEST_CASE("mistakes get one line, status 2 and nothing written") {
    const TemporaryFolder folder;
    write_sound(folder.path("good.wav"), sine(1000.0, 0.1, 3.0, 48000.0), wav_16);
    write_sound(folder.path("empty.wav"), {}, wav_16);
    const std::string whole = bytes_of(folder.path("good.wav"));
    write_bytes(folder.path("cut.wav"), whole.substr(0, whole.size() / 2));
    write_bytes(folder.path("text.wav"), "not a recording\n");
    write_sound(folder.path("nan.wav"), {0.0, std::nan(""), 0.0}, wav_float);
    struct Row {
        Words arguments;
        std::string words;
    };
    const std::vector<Row> rows = {
        {{"good.wav"}, "without a calibration"},
        {{"good.wav", "--calibration", "good.wav"}, "go together"},
        {{"good.wav", "--calibrator-level", "94"}, "go together"},
        {{"good.wav", "--full-scale-level", "nan"}, "--full-scale-level"},
        {{"good.wav", "--full-scale-level", "1e9"}, "--full-scale-level"},
        {{"good.wav", "--full-scale-level", "loud"}, "--full-scale-level"},
        {{"good.wav", "--full-scale-level", "94", "--calibration", "good.wav", "--calibrator-level",
          "94"},
         "two calibrations"},
        {{"good.wav", "--full-scale-level", "94", "--channel", "2"}, "no channel 2"},
        {{"good.wav", "--full-scale-level", "94", "--format", "xml"}, "--format"},
        {{"good.wav", "good.wav", "--full-scale-level", "94", "--card", "c.toml"}, "one recording"},
        {{"absent.wav", "--full-scale-level", "94"}, "absent.wav:1:1: "},
        {{"empty.wav", "--full-scale-level", "94"}, "empty.wav:1:1: "},
        {{"cut.wav", "--full-scale-level", "94"}, "cut.wav:1:1: "},
        {{"text.wav", "--full-scale-level", "94"}, "text.wav:1:1: "},
        {{"nan.wav", "--full-scale-level", "94"}, "nan.wav:1:1: "},
        {{"good.wav", "--calibration", "absent.wav", "--calibrator-level", "94"}, "absent.wav:1:1"},
        {{"good.wav", "--full-scale-level", "94", "--card", "report.txt"}, "--card"},
        {{"good.wav", "--full-scale-level", "94", "--card", "nowhere/c.toml"},
         "nowhere/c.toml:1:1"},
        {{"good.wav", "--full-scale-level", "94", "--card", "c.toml", "--who", "\xff"}, "--who"},
        {{"good.wav", "--full-scale-level", "94", "--card", "c.toml", "--id", "a b "}, "--id"},
        {{"good.wav", "--full-scale-level", "94", "--card", "c.toml", "--uncertainty", "-1"},
         "--uncertainty"},
        {{"--full-scale-level", "94"}, "recording"},
        {{"good.wav", "--full-scale", "94"}, "--full-scale"}};
    for (Row row : rows) {
        row.arguments.insert(row.arguments.begin(), "measure");
        row.arguments.insert(row.arguments.end(), {"--output", "report.txt"});
        CAPTURE(row.words);
        const Outcome outcome = run_program(row.arguments, folder.path(""));
        CAPTURE(outcome.errors);
        CHECK(outcome.status == 2);
        CHECK(lines_of(outcome.errors) == 1);
        CHECK(outcome.errors.find(row.words) != std::string::npos);
        CHECK(outcome.errors.find("accepted") != std::string::npos);
        CHECK(outcome.output.empty());
        CHECK(!std::filesystem::exists(folder.path("report.txt")));
        CHECK(!std::filesystem::exists(folder.path("c.toml")));
    }
}
