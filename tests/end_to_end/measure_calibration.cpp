// How decibels come about: drift, a calibration for each channel, a microphone's sensitivity.
#include <cmath>
#include <filesystem>
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "end_to_end/measured.hpp"
#include "files/sound_files.hpp"
#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;
using nlohmann::json;

namespace {

double gain(double decibels) { return std::pow(10.0, decibels / 20.0); }

Signal interleaved(const Signal& left, const Signal& right) {
    Signal result;
    for (std::size_t n = 0; n < left.size(); ++n) {
        result.push_back(left[n]);
        result.push_back(right[n]);
    }
    return result;
}

}  // namespace

TEST_CASE("a drift of the calibration is told, and above 0.5 dB nothing is measured unless asked") {
    struct Row {
        double drift;
        bool accepted;
    };
    const TemporaryFolder folder;
    write_sound(folder.path("noise.wav"), white_noise(0.3, 4.0, 48000.0), wav_float);
    write_sound(folder.path("before.wav"), sine(1000.0, 0.1, 5.0, 48000.0), wav_float);
    std::size_t rows = 0;
    for (const Row& row :
         {Row{0.0, true}, Row{0.3, true}, Row{-0.49, true}, Row{0.52, false}, Row{-1.0, false}}) {
        CAPTURE(row.drift);
        write_sound(folder.path("after.wav"), sine(1000.0, 0.1 * gain(row.drift), 5.0, 48000.0),
                    wav_float);
        Words words = {"noise.wav", "--calibration",       "before.wav", "--calibrator-level",
                       "94",        "--calibration-after", "after.wav"};
        const json first = first_channel(measured(folder, words, row.accepted ? 0 : 1));
        CHECK(near(first["calibration"]["drift_dB"], row.drift, 0.005, Because::FiniteSignal));
        CHECK(first["LAeq_dB"].is_null() == !row.accepted);
        CHECK(has_quality(first, "drift") == !row.accepted);
        if (!row.accepted) {
            words.emplace_back("--accept-drift");
            const json accepted = first_channel(measured(folder, words));
            CHECK(accepted["LAeq_dB"].is_number());
            CHECK(has_quality(accepted, "drift"));
        }
        ++rows;
    }
    CHECK(rows == 5);
}

TEST_CASE("a drift counts in the uncertainty proposed, and levels are those of the first tone") {
    const TemporaryFolder folder;
    write_sound(folder.path("noise.wav"), white_noise(0.3, 20.0, 48000.0), wav_float);
    write_sound(folder.path("before.wav"), sine(1000.0, 0.1, 5.0, 48000.0), wav_float);
    write_sound(folder.path("after.wav"), sine(1000.0, 0.1 * gain(-2.0), 5.0, 48000.0), wav_float);
    const Words words = {"noise.wav", "--calibration",      "before.wav", "--calibrator-level",
                         "94",        "--instrument-class", "1"};
    Words drifted = words;
    drifted.insert(drifted.end(), {"--calibration-after", "after.wav", "--accept-drift"});
    const json plain = first_channel(measured(folder, words));
    const json after = first_channel(measured(folder, drifted));
    CHECK(plain["LAeq_dB"] == after["LAeq_dB"]);
    CHECK(plain["calibration"]["drift_dB"].is_null());
    const double u_plain = plain["uncertainty"]["standard_dB"];
    const double u_after = after["uncertainty"]["standard_dB"];
    // (2.0² − 0.5²) / 3 more; both printed to a thousandth.
    CHECK(near(u_after * u_after - u_plain * u_plain, 3.75 / 3.0, 0.01, Because::PrintedRounding));
}

TEST_CASE("another tone after the measurement tells no drift") {
    const TemporaryFolder folder;
    write_sound(folder.path("noise.wav"), white_noise(0.3, 4.0, 48000.0), wav_float);
    write_sound(folder.path("before.wav"), sine(1000.0, 0.1, 5.0, 48000.0), wav_float);
    write_sound(folder.path("after.wav"), sine(250.0, 0.1, 5.0, 48000.0), wav_float);
    const json first =
        first_channel(measured(folder,
                               {"noise.wav", "--calibration", "before.wav", "--calibrator-level",
                                "94", "--calibration-after", "after.wav"},
                               1));
    CHECK(first["LAeq_dB"].is_null());
    CHECK(has_quality(first, "calibration-not-a-tone"));
}

