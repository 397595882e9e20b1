// The record of every report: version, date, inputs with SHA-256, sources, and the same bytes
// again.
#include <algorithm>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "support/program.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;
using nlohmann::json;

namespace {

using Arguments = std::vector<std::string>;

const std::string recordings = EARBUDGET_SOURCE_DIR "/recordings";
const std::string demo_folder = EARBUDGET_SOURCE_DIR "/sequences/saltmarsh";

/// One report of each command, by absolute paths.
std::vector<Arguments> every_report() {
    return {
        {"assess", demo_folder + "/plan.toml"},
        {"choose", demo_folder + "/plan.toml"},
        {"ratings", demo_folder + "/protectors.toml"},
        {"measure", recordings + "/epi-2mm.flac", "--calibration", recordings + "/calibrator.flac",
         "--calibrator-level", "114", "--background", recordings + "/background.flac"}};
}

Arguments with(Arguments arguments, const Arguments& more) {
    arguments.insert(arguments.end(), more.begin(), more.end());
    return arguments;
}

json report(const Arguments& arguments, const std::string& folder = "/") {
    const Outcome outcome = run_program(with(arguments, {"--format", "json"}), folder);
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status <= 1);
    return json::parse(outcome.output);
}

std::set<std::string> files_of(const json& result) {
    std::set<std::string> files;
    for (const json& input : result["inputs"])
        files.insert(input["file"].get<std::string>());
    CHECK(files.size() == result["inputs"].size());  // each once
    return files;
}

}  // namespace

TEST_CASE("record: the hash of every input is that of sha256sum") {
    for (const Arguments& arguments : every_report()) {
        CAPTURE(arguments.front());
        const json result = report(arguments);
        REQUIRE(!result["inputs"].empty());
        for (const json& input : result["inputs"]) {
            const std::string file = input["file"];
            CAPTURE(file);
            const Outcome other = run_other("sha256sum", {"--binary", file});
            REQUIRE(other.status == 0);
            CHECK(other.output.substr(0, 64) == input["sha256"]);
        }
    }
}

TEST_CASE("record: every file that was read is an input") {
    const StudyFolder study;
    const std::set<std::string> of_plan = {"plan.toml", "cards/epi.toml", "protectors.toml"};
    CHECK(files_of(report({"assess", "plan.toml"}, study.root())) == of_plan);
    CHECK(files_of(report({"choose", "plan.toml"}, study.root())) == of_plan);
    CHECK(files_of(report({"ratings", "protectors.toml"}, study.root())) ==
          std::set<std::string>{"protectors.toml"});
    const auto of_measure = files_of(report(every_report().back()));
    for (const char* file : {"epi-2mm", "calibrator", "background"})
        CHECK(of_measure.contains(recordings + "/" + file + ".flac"));
    CHECK(of_measure.size() == 3);
}

TEST_CASE("record: a file that is named in two ways is one input") {
    const StudyFolder study;
    const json once = report({"assess", "plan.toml"}, study.root());
    const json twice = report({"assess", "plan.toml", "--against", "./plan.toml"}, study.root());
    CHECK(files_of(twice) == files_of(once));
    CHECK(twice["fingerprint"] == once["fingerprint"]);
}

TEST_CASE("record: a site file, cards measured there and the earlier plan are inputs too") {
    const json demo_result = report({"assess", demo_folder + "/plan.toml"});
    CHECK(files_of(demo_result).contains(demo_folder + "/site.toml"));
    const StudyFolder study;
    static_cast<void>(study.folder().write("before.toml", StudyText{}.plan));
    const json result = report({"assess", "plan.toml", "--against", "before.toml"}, study.root());
    CHECK(files_of(result) ==
          std::set<std::string>{"plan.toml", "before.toml", "cards/epi.toml", "protectors.toml"});
    CHECK(result["inputs"][0]["file"] == "plan.toml");
    CHECK(result["inputs"][0]["sha256"] == result["plan"]["sha256"]);
}

TEST_CASE("record: version, date and the clause of every criterion") {
    for (const Arguments& arguments : every_report()) {
        CAPTURE(arguments.front());
        const json result = report(with(arguments, {"--date", "2026-02-28"}));
        CHECK(result["version"] == EARBUDGET_VERSION);
        CHECK(result["date"] == "2026-02-28");
        CHECK(!result["sources"]["methods"].empty());
        // Only what draws at random says of which seed.
        const bool draws = arguments.front() == "assess" || arguments.front() == "choose" ||
                           arguments.front() == "review";
        CHECK(result.contains("seed") == draws);
        CHECK(result.contains("draws_of_times") == draws);
        if (draws) CHECK(result["draws"] == 8192);
        if (draws) CHECK(result["draws_of_times"] == 65536);
    }
    const json result = report({"assess", demo_folder + "/plan.toml"});
    for (const json& person : result["people"]) {
        for (const json& criterion : person["criteria"]) {
            const auto& known = result["sources"]["criteria"];
            CHECK(std::any_of(known.begin(), known.end(), [&](const json& source) {
                return source["id"] == criterion["id"] && source["source"] == criterion["source"];
            }));
        }
    }
}

