// A series of recordings: what does not change stands once in a file, and each becomes a card.
#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "end_to_end/measured.hpp"
#include "files/sound_files.hpp"
#include "files/study_files.hpp"
#include "measurement/signals.hpp"
#include "support/holds.hpp"
#include "support/near.hpp"
#include "support/program.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

const std::string setup =
    "kind = \"setup\"\n"                    // 1
    "format = 1\n"                          // 2
    "calibration = \"tone.wav\"\n"          // 3
    "calibrator_level = 94\n"               // 4
    "instrument = \"microphone 12\"\n"      // 5
    "instrument_class = 1\n"                // 6
    "scanner = \"the 3 T\"\n"               // 7
    "position = \"left ear, isocentre\"\n"  // 8
    "subject = \"phantom\"\n"               // 9
    "who = \"staff\"\n"                     // 10
    "when = \"2026-11-20\"\n";              // 11

/// The recordings of a day in a folder of their own.
void write_day(const TemporaryFolder& folder) {
    std::filesystem::create_directory(folder.path("day"));
    write_sound(folder.path("day/tone.wav"), sine(1000.0, 0.1, 5.0, 48000.0), wav_float);
    write_sound(folder.path("day/epi.wav"), white_noise(0.3, 4.0, 48000.0), wav_float);
    write_sound(folder.path("day/t1.wav"), white_noise(0.1, 4.0, 48000.0), wav_float);
    static_cast<void>(folder.write("day/setup.toml", setup));
}

Outcome run(const TemporaryFolder& folder, std::vector<std::string> arguments) {
    arguments.insert(arguments.begin(), "measure");
    return run_program(arguments, folder.path(""));
}

}  // namespace

TEST_CASE("a setup states once what every recording needs, and each becomes a card") {
    const TemporaryFolder folder;
    write_day(folder);
    const Outcome outcome =
        run(folder, {"--setup", "day/setup.toml", "--cards", "cards", "day/epi.wav", "day/t1.wav"});
    CAPTURE(outcome.errors);
    CHECK(outcome.status == 0);
    const Sequence epi = files::read_sequence_card(folder.path("cards/epi.toml"));
    const Sequence t1 = files::read_sequence_card(folder.path("cards/t1.toml"));
    CHECK(epi.id == "epi");
    // Of one noise at 0.3 and at 0.1 of full scale.
    CHECK(near((epi.levels.LAeq - t1.levels.LAeq).dB(), 9.54, 0.3, Because::FiniteSignal));
    CHECK(epi.scanner == "the 3 T");
    CHECK(epi.origin.where == "left ear, isocentre");
    CHECK(epi.origin.subject == "phantom");
    CHECK(epi.origin.who == "staff");
    CHECK(epi.origin.when == "2026-11-20");
    CHECK(epi.origin.instrument == "microphone 12");
    CHECK(epi.origin.instrument_class == 1U);
    CHECK(t1.origin.how == "measured");
    // The levels are those that the options give.
    const auto by_options = first_channel(measured(
        folder, {"day/epi.wav", "--calibration", "day/tone.wav", "--calibrator-level", "94"}));
    const auto by_setup = measured(folder, {"day/epi.wav", "--setup", "day/setup.toml"});
    CHECK(by_options["LAeq_dB"] == first_channel(by_setup)["LAeq_dB"]);
    CHECK(holds(by_setup.dump(), "day/setup.toml"));
}

TEST_CASE("options stand in the place of what the setup states, a calibration as a whole") {
    const TemporaryFolder folder;
    write_day(folder);
    const auto louder = first_channel(measured(
        folder, {"day/epi.wav", "--setup", "day/setup.toml", "--calibrator-level", "104"}));
    const auto full_scale = first_channel(measured(
        folder, {"day/epi.wav", "--setup", "day/setup.toml", "--full-scale-level", "124"}));
    CHECK(near(louder["LAeq_dB"], full_scale["LAeq_dB"], 0.05, Because::FiniteSignal));
    const Outcome outcome = run(folder, {"day/epi.wav", "--setup", "day/setup.toml", "--who", "me",
                                         "--scanner", "another", "--card", "epi.toml"});
    CHECK(outcome.status == 0);
    CHECK(files::read_sequence_card(folder.path("epi.toml")).origin.who == "me");
    CHECK(files::read_sequence_card(folder.path("epi.toml")).scanner == "another");
}

TEST_CASE("ids and titles come from a table, as spreadsheets save it") {
    const TemporaryFolder folder;
    write_day(folder);
    static_cast<void>(folder.write(
        "names.csv",
        "Recording;ID;Title\r\nepi.wav;epi-2mm;Echo planar\r\nt1.wav;;Anatomy, T1\r\n"));
    const Outcome outcome = run(folder, {"--setup", "day/setup.toml", "--cards", "cards", "--table",
                                         "names.csv", "day/epi.wav", "day/t1.wav"});
    CAPTURE(outcome.errors);
    CHECK(outcome.status == 0);
    CHECK(files::read_sequence_card(folder.path("cards/epi-2mm.toml")).title == "Echo planar");
    CHECK(files::read_sequence_card(folder.path("cards/anatomy-t1.toml")).title == "Anatomy, T1");
}

