// Parts of a recording, its background, its course in time, and several recordings at once.
#include <cmath>
#include <fstream>
#include <sstream>
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "end_to_end/measured.hpp"
#include "files/sound_files.hpp"
#include "files/study_files.hpp"
#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;
using nlohmann::json;

namespace {

constexpr double low_rate = 16000.0;

/// Noise whose level rises and falls by 6 dB twice a second, as a pump's.
Signal pump(double seconds, std::uint64_t seed) {
    Signal signal = white_noise(0.01, seconds, low_rate, seed);
    for (std::size_t n = 0; n < signal.size(); ++n) {
        const double t = static_cast<double>(n) / low_rate;
        signal[n] *= std::pow(10.0, 0.15 * std::sin(2.0 * std::numbers::pi * 2.0 * t));
    }
    return signal;
}

struct Played {
    double start, end;
};

}  // namespace

TEST_CASE("a background is averaged over whole strokes of the pump and taken off") {
    const TemporaryFolder folder;
    const Signal background = pump(21.3, 3);
    // 5 dB above the background on average: the sum is 6.2 dB above.
    const Signal sequence =
        white_noise(0.01 * std::pow(10.0, 5.0 / 20.0) * 1.26, 20.0, low_rate, 9);
    write_sound(folder.path("background.wav"), background, wav_float, 1, 16000);
    write_sound(folder.path("alone.wav"), sequence, wav_float, 1, 16000);
    write_sound(folder.path("heard.wav"), sequence + pump(20.0, 11), wav_float, 1, 16000);
    const Words by = {"--full-scale-level", "120"};
    const auto with = [&](const char* file, Words words) {
        words.insert(words.begin(), file);
        words.insert(words.end(), by.begin(), by.end());
        return first_channel(measured(folder, words));
    };
    const json alone = with("alone.wav", {});
    const json exposed = with("heard.wav", {});
    const json corrected = with("heard.wav", {"--background", "background.wav", "--card",
                                              "card.toml", "--instrument-class", "2"});
    CHECK(exposed["LAeq_dB"].get<double>() - alone["LAeq_dB"].get<double>() > 0.8);
    CHECK(near(corrected["LAeq_dB"], alone["LAeq_dB"], 0.1, Because::SeededRandomness));
    CHECK(near(corrected["octave_dB"]["4000"], alone["octave_dB"]["4000"], 0.1,
               Because::SeededRandomness));
    CHECK(corrected["background"]["corrected"] == true);
    CHECK(
        near(corrected["background"]["strokes_per_second"], 2.0, 0.01, Because::SeededRandomness));
    const double averaged = corrected["background"]["averaged_seconds"];
    CHECK(averaged <= 21.3);
    CHECK(near(averaged * 2.0, std::round(averaged * 2.0), 0.1, Because::SeededRandomness));
    CHECK(!has_quality(corrected, "no-pump-rhythm"));
    // The card states what is left, and how it came about.
    const Sequence card = files::read_sequence_card(folder.path("card.toml"));
    CHECK(near(card.levels.LAeq.dB(), corrected["LAeq_dB"], 0.001, Because::PrintedRounding));
    CHECK(near(card.levels.uncertainty->dB(), corrected["uncertainty"]["standard_dB"], 0.006,
               Because::PrintedRounding));
    // With its parts: 1 dB of the microphone's position, all else shared as the instrument is.
    REQUIRE(card.levels.uncertainty_parts);
    CHECK(card.levels.uncertainty_parts->position.dB() == 1.0);
    CHECK(card.levels.uncertainty_parts->instrument.dB() > 1.5);
    CHECK(near(card.levels.uncertainty_parts->combined().dB(), card.levels.uncertainty->dB(), 0.011,
               Because::PrintedRounding));
    CHECK(content_of(folder.path("card.toml")).find("run =") == std::string::npos);
    // Of what the user states no parts are known.
    const json stated [[maybe_unused]] =
        with("heard.wav", {"--card", "stated.toml", "--uncertainty", "2"});
    const Sequence own = files::read_sequence_card(folder.path("stated.toml"));
    CHECK(own.levels.uncertainty->dB() == 2.0);
    CHECK(!own.levels.uncertainty_parts);
    CHECK(card.origin.background.find("background.wav") != std::string::npos);
    CHECK(card.origin.uncertainty.find("class 2") != std::string::npos);
}

TEST_CASE("too loud a background leaves upper bounds, and one without rhythm is noted") {
    const TemporaryFolder folder;
    const Signal noise = white_noise(0.1, 12.0, low_rate, 5);
    write_sound(folder.path("background.wav"), noise, wav_float, 1, 16000);
    write_sound(folder.path("heard.wav"), 1.2 * noise, wav_float, 1, 16000);
    const json first = first_channel(measured(
        folder, {"heard.wav", "--full-scale-level", "120", "--background", "background.wav"}));
    const json raw = first_channel(measured(folder, {"heard.wav", "--full-scale-level", "120"}));
    CHECK(first["LAeq_dB"] == raw["LAeq_dB"]);
    CHECK(first["background"]["corrected"] == false);
    CHECK(first["background"]["upper_bounds"][0] == "LAeq");
    CHECK(has_quality(first, "background-too-close"));
    CHECK(has_quality(first, "no-pump-rhythm"));
}