TEST_CASE("record: the same inputs and date give the same bytes") {
    for (const Arguments& arguments : every_report()) {
        CAPTURE(arguments.front());
        for (const char* format : {"text", "json"}) {
            const Arguments whole =
                with(arguments, {"--date", "2026-02-28", "--working", "--format", format});
            const std::string first = run_program(whole).output;
            CHECK(first.size() > 100);
            CHECK(first == run_program(whole).output);
        }
    }
}

TEST_CASE("record: only the date differs between two days") {
    for (const Arguments& arguments : every_report()) {
        CAPTURE(arguments.front());
        std::istringstream one(run_program(with(arguments, {"--date", "2026-02-28"})).output);
        std::istringstream other(run_program(with(arguments, {"--date", "2027-11-30"})).output);
        std::string line_of_one;
        std::string line_of_other;
        int different = 0;
        while (std::getline(one, line_of_one)) {
            REQUIRE(std::getline(other, line_of_other));
            if (line_of_one == line_of_other) continue;
            ++different;
            CHECK(line_of_one.find("2026-02-28") != std::string::npos);
        }
        CHECK(different == 1);
    }
}

TEST_CASE("record: without --date it is the clock's day") {
    const Outcome before = run_other("date", {"+%Y-%m-%d"});
    const json result = report({"ratings", demo_folder + "/protectors.toml"});
    const Outcome after = run_other("date", {"+%Y-%m-%d"});
    const std::string date = result["date"].get<std::string>() + "\n";
    CHECK((date == before.output || date == after.output));  // midnight may pass meanwhile
}

TEST_CASE("record: the text ends with a block of it before the cautions") {
    for (const Arguments& arguments : every_report()) {
        CAPTURE(arguments.front());
        const std::string text = run_program(with(arguments, {"--date", "2026-02-28"})).output;
        const std::size_t record =
            text.find("\nSources and record\n  program: earbudget " EARBUDGET_VERSION
                      "\n  date: 2026-02-28\n");
        REQUIRE(record != std::string::npos);
        CHECK(text.find("\nCautions\n") > record);
        const json inputs = report(arguments)["inputs"];
        for (const json& input : inputs)
            CHECK(text.find(input["sha256"].get<std::string>()) != std::string::npos);
    }
}

TEST_CASE("record: what is no day of the calendar is refused with one line, nothing written") {
    const StudyFolder study;
    for (const char* date :
         {"2026-02-29", "2026-13-01", "2026-00-10", "2026-04-31", "2026-04-00", "26-04-01",
          "2026-4-1", "2026/04/01", "01.04.2026", "today", "2026-04-01T00:00", "0000-01-01",
          " 2026-04-01", "2100-02-29", "-026-04-01"}) {
        CAPTURE(date);
        for (Arguments arguments : every_report()) {
            CAPTURE(arguments.front());
            arguments.push_back(std::string("--date=") + date);
            arguments.insert(arguments.end(), {"--output", "out.txt"});
            const Outcome outcome = run_program(arguments, study.root());
            CHECK(outcome.status == 2);
            CHECK(outcome.output.empty());
            CHECK(lines_of(outcome.errors) == 1);
            CHECK(outcome.errors.find("YYYY-MM-DD") != std::string::npos);
            CHECK(run_other("test", {"-e", study.root() + "/out.txt"}).status != 0);
        }
    }
}

TEST_CASE("record: an empty date is refused as usage") {
    for (Arguments arguments : every_report()) {
        CAPTURE(arguments.front());
        arguments.insert(arguments.end(), {"--date", ""});
        const Outcome outcome = run_program(arguments);
        CHECK(outcome.status == 2);
        CHECK(outcome.output.empty());
        CHECK(lines_of(outcome.errors) == 1);
    }
}

TEST_CASE("record: leap days that exist are accepted") {
    for (const char* date : {"2028-02-29", "2000-02-29", "0001-01-01", "9999-12-31"}) {
        CAPTURE(date);
        CHECK(report({"ratings", demo_folder + "/protectors.toml", "--date", date})["date"] ==
              date);
    }
}
