// Recordings that are not all there, not as they were, or lose something: no level comes silently.
#include <array>
#include <atomic>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>
#include <thread>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "end_to_end/measured.hpp"
#include "files/sound_files.hpp"
#include "measurement/signals.hpp"
#include "support/holds.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;
using nlohmann::json;

namespace {

constexpr double rate = 48000.0;

/// A quiet half and a loud one, of ten seconds each.
Signal quiet_and_loud() {
    Signal both = white_noise(0.002, 10.0, rate);
    const Signal loud = white_noise(0.1, 10.0, rate);
    both.insert(both.end(), loud.begin(), loud.end());
    return both;
}

/// As a recorder leaves it that wrote its header halfway and then lost its power.
std::string with_old_header(const std::string& path) {
    std::string bytes = bytes_of(path);
    const std::size_t at = bytes.find("data") + 4;
    const auto size = static_cast<std::uint32_t>((bytes.size() - at - 4) / 2);
    for (std::size_t n = 0; n < 4; ++n)
        bytes[at + n] = static_cast<char>(size >> 8 * n);
    return write_bytes(path, bytes);
}

std::string text_of_quality(const json& channel, const std::string& code) {
    for (const auto& finding : channel["quality"])
        if (finding["code"] == code) return finding["text"];
    return "";
}

/// The line of a card that begins so; empty where there is none.
std::string line_with(const std::string& beginning, const std::string& text) {
    const auto begin = ("\n" + text).find("\n" + beginning);
    if (begin == std::string::npos) return "";
    return text.substr(begin, text.find('\n', begin) - begin);
}

double level_of(const TemporaryFolder& folder, const std::string& name) {
    return first_channel(measured(folder, {name, "--full-scale-level", "140"}))["LAeq_dB"];
}

}  // namespace

TEST_CASE("a header older than its data gives no decibels, unless its length is accepted") {
    const TemporaryFolder folder;
    write_sound(folder.path("whole.wav"), quiet_and_loud(), wav_16);
    write_sound(folder.path("quiet.wav"), white_noise(0.002, 10.0, rate), wav_16);
    with_old_header(write_sound(folder.path("old.wav"), quiet_and_loud(), wav_16));
    CHECK(level_of(folder, "whole.wav") > 25.0 + level_of(folder, "quiet.wav"));

    const Words words = {"old.wav", "--full-scale-level", "140"};
    const json refused = first_channel(measured(folder, words, 1));
    CHECK(refused["LAeq_dB"].is_null());
    CHECK(refused["LCpeak_dB"].is_null());
    CHECK(refused["calibration"].is_null());
    CHECK(refused["tones"].empty());
    const std::string text = text_of_quality(refused, "data-beyond-the-header");
    CHECK(holds(
        text,
        "960000 bytes more that are neither a chunk nor a tag, 10.00 s of sound if they are"));
    CHECK(holds(text, "--accept-length"));

    Words accepting = words;
    accepting.emplace_back("--accept-length");
    const json accepted = first_channel(measured(folder, accepting));
    CHECK(near(accepted["LAeq_dB"], level_of(folder, "quiet.wav"), 0.01, Because::FiniteSignal));
    CHECK(holds(text_of_quality(accepted, "data-beyond-the-header"), "Accepted by request"));
    for (const json& channel : {refused, accepted}) {
        CHECK(channel["quality"][0]["code"] == "data-beyond-the-header");
    }
    // For people too, and no card of it.
    const Outcome report =
        run_program({"measure", "old.wav", "--full-scale-level", "140"}, folder.path(""));
    CHECK(report.status == 1);
    CHECK(holds(report.output, "data-beyond-the-header: Behind the samples"));
    CHECK(holds(report.output, "a recording is not whole, so no decibels"));
    const Outcome card = run_program(
        {"measure", "old.wav", "--full-scale-level", "140", "--card", "c.toml"}, folder.path(""));
    CHECK(card.status == 2);
    CHECK(holds(card.errors, "no card can be written"));
    CHECK(holds(card.errors, "header"));
    CHECK(!std::filesystem::exists(folder.path("c.toml")));
}

