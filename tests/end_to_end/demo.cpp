// The demo of the invented Saltmarsh Imaging Unit stays what its pages say it is.
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "files/sound_files.hpp"
#include "files/study_files.hpp"
#include "support/near.hpp"
#include "support/program.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

const std::filesystem::path source_root = EARBUDGET_SOURCE_DIR;

nlohmann::json demo_person(const nlohmann::json& result, const std::string& id) {
    for (const nlohmann::json& person : result["people"]) {
        if (person["id"] == id) return person;
    }
    throw std::out_of_range(id);
}

bool advises(const nlohmann::json& person, const std::string& code) {
    for (const nlohmann::json& advice : person["advice"]) {
        if (advice["code"] == code) return true;
    }
    return false;
}

std::vector<std::string> recording_names() {
    std::vector<std::string> names;
    for (const auto& entry : std::filesystem::directory_iterator(source_root / "recordings")) {
        names.push_back(entry.path().filename().string());
    }
    return names;
}

}  // namespace

TEST_CASE("one person of the demo is over a limit and is told what to do") {
    const Outcome outcome = run_program(
        {"assess", "sequences/saltmarsh/plan.toml", "--format", "json"}, source_root.string());
    CHECK(outcome.status == 1);
    const nlohmann::json result = nlohmann::json::parse(outcome.output);
    CHECK(result["people"].size() == 4);
    CHECK(demo_person(result, "pilot-a")["verdict"] == "within");
    CHECK(demo_person(result, "operator")["verdict"] == "within");
    CHECK(demo_person(result, "companion")["verdict"] == "within");
    const nlohmann::json over = demo_person(result, "pilot-b");
    CHECK(over["verdict"] == "over");
    CHECK(advises(over, "shorten"));
    CHECK((advises(over, "add-protection") || advises(over, "change-protection")));
    CHECK(result["warnings"].empty());
}

TEST_CASE("the text of the demo states the verdict in its first lines and cautions at its end") {
    const Outcome outcome =
        run_program({"assess", "sequences/saltmarsh/plan.toml"}, source_root.string());
    CHECK(outcome.output.find("OVER A LIMIT: pilot-b\n") == 0);
    CHECK(outcome.output.find("Within every limit: pilot-a, companion, operator\n") < 60);
    CHECK(outcome.output.find("do not replace a competent person") != std::string::npos);
}

TEST_CASE("the examples that help shows work as they stand and measure what the card says") {
    const TemporaryFolder folder;
    for (const std::string name : {"measure", "assess", "choose", "ratings", "review"}) {
        const std::string help = run_program({name, "--help"}).output;
        const std::size_t start = help.find("  earbudget " + name);
        REQUIRE(start != std::string::npos);
        std::string example = help.substr(start + 2, help.find("\n\n", start) - start - 2);
        example.replace(0, std::string("earbudget").size(), EARBUDGET_PROGRAM);
        const std::size_t card = example.find("--card ");
        if (card != std::string::npos) example.insert(card + 7, folder.path(""));
        const std::string command =
            "cd " + source_root.string() + " && " + example + " > " + folder.path("output");
        const int status = std::system(command.c_str());
        CHECK(WEXITSTATUS(status) == (name == "assess" ? 1 : 0));
    }
    const Sequence by_example = files::read_sequence_card(folder.path("epi-2mm.toml"));
    const Sequence committed = files::read_sequence_card(
        (source_root / "sequences/saltmarsh/cards/epi-2mm.toml").string());
    CHECK(by_example.levels.LAeq == committed.levels.LAeq);
}

TEST_CASE("the generator makes the committed recordings, to one step of 16 bits") {
    const TemporaryFolder folder;
    const std::string command = std::string(EARBUDGET_SYNTHESISER) + " " + folder.path("");
    REQUIRE(std::system(command.c_str()) == 0);
    const auto names = recording_names();
    CHECK(names.size() == 8);
    std::uintmax_t bytes = 0;
    for (const std::string& name : names) {
        CAPTURE(name);
        const std::string committed = (source_root / "recordings" / name).string();
        bytes += std::filesystem::file_size(committed);
        const auto old_samples = samples_of(committed);
        const auto new_samples = samples_of(folder.path(name));
        REQUIRE(old_samples.size() == new_samples.size());
        double worst = 0.0;
        for (std::size_t i = 0; i < old_samples.size(); ++i) {
            worst = std::max(worst, std::abs(old_samples[i] - new_samples[i]));
        }
        // Another machine's sine may round the last bit the other way.
        CHECK(near(worst, 0.0, 1.01 / 32768.0, Because::Arithmetic));
    }
    CHECK(bytes < 6000000);
}

TEST_CASE("the generator makes the committed waveforms, byte by byte") {
    const TemporaryFolder folder;
    const std::string command =
        std::string(EARBUDGET_SYNTHESISER) + " --waveforms " + folder.path("");
    REQUIRE(std::system(command.c_str()) == 0);
    const auto committed = source_root / "sequences/saltmarsh/waveforms";
    int files = 0;
    for (const auto& entry : std::filesystem::directory_iterator(committed)) {
        CAPTURE(entry.path().string());
        CHECK(content_of(entry.path().string()) ==
              content_of(folder.path(entry.path().filename().string())));
        CHECK(std::filesystem::file_size(entry.path()) <= 60'000);
        ++files;
    }
    CHECK(files == 2);
}

TEST_CASE("the demo's cards are what measuring its recordings gives") {
    const TemporaryFolder folder;
    int cards = 0;
    for (const auto& entry :
         std::filesystem::directory_iterator(source_root / "sequences/saltmarsh/cards")) {
        const Sequence committed = files::read_sequence_card(entry.path().string());
        CAPTURE(committed.id);
        const std::string fresh_path = folder.path(committed.id + ".toml");
        const Outcome outcome = run_program(
            {"measure", "recordings/" + committed.id + ".flac", "--calibration",
             "recordings/calibrator.flac", "--calibrator-level", "114", "--card", fresh_path},
            source_root.string());
        REQUIRE(outcome.status == 0);
        const Sequence fresh = files::read_sequence_card(fresh_path);
        CHECK(near(fresh.levels.LAeq.dB(), committed.levels.LAeq.dB(), 0.002, Because::Arithmetic));
        CHECK(near(fresh.levels.LCpeak->dB(), committed.levels.LCpeak->dB(), 0.01,
                   Because::Arithmetic));
        CHECK(near(fresh.levels.LZpeak->dB(), committed.levels.LZpeak->dB(), 0.01,
                   Because::Arithmetic));
        CHECK(
            near(fresh.levels.LCeq->dB(), committed.levels.LCeq->dB(), 0.002, Because::Arithmetic));
        for (const OctaveBand band : octave_bands) {
            REQUIRE(committed.levels.octave.has(band));
            CHECK(near(fresh.levels.octave.at(band)->dB(), committed.levels.octave.at(band)->dB(),
                       0.01, Because::Arithmetic));
        }
        ++cards;
    }
    CHECK(cards == 6);
}
