// The command `predict` of a waveform alone: what it tells, what it refuses.
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "support/near.hpp"
#include "support/program.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget::test;
using nlohmann::json;

namespace {

const std::string head =
    "[VERSION]\nmajor 1\nminor 4\nrevision 1\n[DEFINITIONS]\nBlockDurationRaster 1e-05\n"
    "GradientRasterTime 1e-05\nRadiofrequencyRasterTime 1e-06\n";
const std::string trapezoid = "[TRAP]\n1 425760 100 300 200 0\n";

Outcome predict(const TemporaryFolder& folder, std::vector<std::string> arguments) {
    arguments.insert(arguments.begin(), "predict");
    return run_program(arguments, folder.path(""));
}

}  // namespace

TEST_CASE("predict: every key of the contract, without a response") {
    const TemporaryFolder folder;
    static_cast<void>(folder.write("one.seq", head + "[BLOCKS]\n1 100 0 1 0 0 0 0\n" + trapezoid));
    const Outcome outcome =
        predict(folder, {"one.seq", "--repeat", "3", "--rotate", "z:90", "--format", "json"});
    REQUIRE(outcome.status == 0);
    const json result = json::parse(outcome.output);
    CHECK(result["command"] == "predict");
    CHECK(result["inputs"][0]["file"] == "one.seq");
    const json& waveform = result["waveform"];
    CHECK(waveform["file"] == "one.seq");
    CHECK(waveform["sha256"] == result["inputs"][0]["sha256"]);
    CHECK(waveform["format_version"] == "1.4.1");
    CHECK(near(waveform["seconds"], 3e-3, 1e-12, Because::Arithmetic));
    CHECK(near(waveform["largest_gradient_mT_per_m"][1], 10.0, 1e-6, Because::Arithmetic));
    CHECK(near(waveform["largest_gradient_mT_per_m"][0], 0.0, 1e-6, Because::Arithmetic));
    CHECK(near(waveform["largest_slew_T_per_m_s"][1], 100.0, 1e-6, Because::Arithmetic));
    // √((100²·0.1 + 50²·0.2)/1)
    CHECK(near(waveform["rms_slew_T_per_m_s"][1], 38.729833, 1e-6, Because::PrintedRounding));
    CHECK(waveform["duration_is_lower_bound"] == false);
    CHECK(result["warnings"].empty());
    CHECK(result["cautions"].size() >= 4);
}

TEST_CASE("predict: the first line says what there is and what a level needs; warnings follow") {
    const TemporaryFolder folder;
    static_cast<void>(folder.write("waits.seq", head + "[BLOCKS]\n1 100 0 1 0 0 0 1\n" + trapezoid +
                                                    "2 425760 0 600 0 0\n[EXTENSIONS]\n1 1 1 0\n"
                                                    "extension TRIGGERS 1\n1 2 1 0 100\n"));
    const Outcome outcome = predict(folder, {"waits.seq"});
    CHECK(outcome.status == 0);
    CHECK(
        outcome.output.starts_with("At least 1 ms, at most 10.0 mT/m and 100.0 T/m/s: a level "
                                   "needs the scanner's response."));
    CHECK(outcome.output.find("waits.seq:10:1: the sequence waits for a trigger") !=
          std::string::npos);
    static_cast<void>(folder.write(
        "jump.seq", head + "[BLOCKS]\n1 100 0 1 0 0 0 0\n[TRAP]\n1 425760 0 600 0 0\n"));
    const Outcome jump = predict(folder, {"jump.seq", "--format", "json"});
    CHECK(json::parse(jump.output)["warnings"][0]["code"] == "jump");
}

TEST_CASE("predict: what is wrong is refused in one line, with status 2") {
    const TemporaryFolder folder;
    static_cast<void>(folder.write("long.seq", head + "[BLOCKS]\n1 59 0 1 0 0 0 0\n" + trapezoid));
    const Outcome outcome = predict(folder, {"long.seq"});
    CHECK(outcome.status == 2);
    CHECK(outcome.output.empty());
    CHECK(
        outcome.errors.starts_with("long.seq:10:8: the gradient on x ends after 0.6 ms, its "
                                   "block after 0.59 ms; accepted: "));
    CHECK(predict(folder, {"long.seq", "--repeat", "0"}).status == 2);
    CHECK(predict(folder, {"long.seq", "--rotate", "z"}).errors.find("such as z:30") !=
          std::string::npos);
    const Outcome missing = predict(folder, {"lang.seq"});
    CHECK(missing.errors.find("the nearest there is \"long.seq\"") != std::string::npos);
}