TEST_CASE(
    "a few bytes too many are told without a time, and a history without levels has its lines") {
    const TemporaryFolder folder;
    write_bytes(folder.path("odd.wav"),
                bytes_of(write_sound(folder.path("a.wav"), white_noise(0.1, 3.5, rate), wav_16)) +
                    std::string(64, 'x'));
    const json channel = first_channel(
        measured(folder, {"odd.wav", "--full-scale-level", "140", "--history", "h.csv"}, 1));
    const std::string text = text_of_quality(channel, "data-beyond-the-header");
    CHECK(holds(text, "64 bytes more that are neither a chunk nor a tag. If the header is older"));
    CHECK(!holds(text, "0.00 s"));
    CHECK(bytes_of(folder.path("h.csv")) ==
          "file,channel,start_s,seconds,LAeq_dB\r\nodd.wav,1,0,1,\r\nodd.wav,1,1,1,\r\n"
          "odd.wav,1,2,1,\r\nodd.wav,1,3,0.5,\r\n");
}

TEST_CASE("all recordings that cannot be measured are named, and all that are damaged inside") {
    const TemporaryFolder folder;
    const std::string whole =
        bytes_of(write_sound(folder.path("full.wav"), white_noise(0.1, 2.0, rate), wav_16));
    write_bytes(folder.path("cut.wav"), whole.substr(0, whole.size() / 2));
    write_bytes(folder.path("empty.wav"), "");
    std::string flac = bytes_of(write_sound(folder.path("a.flac"), white_noise(0.1, 2.0, rate),
                                            SF_FORMAT_FLAC | SF_FORMAT_PCM_16));
    flac[30] = static_cast<char>(flac[30] ^ 1);  // in the sum of its samples
    write_bytes(folder.path("b.flac"), flac);
    write_bytes(folder.path("a.flac"), flac);
    const auto errors = [&](Words words) {
        words.insert(words.begin(), "measure");
        const Outcome outcome = run_program(words, folder.path(""));
        CHECK(outcome.status == 2);
        CHECK(outcome.output.empty());
        return outcome.errors;
    };
    const std::string opened = errors(
        {"no1.wav", "full.wav", "cut.wav", "empty.wav", "no2.wav", "--full-scale-level", "140"});
    CHECK(lines_of(opened) == 4);
    for (const char* name : {"cut.wav:1:1", "empty.wav:1:1", "no1.wav:1:1", "no2.wav:1:1"})
        CHECK(holds(opened, name));
    const std::string read = errors({"b.flac", "full.wav", "a.flac", "--full-scale-level", "140"});
    CHECK(lines_of(read) == 2);
    CHECK(holds(read, "a.flac:1:1: cannot measure"));
    CHECK(holds(read, "b.flac:1:1: cannot measure"));
    const std::string with_others =
        errors({"no1.wav", "full.wav", "--calibration", "no2.wav", "--calibrator-level", "114",
                "--calibration-after", "no3.wav", "--background", "no4.wav"});
    CHECK(lines_of(with_others) == 4);
}

TEST_CASE("texts for a card that are not UTF-8 or too long are refused by their option") {
    const TemporaryFolder folder;
    write_sound(folder.path("a.wav"), white_noise(0.1, 3.0, rate), wav_16);
    std::size_t rows = 0;
    for (const std::string option : {"--title", "--who", "--when", "--where", "--instrument"}) {
        for (const std::string& text : {std::string("a\xFF"), std::string(10001, 'x')}) {
            const Outcome outcome = run_program(
                {"measure", "a.wav", "--full-scale-level", "140", "--card", "d.toml", option, text},
                folder.path(""));
            CHECK(outcome.status == 2);
            CHECK(lines_of(outcome.errors) == 1);
            CHECK(outcome.errors.starts_with("earbudget measure: " + option));
            CHECK(holds(outcome.errors, "; accepted: "));
            ++rows;
        }
    }
    CHECK(rows == 10);
}

TEST_CASE("no -0 is on a card") {
    const TemporaryFolder folder;
    write_sound(folder.path("a.wav"), white_noise(0.1, 6.0, rate), wav_16);
    write_sound(folder.path("tone.wav"), sine(1000.0, 0.1, 6.0, rate), wav_16);
    for (const char* level : {"-0", "-0.0", "-0.001"}) {
        const Outcome outcome =
            run_program({"measure", "a.wav", "--calibration", "tone.wav",
                         std::string("--calibrator-level=") + level, "--card", "c.toml", "--force"},
                        folder.path(""));
        CAPTURE(outcome.errors);
        CHECK(outcome.status == 0);
        const std::string card = bytes_of(folder.path("c.toml"));
        CHECK(holds(card, "tone of 0.00 dB"));
        CHECK(!holds(card, "-0.0"));
        if (std::string(level) != "-0.001")
            CHECK(!holds(outcome.output + outcome.errors, " -0 dB"));
    }
}