TEST_CASE("each channel has its own calibration, from one recording or from several") {
    const TemporaryFolder folder;
    const Signal noise = white_noise(0.3, 4.0, 48000.0);
    const Signal tone = sine(1000.0, 0.1, 4.0, 48000.0);
    write_sound(folder.path("stereo.wav"), interleaved(noise, 0.5 * noise), wav_float, 2);
    write_sound(folder.path("both.wav"), interleaved(tone, 0.5 * tone), wav_float, 2);
    write_sound(folder.path("left.wav"), tone, wav_float);
    write_sound(folder.path("right.wav"), 0.5 * tone, wav_float);
    const Words by_one = {"stereo.wav", "--calibration", "both.wav", "--calibrator-level", "94"};
    const Words by_two = {"stereo.wav", "--calibration",      "left.wav", "--calibration",
                          "right.wav",  "--calibrator-level", "94"};
    const Words stated = {"stereo.wav", "--full-scale-level", "114", "--full-scale-level",
                          "120.0206"};
    std::size_t rows = 0;
    for (const Words& words : {by_one, by_two, stated}) {
        const json channels = measured(folder, words)["recordings"][0]["channels"];
        REQUIRE(channels.size() == 2);
        CHECK(near(channels[0]["calibration"]["full_scale_level_dB"], 114.0, 0.01,
                   Because::FiniteSignal));
        CHECK(near(channels[1]["calibration"]["full_scale_level_dB"], 120.02, 0.01,
                   Because::FiniteSignal));
        // Half the signal with twice the sensitivity: the same sound.
        CHECK(near(channels[1]["LAeq_dB"], channels[0]["LAeq_dB"], 0.01, Because::FiniteSignal));
        ++rows;
    }
    CHECK(rows == 3);
    const Outcome three = run_program({"measure", "stereo.wav", "--full-scale-level", "1",
                                       "--full-scale-level", "2", "--full-scale-level", "3"},
                                      folder.path(""));
    CHECK(three.status == 2);
}

TEST_CASE("a microphone's sensitivity and the volts at full scale are a calibration") {
    const TemporaryFolder folder;
    write_sound(folder.path("tone.wav"), sine(1000.0, 0.5, 4.0, 48000.0), wav_float);
    // 50 mV/Pa and 1 V peak at full scale: a full-scale sine is 0.7071 V or 14.142 Pa, 116.99 dB.
    const json first = first_channel(
        measured(folder, {"tone.wav", "--sensitivity", "50", "--full-scale-volts", "1"}));
    CHECK(near(first["calibration"]["full_scale_level_dB"], 116.990, 0.0006,
               Because::PrintedRounding));
    CHECK(near(first["LZeq_dB"], 116.990 + 20.0 * std::log10(0.5), 0.005, Because::FiniteSignal));
    // Twice the volts or half the sensitivity: the same sound is twice as much pressure.
    for (const auto& [sensitivity, volts] : {std::pair{"50", "2"}, std::pair{"25", "1"}}) {
        const json louder = first_channel(measured(
            folder, {"tone.wav", "--sensitivity", sensitivity, "--full-scale-volts", volts}));
        CHECK(near(louder["LZeq_dB"].get<double>() - first["LZeq_dB"].get<double>(), 6.021, 0.0015,
                   Because::PrintedRounding));
    }
}

