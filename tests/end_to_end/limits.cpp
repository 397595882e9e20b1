// Hostile input: refused with one clear line, or computed right, and never for hours.
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>
#include <sndfile.h>
#include <sys/stat.h>

#include "support/program.hpp"
#include "support/restricted.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;

namespace {

using Words = std::vector<std::string>;

void check_refused(const Outcome& outcome, const std::string& place, const std::string& what) {
    CAPTURE(outcome.errors);
    CHECK(outcome.status == 2);
    CHECK(outcome.output.empty());
    CHECK(lines_of(outcome.errors) == 1);
    CHECK(outcome.errors.find(place + ":") == 0);
    CHECK(outcome.errors.find(what) != std::string::npos);
    CHECK(outcome.errors.find("accepted: ") != std::string::npos);
    CHECK(outcome.errors.size() < 5000);
}

std::string repeated(const std::string& text, std::size_t times) {
    std::string all;
    all.reserve(text.size() * times);
    for (std::size_t n = 0; n < times; ++n)
        all += text;
    return all;
}

/// The study's plan with more of something at its end.
Outcome assess_with(const StudyFolder& study, const std::string& more) {
    static_cast<void>(study.folder().write("more.toml", StudyText().plan + more));
    return run_program({"assess", "more.toml"}, study.root());
}

/// A sound file of silence.
std::string silent_recording(const TemporaryFolder& folder, int channels) {
    const std::string path = folder.path("silence.wav");
    SF_INFO info{0, 8000, channels, SF_FORMAT_WAV | SF_FORMAT_PCM_16, 0, 0};
    SNDFILE* file = sf_open(path.c_str(), SFM_WRITE, &info);
    REQUIRE(file);
    const std::vector<short> frames(static_cast<std::size_t>(channels) * 8000, 0);
    REQUIRE(sf_writef_short(file, frames.data(), 8000) == 8000);
    sf_close(file);
    return path;
}

}  // namespace