TEST_CASE("a part of a recording with an old header has no decibels either") {
    const TemporaryFolder folder;
    with_old_header(write_sound(folder.path("old.wav"), quiet_and_loud(), wav_16));
    const json channel = first_channel(
        measured(folder, {"old.wav", "--full-scale-level", "140", "--from", "1", "--to", "5"}, 1));
    CHECK(channel["LAeq_dB"].is_null());
    CHECK(has_quality(channel, "data-beyond-the-header"));
}

TEST_CASE("a background or a calibrator with an old header gives no decibels, and is named") {
    const TemporaryFolder folder;
    write_sound(folder.path("loud.wav"), white_noise(0.1, 4.0, rate), wav_16);
    write_sound(folder.path("tone.wav"), sine(1000.0, 0.1, 6.0, rate), wav_16);
    with_old_header(
        write_sound(folder.path("old-tone.wav"), sine(1000.0, 0.1, 12.0, rate), wav_16));
    with_old_header(write_sound(folder.path("room.wav"), white_noise(0.001, 12.0, rate), wav_16));
    struct Row {
        Words words;
        const char* named;
    };
    const Words by_tone = {"loud.wav", "--calibrator-level", "114", "--calibration"};
    const auto with = [&](const Words& more) {
        Words words = by_tone;
        words.insert(words.end(), more.begin(), more.end());
        return words;
    };
    std::size_t rows = 0;
    for (const Row& row :
         {Row{with({"old-tone.wav"}), "In the calibrator's recording \"old-tone.wav\""},
          Row{with({"tone.wav", "--calibration-after", "old-tone.wav"}),
              "In the calibrator's recording \"old-tone.wav\""},
          Row{with({"tone.wav", "--background", "room.wav"}), "In the background recording"}}) {
        CAPTURE(std::string(row.named));
        const json refused = first_channel(measured(folder, row.words, 1));
        CHECK(refused["LAeq_dB"].is_null());
        CHECK(holds(text_of_quality(refused, "data-beyond-the-header"), row.named));
        Words accepting = row.words;
        accepting.emplace_back("--accept-length");
        const json accepted = first_channel(measured(folder, accepting));
        CHECK(accepted["LAeq_dB"].is_number());
        CHECK(holds(text_of_quality(accepted, "data-beyond-the-header"), row.named));
        ++rows;
    }
    CHECK(rows == 3);
}

TEST_CASE("a card says of which file the length was accepted, and its review shows it") {
    const TemporaryFolder folder;
    write_sound(folder.path("loud.wav"), white_noise(0.1, 8.0, rate), wav_16);
    write_sound(folder.path("tone.wav"), sine(1000.0, 0.1, 6.0, rate), wav_16);
    with_old_header(write_sound(folder.path("old.wav"), white_noise(0.1, 16.0, rate), wav_16));
    with_old_header(
        write_sound(folder.path("old-tone.wav"), sine(1000.0, 0.1, 12.0, rate), wav_16));
    with_old_header(write_sound(folder.path("room.wav"), white_noise(0.001, 12.0, rate), wav_16));
    std::size_t rows = 0;
    for (const auto& [recording, tone, background, key] :
         {std::array{"old.wav", "tone.wav", "", "recording ="},
          std::array{"loud.wav", "old-tone.wav", "", "calibration ="},
          std::array{"loud.wav", "tone.wav", "room.wav", "background ="}}) {
        CAPTURE(std::string(key));
        Words words = {"measure", recording,         "--calibration", tone,    "--calibrator-level",
                       "114",     "--accept-length", "--card",        "c.toml"};
        if (*background) words.insert(words.end(), {"--background", background});
        const Outcome outcome = run_program(words, folder.path(""));
        REQUIRE(outcome.status == 0);
        CHECK(!holds(outcome.errors, "the card does not say: data-beyond-the-header"));
        const std::string card = bytes_of(folder.path("c.toml"));
        for (const std::string each : {"recording =", "calibration =", "background ="})
            CHECK(holds(line_with(each, card), "data-beyond-the-header") == (each == key));
        const Outcome review =
            run_program({"review", "c.toml", "--format", "json"}, folder.path(""));
        CHECK(holds(review.output, "data-beyond-the-header, left out by request"));
        // By whose words a reviewer would take a calibration for none.
        CHECK(!holds(review.output, "may say that it is not so"));
        std::filesystem::remove(folder.path("c.toml"));
        ++rows;
    }
    CHECK(rows == 3);
}