TEST_CASE("what is wrong with a background is said, and a damaged one makes no card") {
    const TemporaryFolder folder;
    Signal clipped = pump(12.0, 3);
    for (double& x : clipped)
        x = std::clamp(x, -0.012, 0.012);
    write_sound(folder.path("background.wav"), clipped, wav_16, 1, 16000);
    write_sound(folder.path("heard.wav"), white_noise(0.1, 12.0, low_rate, 5), wav_float, 1, 16000);
    const Words words = {"heard.wav", "--full-scale-level", "120", "--background",
                         "background.wav"};
    const json first = first_channel(measured(folder, words));
    REQUIRE(has_quality(first, "clipped"));
    for (const json& finding : first["quality"]) {
        if (finding["code"] != "clipped") continue;
        CHECK(finding["text"].get<std::string>().find("background") != std::string::npos);
    }
    Words with_card = words;
    with_card.insert(with_card.begin(), "measure");
    with_card.insert(with_card.end(), {"--card", "card.toml"});
    CHECK(run_program(with_card, folder.path("")).status == 2);
    CHECK(!std::filesystem::exists(folder.path("card.toml")));
}

TEST_CASE("recording and background named the wrong way round make no card") {
    const TemporaryFolder folder;
    write_sound(folder.path("quiet.wav"), white_noise(0.01, 12.0, low_rate, 5), wav_float, 1,
                16000);
    write_sound(folder.path("loud.wav"), white_noise(0.1, 12.0, low_rate, 6), wav_float, 1, 16000);
    const auto card_of = [&](const char* recording, const char* background) {
        return run_program({"measure", recording, "--full-scale-level", "120", "--background",
                            background, "--card", "card.toml"},
                           folder.path(""));
    };
    const Outcome swapped = card_of("quiet.wav", "loud.wav");
    CHECK(swapped.status == 2);
    CHECK(swapped.errors.find("no card can be written: channel 1: The background is 20.") !=
          std::string::npos);
    CHECK(swapped.errors.find(".; accepted") == std::string::npos);
    CHECK(!std::filesystem::exists(folder.path("card.toml")));
    CHECK(card_of("loud.wav", "quiet.wav").status == 0);
    CHECK(std::filesystem::exists(folder.path("card.toml")));
}

TEST_CASE("times in what is found count from the start of the file") {
    const TemporaryFolder folder;
    Signal noise = white_noise(0.1, 12.0, low_rate, 5);
    for (std::size_t n = 0; n < 400; ++n)
        noise[samples_in(8.0, low_rate) + n] = 0.0;
    write_sound(folder.path("gap.wav"), noise, wav_16, 1, 16000);
    const json first = first_channel(
        measured(folder, {"gap.wav", "--full-scale-level", "120", "--from", "7", "--to", "11"}));
    REQUIRE(has_quality(first, "dropout"));
    for (const json& finding : first["quality"]) {
        if (finding["code"] != "dropout") continue;
        CHECK(finding["text"].get<std::string>().find("at 8.00 s") != std::string::npos);
    }
}

TEST_CASE("a part of a recording measures as if it had been recorded alone") {
    const TemporaryFolder folder;
    const Signal quiet = 0.1 * white_noise(0.3, 3.0, low_rate, 1);
    const Signal loud = white_noise(0.3, 4.5, low_rate, 2);
    write_sound(folder.path("all.wav"), followed_by(followed_by(quiet, loud), quiet), wav_float, 1,
                16000);
    write_sound(folder.path("loud.wav"), loud, wav_float, 1, 16000);
    const json alone = first_channel(measured(folder, {"loud.wav", "--full-scale-level", "120"}));
    std::size_t rows = 0;
    for (const auto& [from, to] : {std::pair{"3", "7.5"}, std::pair{"3 s", "7500 ms"},
                                   std::pair{"00:00:03", "00:00:07.5"}}) {
        const json all =
            measured(folder, {"all.wav", "--full-scale-level", "120", "--from", from, "--to", to});
        const json part = first_channel(all);
        for (const char* key : {"LAeq_dB", "LCeq_dB", "LZeq_dB", "LCpeak_dB", "LAFmax_dB"}) {
            CHECK(near(part[key], alone[key], 0.001, Because::PrintedRounding));
        }
        CHECK(near(all["recordings"][0]["seconds"], 4.5, 1e-6, Because::Arithmetic));
        CHECK(near(all["recordings"][0]["from_s"], 3.0, 1e-6, Because::Arithmetic));
        ++rows;
    }
    CHECK(rows == 3);
}