TEST_CASE("cards are written all or none, and none over another without --force") {
    const TemporaryFolder folder;
    write_day(folder);
    const std::vector<std::string> both = {"--setup", "day/setup.toml", "--cards",
                                           "cards",   "day/epi.wav",    "day/t1.wav"};
    static_cast<void>(folder.write("cards/t1.toml", "mine"));
    const Outcome exists = run(folder, both);
    CHECK(exists.status == 2);
    CHECK(exists.output.empty());
    CHECK(holds(exists.errors, "cards/t1.toml"));
    CHECK(!std::filesystem::exists(folder.path("cards/epi.toml")));
    auto forced = both;
    forced.emplace_back("--force");
    CHECK(run(folder, forced).status == 0);
    CHECK(content_of(folder.path("cards/t1.toml")) != "mine");
    // One of them clipped: no card of any, and no folder.
    Signal loud = sine(300.0, 3.0, 4.0, 48000.0);
    for (double& x : loud)
        x = std::clamp(x, -1.0, 1.0);
    write_sound(folder.path("day/loud.wav"), loud, SF_FORMAT_WAV | SF_FORMAT_PCM_16);
    const Outcome clipped = run(
        folder, {"--setup", "day/setup.toml", "--cards", "more", "day/epi.wav", "day/loud.wav"});
    CHECK(clipped.status == 2);
    CHECK(holds(clipped.errors, "day/loud.wav"));
    CHECK(!std::filesystem::exists(folder.path("more")));
}

TEST_CASE("what a series cannot be is refused, all of it with its place") {
    const TemporaryFolder folder;
    write_day(folder);
    std::filesystem::create_directory(folder.path("other"));
    std::filesystem::copy(folder.path("day/epi.wav"), folder.path("other/epi.wav"));
    const auto refused = [&](std::vector<std::string> arguments) {
        const Outcome outcome = run(folder, std::move(arguments));
        CAPTURE(outcome.errors);
        CHECK(outcome.status == 2);
        CHECK(outcome.output.empty());
        CHECK(!std::filesystem::exists(folder.path("cards")));
        CHECK(holds(outcome.errors, "accepted: "));
        return outcome.errors;
    };
    CHECK(holds(
        refused({"--setup", "day/setup.toml", "--cards", "cards", "day/epi.wav", "other/epi.wav"}),
        "the id \"epi\" is also that of \"day/epi.wav\""));
    static_cast<void>(folder.write(
        "names.csv", "recording,id,colour\nepi.wav,same,red\nt1.wav,same,\nx.wav,x,\n"));
    const std::string table = refused({"--setup", "day/setup.toml", "--cards", "cards", "--table",
                                       "names.csv", "day/epi.wav", "day/t1.wav"});
    CHECK(holds(table, "names.csv:1:3: the heading \"colour\" is not known"));
    CHECK(holds(table, "names.csv:4:1: \"x.wav\" is no recording that was given"));
    for (const std::vector<std::string>& usage :
         {std::vector<std::string>{"--card", "a.toml"}, {"--id", "a"}, {"--find-runs"}}) {
        std::vector<std::string> arguments = {"--setup", "day/setup.toml", "--cards", "cards",
                                              "day/epi.wav"};
        arguments.insert(arguments.end(), usage.begin(), usage.end());
        static_cast<void>(refused(arguments));
    }
    static_cast<void>(
        refused({"--setup", "day/setup.toml", "--table", "names.csv", "day/epi.wav"}));
}

TEST_CASE("mistakes in a setup") {
    struct Row {
        std::string old, fresh, says;
    };
    const std::vector<Row> rows = {
        {"\"setup\"", "\"site\"", "setup.toml:1:8: "},
        {"calibrator_level = 94\n", "",
         "setup.toml:3:15: \"calibration\" stands without \"calibrator_level\""},
        {"calibrator_level = 94", "calibrator_level = 940", "setup.toml:4:20: "},
        {"calibrator_level", "calibrater_level", "nearest known is \"calibrator_level\""},
        {"who = ", "full_scale_level = 120\nwho = ",
         "setup.toml:10:20: \"full_scale_level\" stands beside \"calibration\""},
        {"who = ", "sensitivity = 50\nwho = ", "stands without \"full_scale_volts\""},
        {"\"phantom\"", "\"patient\"", "setup.toml:9:11: "},
        {"instrument_class = 1", "instrument_class = 3", "setup.toml:6:20: "},
        {"\"tone.wav\"", "\"\"", "setup.toml:3:15: \"calibration\" is empty"},
        {"\"tone.wav\"", "\"no.wav\"", "day/no.wav"},
    };
    for (const Row& row : rows) {
        CAPTURE(row.fresh);
        const TemporaryFolder folder;
        write_day(folder);
        std::string text = setup;
        text.replace(text.find(row.old), row.old.size(), row.fresh);
        static_cast<void>(folder.write("day/setup.toml", text));
        const Outcome outcome = run(folder, {"--setup", "day/setup.toml", "day/epi.wav"});
        CAPTURE(outcome.errors);
        CHECK(outcome.status == 2);
        CHECK(outcome.output.empty());
        CHECK(holds(outcome.errors, row.says));
        CHECK(holds(outcome.errors, "accepted: "));
    }
}