TEST_CASE("keys nested without end are refused where they become too deep") {
    const TemporaryFolder folder;
    const std::string head = "kind = \"sequence\"\nformat = 1\n";
    const std::string parts = repeated("a.", 500'000) + "a";
    for (const std::string& line :
         {parts + " = 1\n", "[" + parts + "]\n", "[[" + parts + "]]\n", "x = {" + parts + " = 1}\n",
          repeated("'a' . ", 100'000) + "a = 1\n"}) {
        static_cast<void>(folder.write("deep.toml", head + line));
        check_refused(run_program({"review", "deep.toml"}, folder.path("")), "deep.toml:3",
                      "a key of more than 8 parts");
    }
    for (const std::string nested : {"[", "{a = "}) {
        static_cast<void>(folder.write("deep.toml", head + "x = " + repeated(nested, 300'000)));
        check_refused(run_program({"review", "deep.toml"}, folder.path("")), "deep.toml:3",
                      "not TOML");
    }
    // A text of several lines may end with quotes of its own; what follows is not hidden by them.
    for (const std::string text : {R"("""b""")", R"("""b"""")", R"("""b""""")", "'''b'''",
                                   "'''b''''", "'''b'''''", R"("\"b")", "''"}) {
        CAPTURE(text);
        static_cast<void>(
            folder.write("deep.toml", head + "x = [" + text + ", {" + parts + " = 1}]\n"));
        check_refused(run_program({"review", "deep.toml"}, folder.path("")), "deep.toml:3",
                      "a key of more than 8 parts");
    }
    // Points in texts and comments are no keys.
    const std::string points = repeated(".", 100);
    static_cast<void>(folder.write(
        "points.toml", head + "# " + points + "\nid = 'a'\ntitle = \"\\\"" + points +
                           "\"\n[levels]\nLAeq = 80.0\n[origin]\nhow = 'entered'\nwho = \"\"\"\n" +
                           "\\\"\"\" = " + points + "\"\"\"\n"));
    const Outcome outcome = run_program({"review", "points.toml"}, folder.path(""));
    CAPTURE(outcome.errors);
    CHECK(outcome.errors.find("parts") == std::string::npos);
}

TEST_CASE("more of anything than a facility has is refused with how much is accepted") {
    const StudyFolder study;
    const std::string row = "[[timeline]]\nrest = \"1 s\"\n";
    const std::string person =
        "[[person]]\nid = \"p{}\"\nrole = \"participant\"\nwears = [\"foam\"]\n";
    check_refused(assess_with(study, repeated(row, 2000)), "more.toml:12:1",
                  "\"timeline\" has 2002 entries; accepted: at most 2000");
    std::string people;
    for (int n = 0; n < 20; ++n)
        people += with(person, "{}", std::to_string(n));
    check_refused(assess_with(study, people + repeated(row, 1000)), "more.toml:18:1",
                  "all people together hear 21042 timeline rows and tasks; accepted: at most");
    check_refused(assess_with(study, "cannot_wear = [" + repeated("\"foam\", ", 2000) + "]\n"),
                  "more.toml:22:15", "\"cannot_wear\" has 2000 entries");
    check_refused(assess_with(study, "canal = \"" + repeated("x", 1'000'000) + "\"\n"),
                  "more.toml:22:9", "\"canal\" has 1000000 bytes");
    check_refused(assess_with(study, repeated("x", 1'000'000) + " = 1\n"), "more.toml:22:1",
                  "unknown key");

    std::string catalogue = StudyText().protectors;
    for (int n = 0; n < 90; ++n) {
        catalogue += "[[protector]]\nid = \"p" + std::to_string(n) +
                     "\"\ntype = \"foam-plug\"\nSNR = 20\n[[protector]]\nid = \"m" +
                     std::to_string(n) + "\"\ntype = \"earmuff\"\nSNR = 20\n";
    }
    static_cast<void>(study.folder().write("protectors.toml", catalogue));
    // What was not asked for is left out rather than the question refused.
    std::string many;
    for (int n = 0; n < 20; ++n)
        many += with(person, "{}", std::to_string(n));
    CHECK(assess_with(study, many).status <= 1);
    static_cast<void>(study.folder().write("protectors.toml", catalogue + catalogue));
    check_refused(assess_with(study, ""), "protectors.toml:3:1", "\"protector\" has 364 entries");
}

TEST_CASE("a folder of thousands of cards is refused, two cards of one id are both named") {
    const StudyFolder study;
    static_cast<void>(study.folder().write("cards/a-copy.toml", StudyText().card));
    const Outcome twice = run_program({"assess", "plan.toml"}, study.root());
    check_refused(twice, "cards/epi.toml", "also that of \"cards/a-copy.toml\"");
    for (int n = 0; n < 1000; ++n)
        static_cast<void>(study.folder().write("cards/" + std::to_string(n) + ".toml", "x"));
    check_refused(run_program({"assess", "plan.toml"}, study.root()), "plan.toml:4:13",
                  "holds more than 1000 cards");
}

TEST_CASE("the cards of all positions together are bounded, and a card's size is") {
    const StudyFolder study;
    for (int n = 0; n < 999; ++n) {
        const std::string id = "s" + std::to_string(n);
        static_cast<void>(study.folder().write("there/" + id + ".toml",
                                               with(StudyText().card, "\"epi\"", '"' + id + '"')));
    }
    const std::string position =
        "[[position]]\nid = \"p{}\"\nsequences = \"there\"\ndifference_dB = -10.0\n";
    std::string positions;
    for (int n = 0; n < 6; ++n)
        positions += with(position, "{}", std::to_string(n));
    check_refused(assess_with(study, positions), "more.toml:44:13", "more than 5000 cards");
    static_cast<void>(study.folder().write(
        "cards/large.toml",
        with(StudyText().card, "\"epi\"", "\"large\"") + '#' + repeated("x", 300'000)));
    check_refused(run_program({"assess", "plan.toml"}, study.root()), "cards/large.toml",
                  "larger than 256 KiB");
}

TEST_CASE("a message that is no UTF-8 is cut to a bearable length too") {
    const Outcome outcome = run_program({"assess", repeated("\x80", 6000)});
    CHECK(outcome.status == 2);
    CHECK(outcome.errors.size() < 5000);
    CHECK(outcome.errors.find("accepted: ") != std::string::npos);
}

TEST_CASE("cards are read in the order of their names, however the folder is stored") {
    const auto inputs = [](const Words& names) {
        const StudyFolder study;
        for (const std::string& name : names) {
            static_cast<void>(study.folder().write(
                "cards/" + name + ".toml", with(StudyText().card, "\"epi\"", '"' + name + '"')));
        }
        const Outcome outcome =
            run_program({"assess", "plan.toml", "--format", "json"}, study.root());
        REQUIRE(outcome.status == 0);
        const auto report = nlohmann::json::parse(outcome.output);
        std::string files;
        for (const auto& input : report["inputs"])
            files += input["file"].get<std::string>() + ' ';
        return files;
    };
    const std::string forward = inputs({"a", "b", "c", "d", "zz", "B"});
    CHECK(forward == inputs({"zz", "d", "B", "c", "b", "a"}));
    CHECK(forward ==
          "plan.toml cards/B.toml cards/a.toml cards/b.toml cards/c.toml cards/d.toml "
          "cards/epi.toml cards/zz.toml protectors.toml ");
}

TEST_CASE("pipes, devices, folders and links in circles are refused wherever a file is named") {
    const StudyFolder study;
    REQUIRE(::mkfifo(study.folder().path("pipe").c_str(), 0600) == 0);
    std::filesystem::create_symlink("circle", study.folder().path("circle"));
    std::filesystem::create_symlink("/dev/zero", study.folder().path("zeros"));
    std::filesystem::create_directory(study.folder().path("folder"));
    for (const std::string name :
         {"pipe", "circle", "zeros", "folder", "/dev/null", "absent", ""}) {
        CAPTURE(name);
        for (const std::string command : {"assess", "choose", "review", "ratings"}) {
            // Of a folder all plans in it are assessed.
            const bool many = command == "assess" && name == "folder";
            check_refused(run_program({command, name}, study.root()),
                          name.empty() ? "earbudget " + command : name + ":1:1",
                          name.empty() ? "is empty" : many ? "no plan in this folder" : "cannot read");
        }
        check_refused(run_program({"measure", name, "--full-scale-level", "120"}, study.root()),
                      name.empty() ? "earbudget measure" : name + ":1:1",
                      name.empty() ? "is empty" : "cannot measure");
        check_refused(run_program({"measure", EARBUDGET_SOURCE_DIR "/recordings/localiser.flac",
                                   "--calibration", name, "--calibrator-level", "94"},
                                  study.root()),
                      name.empty() ? "earbudget measure" : name + ":1:1",
                      name.empty() ? "--calibration is empty" : "cannot measure");
        const std::string plan = StudyText().plan;
        static_cast<void>(study.folder().write(
            "other.toml", with(plan, "\"protectors.toml\"", '"' + name + '"')));
        if (!name.empty()) {
            check_refused(run_program({"assess", "other.toml"}, study.root()), "other.toml:5:14",
                          "cannot read");
        }
        if (name == "folder" || name.empty()) continue;
        static_cast<void>(
            study.folder().write("other.toml", with(plan, "\"cards\"", '"' + name + '"')));
        check_refused(run_program({"assess", "other.toml"}, study.root()), "other.toml:4:13",
                      "cannot read the folder");
    }
    // A link to a file, and a path with detours, are as good as the file.
    std::filesystem::create_symlink("plan.toml", study.folder().path("link.toml"));
    CHECK(run_program({"assess", "link.toml"}, study.root()).status == 0);
    const std::string detour = repeated("cards/../", 300) + "plan.toml";
    CHECK(run_program({"assess", detour}, study.root()).status == 0);
    const Outcome too_long =
        run_program({"assess", repeated("cards/../", 600) + "plan.toml"}, study.root());
    CHECK(too_long.status == 2);
    CHECK(too_long.errors.find("File name too long; accepted: ") != std::string::npos);
    CHECK(too_long.errors.size() < 5000);
}

TEST_CASE("files of gigabytes are refused at once where none is so large") {
    const StudyFolder study;
    constexpr std::uintmax_t eight_gibi = std::uintmax_t{8} << 30U;  // of which nothing is stored
    for (const std::string name : {"large.toml", "large.wav"}) {
        static_cast<void>(study.folder().write(name, "RIFF"));
        std::filesystem::resize_file(study.folder().path(name), eight_gibi);
    }
    check_refused(run_program({"assess", "large.toml"}, study.root()), "large.toml:1:1",
                  "larger than 4 MiB; accepted: a readable file of at most 4 MiB");
    check_refused(run_program({"measure", "large.wav", "--full-scale-level", "120"}, study.root()),
                  "large.wav:1:1", "not a sound file");
}

TEST_CASE("up to 64 channels are measured together, more are refused") {
    const TemporaryFolder folder;
    const Outcome many = run_program(
        {"measure", silent_recording(folder, 64), "--full-scale-level", "120", "--format", "json"});
    CHECK(many.status == 1);  // silent
    CHECK(nlohmann::json::parse(many.output)["recordings"][0]["channels"].size() == 64);
    const std::string path = silent_recording(folder, 65);
    check_refused(run_program({"measure", path, "--full-scale-level", "120"}), path,
                  "65 channels, of which at most 64");
}

TEST_CASE("absurd repeats and durations come out finite, with a warning") {
    const StudyFolder study;
    std::string plan = with(StudyText().plan, "repeat = 2", "repeat = 100000");
    plan = with(plan, "\"8 min\"", "\"1000 h\"") + "sessions_per_day = 100\n";
    static_cast<void>(study.folder().write("absurd.toml", plan));
    const Outcome outcome =
        run_program({"assess", "absurd.toml", "--format", "json"}, study.root());
    REQUIRE(outcome.status == 1);
    const auto report = nlohmann::json::parse(outcome.output);
    const auto& person = report["people"][0];
    // 100 sessions of 100,000 runs of 1000 hours and a rest.
    CHECK(person["exposure"]["seconds"] == 100 * (100'000 * 3'600'000.0 + 120.0));
    CHECK(person["criteria"][0]["value"].is_number());
    CHECK(outcome.output.find("day-too-long") != std::string::npos);
    for (const std::string repeat :
         {"0", "-1", "100001", "9223372036854775807", "9223372036854775808", "1e3", "inf"}) {
        static_cast<void>(study.folder().write(
            "absurd.toml", with(StudyText().plan, "repeat = 2", "repeat = " + repeat)));
        check_refused(run_program({"assess", "absurd.toml"}, study.root()), "absurd.toml:15",
                      "accepted: ");
    }
}

TEST_CASE("a zero character in a key or a text does not cut the message off") {
    const TemporaryFolder folder;
    for (const std::string& line :
         {std::string(R"("a\u0000b" = 1)"), std::string(R"(id = "a\u0000b")"),
          std::string(R"(x = ["a\u0000b"])"), std::string("a\0b = 1", 7), std::string("a\0b", 3),
          std::string("id = \0\"a\"", 9), std::string("id = \"a\0b\"", 10)}) {
        CAPTURE(line);
        static_cast<void>(
            folder.write("zero.toml", "kind = \"sequence\"\nformat = 1\n" + line + "\n"));
        check_refused(run_program({"review", "zero.toml"}, folder.path("")), "zero.toml:3",
                      "the character U+0000");
    }
}
