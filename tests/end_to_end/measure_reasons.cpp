// Why there are no decibels: one reason, the same wherever it is said.
#include <filesystem>
#include <fstream>
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "end_to_end/measured.hpp"
#include "files/sound_files.hpp"
#include "measurement/signals.hpp"
#include "support/holds.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

constexpr double full_rate = 48000.0;

/// As a recorder leaves it that lost its power after its last header.
void add_samples_behind(const std::string& path) {
    std::ofstream more(path, std::ios::binary | std::ios::app);
    more << std::string(96000, '\x21');
}

struct Row {
    Words words;
    std::string code;      ///< of the reason
    std::string in_short;  ///< on the last line of a channel and on the page
    std::string in_full;   ///< how its text begins, or a part of it
};

/// Recordings of which each lacks decibels for a reason of its own, though more is found in it.
std::vector<Row> rows_in(const TemporaryFolder& folder) {
    const Signal noise = white_noise(0.1, 4.0, full_rate);
    write_sound(folder.path("rec.wav"), noise, wav_16);
    add_samples_behind(write_sound(folder.path("old.wav"), noise, wav_16));
    write_sound(folder.path("silent.wav"), silence(4.0, full_rate), wav_16);
    write_sound(folder.path("before.wav"), sine(1000.0, 0.1, 5.0, full_rate), wav_16);
    write_sound(folder.path("after.wav"), sine(1000.0, 0.13, 5.0, full_rate), wav_16);
    write_sound(folder.path("low.wav"), sine(250.0, 0.1, 5.0, full_rate), wav_16);
    write_sound(folder.path("noise.mp3"), white_noise(0.1, 6.0, full_rate),
                SF_FORMAT_MPEG | SF_FORMAT_MPEG_LAYER_III);
    const auto by = [](const std::string& recording, const Words& tones, const Words& more = {}) {
        Words words = {recording, "--calibrator-level", "94", "--calibration", tones[0]};
        if (tones.size() > 1) words.insert(words.end(), {"--calibration-after", tones[1]});
        words.insert(words.end(), more.begin(), more.end());
        return words;
    };
    const std::string drift = "the calibration drifted, so no decibels";
    const std::string no_tone = "no calibration, so no decibels";
    return {
        {by("old.wav", {"before.wav", "after.wav"}, {"--accept-length"}), "drift", drift,
         "The calibrator was recorded 2.28 dB higher after"},
        {by("rec.wav", {"noise.mp3"}), "calibration-not-a-tone", no_tone, "No calibrator tone: "},
        {by("rec.wav", {"before.wav", "noise.mp3"}), "calibration-not-a-tone", no_tone,
         "After the measurement: "},
        {by("rec.wav", {"before.wav", "low.wav"}), "calibration-not-a-tone", no_tone,
         "no drift can be told"},
        {by("old.wav", {"before.wav", "after.wav"}), "data-beyond-the-header",
         "a recording is not whole, so no decibels", "Behind the samples"},
        {{"rec.wav", "--full-scale-level", "250"},
         "level-out-of-range",
         "too loud to be true, so no decibels",
         "Above 190 dB"},
        {{"silent.wav", "--full-scale-level", "130"},
         "near-noise-floor",
         "silent, or fainter than any microphone hears, so no decibels",
         "Nothing but digital silence"}};
}

Words words_with(Words words, const Words& more) {
    words.insert(words.begin(), "measure");
    words.insert(words.end(), more.begin(), more.end());
    return words;
}

}  // namespace

TEST_CASE("the reason why there are no decibels is the same in JSON, text, page and refused card") {
    const TemporaryFolder folder;
    std::size_t rows = 0;
    for (const Row& row : rows_in(folder)) {
        CAPTURE(row.in_full);
        const nlohmann::json channel = first_channel(measured(folder, row.words, 1));
        CHECK(channel["LAeq_dB"].is_null());
        REQUIRE(channel["why_no_level"].is_object());
        CHECK(channel["why_no_level"]["code"] == row.code);
        const std::string text = channel["why_no_level"]["text"];
        CHECK(holds(text, row.in_full));
        CHECK(has_quality(channel, row.code));
        const Outcome report = run_program(words_with(row.words, {}), folder.path(""));
        CHECK(report.status == 1);
        CHECK(holds(report.output, "\n  " + row.in_short + "\n"));
        const Outcome page = run_program(words_with(row.words, {"--format", "html"}), folder.path(""));
        CHECK(page.status == 1);
        CHECK(holds(page.output, "no level: " + row.in_short));
        const Outcome card = run_program(words_with(row.words, {"--card", "c.toml"}), folder.path(""));
        CHECK(card.status == 2);
        CHECK(holds(card.errors, "no card can be written: "));
        CHECK(holds(card.errors, text.substr(0, text.size() - 1) + "; accepted: "));
        CHECK(!std::filesystem::exists(folder.path("c.toml")));
        ++rows;
    }
    CHECK(rows == 7);
}

TEST_CASE("where there are levels no reason is given for their lack") {
    const TemporaryFolder folder;
    write_sound(folder.path("rec.wav"), white_noise(0.1, 4.0, full_rate), wav_16);
    const Words words = {"rec.wav", "--full-scale-level", "130"};
    CHECK(first_channel(measured(folder, words))["why_no_level"].is_null());
    const Outcome report = run_program(words_with(words, {}), folder.path(""));
    CHECK(!holds(report.output, "so no "));
}