TEST_CASE("chunks and zeros that other writers leave behind samples are no finding") {
    const TemporaryFolder folder;
    write_sound(folder.path("in.wav"), white_noise(0.1, 3.0, rate), wav_16);
    const std::vector<Words> writers = {
        {"in.wav", "--comment", "a comment of some length", "out.wav"},
        {"in.wav", "-b", "24", "out.wav"},
        {"in.wav", "-b", "8", "out.wav", "trim", "0", "47999s"},
        {"in.wav", "-e", "floating-point", "out.wav"},
        {"in.wav", "-e", "mu-law", "out.wav", "trim", "0", "47999s"},
        {"in.wav", "--comment", "odd", "out.aiff"},
        {"in.wav", "out.au"},
        {"in.wav", "out.w64"},
        {"in.wav", "out.caf"},
        {"in.wav", "-b", "24", "out.flac"},
        {"in.wav", "-t", "wavpcm", "out.wav"}};
    std::size_t rows = 0;
    for (Words words : writers) {
        const auto name = *std::find_if(words.begin(), words.end(), [](const std::string& word) {
            return word.starts_with("out.");
        });
        CAPTURE(name);
        words.insert(words.begin(), {"-V1", "-D"});
        REQUIRE(run_other("sox", words, folder.path("")).status == 0);
        const json channel = first_channel(measured(folder, {name, "--full-scale-level", "140"}));
        CHECK(!has_quality(channel, "data-beyond-the-header"));
        const bool lossy = std::find(words.begin(), words.end(), "mu-law") != words.end();
        CHECK(has_quality(channel, "lossy") == lossy);
        ++rows;
    }
    CHECK(rows == 11);
}

TEST_CASE("lossy recordings are told, count in the uncertainty and make no card of class 1") {
    const TemporaryFolder folder;
    const Signal noise = white_noise(0.1, 12.0, rate);
    write_sound(folder.path("a.wav"), noise, wav_16);
    write_sound(folder.path("a.ogg"), noise, SF_FORMAT_OGG | SF_FORMAT_VORBIS);
    write_sound(folder.path("tone.wav"), sine(1000.0, 0.1, 6.0, rate), wav_16);
    write_sound(folder.path("tone.mp3"), sine(1000.0, 0.1, 6.0, rate),
                SF_FORMAT_MPEG | SF_FORMAT_MPEG_LAYER_III);
    const auto words = [](const std::string& recording, const std::string& tone) {
        return Words{recording, "--calibration", tone, "--calibrator-level", "114"};
    };
    const json plain = first_channel(measured(folder, words("a.wav", "tone.wav")));
    CHECK(!has_quality(plain, "lossy"));
    std::size_t rows = 0;
    for (const auto& [recording, tone] :
         {std::pair{"a.ogg", "tone.wav"}, std::pair{"a.wav", "tone.mp3"},
          std::pair{"a.ogg", "tone.mp3"}}) {
        const Words lossy = words(recording, tone);
        const json channel = first_channel(measured(folder, lossy));
        CHECK(has_quality(channel, "lossy"));
        const double u = channel["uncertainty"]["standard_dB"];
        const double u_plain = plain["uncertainty"]["standard_dB"];
        CHECK(near(u * u - u_plain * u_plain, (rows < 2 ? 1.0 : 2.0) * 2.25 / 3.0, 0.02,
                   Because::FiniteSignal));
        for (const auto& [class_of, status] : {std::pair{"1", 2}, std::pair{"2", 0}}) {
            Words card = {"measure"};
            card.insert(card.end(), lossy.begin(), lossy.end());
            card.insert(card.end(), {"--instrument-class", class_of, "--card", "c.toml"});
            const Outcome outcome = run_program(card, folder.path(""));
            CHECK(outcome.status == status);
            CHECK(holds(outcome.errors, "compressed with a loss; accepted") == (status == 2));
            CHECK(!holds(outcome.errors, "the card does not say: lossy"));
            CHECK(std::filesystem::exists(folder.path("c.toml")) == (status == 0));
            if (status == 0) {
                // The one that is, and no other.
                const std::string text = bytes_of(folder.path("c.toml"));
                CHECK(holds(line_with("recording =", text), ", lossy\"") ==
                      std::string_view(recording).ends_with(".ogg"));
                CHECK(holds(line_with("calibration =", text), ", lossy\"") ==
                      std::string_view(tone).ends_with(".mp3"));
            }
            std::filesystem::remove(folder.path("c.toml"));
        }
        ++rows;
    }
    CHECK(rows == 3);
}