TEST_CASE("runs are found in a recorded session within 0.2 s, and one can be measured alone") {
    const TemporaryFolder folder;
    const std::vector<Played> played = {{7.0, 22.3}, {25.4, 41.0}, {46.1, 52.0}};
    Signal session = pump(60.0, 21);
    const double background_rms = std::sqrt(mean_square(session));
    for (std::size_t k = 0; k < played.size(); ++k) {
        const double seconds = played[k].end - played[k].start;
        // 10, 14 and 18 dB above the background.
        const double rms =
            background_rms * std::pow(10.0, (10.0 + 4.0 * static_cast<double>(k)) / 20.0);
        const Signal run = white_noise(rms * std::sqrt(3.0), seconds, low_rate, 31 + k);
        for (std::size_t n = 0; n < run.size(); ++n)
            session[samples_in(played[k].start, low_rate) + n] += run[n];
    }
    write_sound(folder.path("session.wav"), session, wav_float, 1, 16000);
    const json runs = first_channel(
        measured(folder, {"session.wav", "--full-scale-level", "120", "--find-runs"}))["runs"];
    REQUIRE(runs.size() == played.size());
    for (std::size_t k = 0; k < played.size(); ++k) {
        CAPTURE(k);
        CHECK(near(runs[k]["start_s"], played[k].start, 0.2, Because::OwnTolerance));
        CHECK(near(runs[k]["end_s"], played[k].end, 0.2, Because::OwnTolerance));
        const json alone = first_channel(
            measured(folder, {"session.wav", "--full-scale-level", "120", "--from",
                              std::to_string(runs[k]["start_s"].get<double>()), "--to",
                              std::to_string(runs[k]["end_s"].get<double>())}));
        CHECK(near(runs[k]["LAeq_dB"], alone["LAeq_dB"], 0.1, Because::FiniteSignal));
    }
    CHECK(runs[0]["usable"] == true);
    CHECK(runs[2]["long_enough"] == false);
}

TEST_CASE("the history holds every second, in JSON and as a table, and adds up to LAeq") {
    const TemporaryFolder folder;
    Signal signal;
    for (int second = 0; second < 6; ++second)
        signal = followed_by(signal, (0.1 * (second + 1)) * white_noise(0.9, 1.0, low_rate, 3));
    signal = followed_by(signal, white_noise(0.9, 0.25, low_rate, 4));
    write_sound(folder.path("steps, \"up\".wav"), signal, wav_float, 1, 16000);
    const json first = first_channel(measured(
        folder, {"steps, \"up\".wav", "--full-scale-level", "120", "--history", "history.csv"}));
    const json levels = first["history"]["LAeq_dB"];
    REQUIRE(levels.size() == 7);
    CHECK(near(first["history"]["last_s"], 0.25, 1e-9, Because::Arithmetic));
    double energy = 0.0;
    for (std::size_t k = 0; k < levels.size(); ++k)
        energy += std::pow(10.0, levels[k].get<double>() / 10.0) * (k == 6 ? 0.25 : 1.0);
    CHECK(
        near(10.0 * std::log10(energy / 6.25), first["LAeq_dB"], 0.002, Because::PrintedRounding));
    CHECK(
        near(levels[3].get<double>() - levels[1].get<double>(), 6.02, 0.05, Because::FiniteSignal));

    std::istringstream table(bytes_of(folder.path("history.csv")));
    std::string line;
    std::getline(table, line);
    CHECK(line == "file,channel,start_s,seconds,LAeq_dB\r");
    std::size_t rows = 0;
    for (; std::getline(table, line); ++rows) {
        const std::string expected =
            "\"steps, \"\"up\"\".wav\",1," + std::to_string(rows) + (rows == 6 ? ",0.25," : ",1,");
        CHECK(line.substr(0, expected.size()) == expected);
        CHECK(near(std::stod(line.substr(expected.size())), levels[rows], 0.0006,
                   Because::PrintedRounding));
    }
    CHECK(rows == 7);
}

TEST_CASE("several recordings measured at once are as measured one by one, in their order") {
    const TemporaryFolder folder;
    Words words;
    for (int k = 0; k < 5; ++k) {
        const std::string name = "n" + std::to_string(k) + ".wav";
        write_sound(folder.path(name), white_noise(0.1 + 0.1 * k, 1.5 + k, low_rate, 50), wav_float,
                    1, 16000);
        words.push_back(name);
    }
    Words all = words;
    all.insert(all.end(), {"--full-scale-level", "120"});
    const json together = measured(folder, all)["recordings"];
    REQUIRE(together.size() == 5);
    for (std::size_t k = 0; k < words.size(); ++k)
        CHECK(together[k] ==
              measured(folder, {words[k], "--full-scale-level", "120"})["recordings"][0]);
    // One damaged recording among them: its message, and nothing else.
    write_bytes(folder.path("n3.wav"), "RIFF");
    all.insert(all.begin(), "measure");
    const Outcome outcome = run_program(all, folder.path(""));
    CHECK(outcome.status == 2);
    CHECK(outcome.output.empty());
    CHECK(outcome.errors.find("n3.wav") != std::string::npos);
}