TEST_CASE("calibrations that contradict or lack one another are refused, and nothing is written") {
    const TemporaryFolder folder;
    write_sound(folder.path("noise.wav"), white_noise(0.3, 1.0, 48000.0), wav_float);
    std::filesystem::create_hard_link(folder.path("noise.wav"), folder.path("noise.csv"));
    const std::vector<Words> refused = {
        {"--sensitivity", "50"},
        {"--full-scale-volts", "1"},
        {"--sensitivity", "0", "--full-scale-volts", "1"},
        {"--sensitivity", "50", "--full-scale-volts", "-1"},
        {"--sensitivity", "50", "--full-scale-volts", "nan"},
        {"--sensitivity", "50", "--full-scale-volts", "1", "--full-scale-level", "120"},
        {"--full-scale-level", "120", "--calibration-after", "noise.wav"},
        {"--full-scale-level", "120", "--accept-drift"},
        {"--calibration", "noise.wav", "--calibrator-level", "94", "--accept-drift"},
        {"--full-scale-level", "120", "--from", "soon"},
        {"--full-scale-level", "120", "--from", "0.5", "--to", "0.5"},
        {"--full-scale-level", "120", "--to", "2"},
        {"--full-scale-level", "120", "--from", "1"},
        {"--full-scale-level", "120", "--background", "missing.wav"},
        {"--full-scale-level", "120", "--instrument-class", "3"},
        {"--full-scale-level", "120", "--find-runs", "--card", "card.toml"},
        {"--full-scale-level", "120", "--card", "card.toml", "--history", "./card.toml"},
        {"--full-scale-level", "120", "--card", "card.toml", "--output", "../{}/card.toml"},
        {"--full-scale-level", "120", "--id", "x"},
        {"--full-scale-level", "120", "--from", "0.5", "--to", "0.500001"},
        {"--full-scale-level", "120", "--history", "noise.csv", "--force"}};
    for (Words words : refused) {
        words.insert(words.begin(), {"measure", "noise.wav"});
        if (words.back() == "../{}/card.toml") {
            const auto here = std::filesystem::path(folder.path("x")).parent_path().filename();
            words.back() = "../" + here.string() + "/card.toml";
        }
        CAPTURE(words.back());
        const Outcome outcome = run_program(words, folder.path(""));
        CHECK(outcome.status == 2);
        CHECK(outcome.output.empty());
        CHECK(outcome.errors.find("accepted") != std::string::npos);
        CHECK(std::count(outcome.errors.begin(), outcome.errors.end(), '\n') == 1);
        CHECK(!std::filesystem::exists(folder.path("card.toml")));
    }
    CHECK(refused.size() == 21);
}

TEST_CASE("a calibrator's level that calibrators do not produce is told, and measured with") {
    struct Row {
        const char* stated;
        bool unusual;
    };
    const TemporaryFolder folder;
    write_sound(folder.path("noise.wav"), white_noise(0.03, 4.0, 48000.0), wav_float);
    write_sound(folder.path("tone.wav"), sine(1000.0, 0.1, 5.0, 48000.0), wav_float);
    std::optional<double> above_stated;
    for (const Row& row :
         {Row{"94", false}, Row{"114", false}, Row{"124", false}, Row{"90", false},
          Row{"130", false}, Row{"89.9", true}, Row{"11.4", true}, Row{"140", true}}) {
        CAPTURE(row.stated);
        const json channel = first_channel(measured(
            folder, {"noise.wav", "--calibration", "tone.wav", "--calibrator-level", row.stated}));
        CHECK(has_quality(channel, "unusual-calibrator") == row.unusual);
        const double above = channel["LZeq_dB"].get<double>() - std::stod(row.stated);
        CHECK(near(above, above_stated.value_or(above), 1e-9, Because::Arithmetic));
        above_stated = above;
    }
    // In the report for people and on the page too, with the level to look at.
    for (const char* format : {"text", "html"}) {
        CAPTURE(format);
        const Outcome outcome = run_program({"measure", "noise.wav", "--calibration", "tone.wav",
                                             "--calibrator-level", "11.4", "--format", format},
                                            folder.path(""));
        CHECK(outcome.status == 0);
        const std::size_t at = outcome.output.find("unusual-calibrator: ");
        REQUIRE(at != std::string::npos);
        CHECK(outcome.output.find("11.4 dB", at) < at + 120);
    }
}