TEST_CASE("damage that a decoder meets ends with a message of ours and nothing else") {
    const TemporaryFolder folder;
    const Signal noise = white_noise(0.1, 4.0, rate);
    const std::string flac =
        bytes_of(write_sound(folder.path("a.flac"), noise, SF_FORMAT_FLAC | SF_FORMAT_PCM_16));
    const std::string mp3 = bytes_of(
        write_sound(folder.path("a.mp3"), noise, SF_FORMAT_MPEG | SF_FORMAT_MPEG_LAYER_III));
    const std::string ogg =
        bytes_of(write_sound(folder.path("a.ogg"), noise, SF_FORMAT_OGG | SF_FORMAT_VORBIS));
    std::size_t rows = 0;
    for (std::string bytes : {flac, mp3, ogg}) {
        for (const std::size_t part : {3U, 5U, 8U}) {
            std::string hurt = bytes;
            char& byte = hurt[hurt.size() * part / 10];
            byte = static_cast<char>(byte ^ 1);
            write_bytes(folder.path("hurt"), hurt);
            const Outcome outcome =
                run_program({"measure", "hurt", "--full-scale-level", "140", "--card", "c.toml"},
                            folder.path(""));
            CAPTURE(outcome.errors);
            CHECK(outcome.status == 2);
            CHECK(outcome.output.empty());
            CHECK(lines_of(outcome.errors) == 1);
            CHECK(outcome.errors.starts_with("hurt:1:1: cannot measure \"hurt\": "));
            CHECK(holds(outcome.errors, "damaged"));
            CHECK(!std::filesystem::exists(folder.path("c.toml")));
            ++rows;
        }
    }
    CHECK(rows == 9);
    write_bytes(folder.path("three.mp3"), "\xFF\xFB\x90");
    const Outcome three =
        run_program({"measure", "three.mp3", "--full-scale-level", "140"}, folder.path(""));
    CHECK(three.status == 2);
    CHECK(lines_of(three.errors) == 1);
    CHECK(holds(three.errors, "not a sound file, or one cut off at its start"));
}

TEST_CASE("a recording that grows while it is read is told, and nothing is written") {
    const TemporaryFolder folder;
    const std::string path = folder.path("growing.wav");
    std::string bytes = bytes_of(write_sound(path, white_noise(0.1, 120.0, rate), wav_16));
    bytes.replace(bytes.find("data") + 4, 4, std::string(4, '\xFF'));
    write_bytes(path, bytes);
    std::atomic<bool> done = false;
    std::jthread recorder([&] {
        std::ofstream more(path, std::ios::binary | std::ios::app);
        while (!done) {
            more << std::string(960, '\1') << std::flush;
            std::this_thread::sleep_for(std::chrono::milliseconds(1));
        }
    });
    const Outcome outcome =
        run_program({"measure", "growing.wav", "--full-scale-level", "140", "--output", "r.json"},
                    folder.path(""));
    done = true;
    recorder.join();
    CHECK(outcome.status == 2);
    CHECK(lines_of(outcome.errors) == 1);
    CHECK(
        holds(outcome.errors,
              "\"growing.wav\" changed while it was read; accepted: a recording that is finished"));
    CHECK(!std::filesystem::exists(folder.path("r.json")));
    // Finished, it is measured.
    CHECK(run_program({"measure", "growing.wav", "--full-scale-level", "140"}, folder.path(""))
              .status == 0);
}
