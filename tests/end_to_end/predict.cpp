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

namespace {

/// The same response on x, y and z: 20 Pa per T/m, phase 0, 10 Hz apart up to 5 kHz.
std::string flat_response(const std::string& more = "") {
    std::string frequencies;
    std::string magnitudes;
    std::string zeros;
    std::string ones;
    for (int n = 1; n <= 500; ++n) {
        frequencies += std::to_string(10 * n) + ".0,";
        magnitudes += "20.0,";
        zeros += "0.0,";
        ones += "1.0,";
    }
    std::string text = "kind = \"response\"\nformat = 1\nbin_width_Hz = 10.0\n" + more;
    for (const std::string axis : {"x", "y", "z"})
        text += "[axis." + axis + "]\nfrequency_Hz = [" + frequencies +
                "]\nmagnitude_Pa_per_T_per_m = [" + magnitudes + "]\nphase_deg = [" + zeros +
                "]\ncoherence = [" + ones + "]\n";
    return text;
}

}  // namespace

TEST_CASE("predict: with a response there are levels, and a card that says that it is predicted") {
    const TemporaryFolder folder;
    static_cast<void>(folder.write("one.seq", head + "[BLOCKS]\n1 100 0 1 0 0 0 0\n" + trapezoid));
    static_cast<void>(folder.write("response.toml", flat_response("[uncertainty]\nLAeq = 2.5\n")));
    const Outcome outcome =
        predict(folder, {"one.seq", "--repeat", "2000", "--response", "response.toml", "--card",
                         "one.toml", "--title", "One pulse", "--format", "json"});
    REQUIRE(outcome.status == 0);
    const json result = json::parse(outcome.output);
    const double level = result["levels"]["LAeq_dB"];
    CHECK(level > 60.0);
    CHECK(level < 130.0);
    // No recording was held back: what the file states is less than a guess has.
    CHECK(result["levels"]["uncertainty_dB"] >= 5.0);
    CHECK(result["levels"]["octave_dB"].contains("1000"));
    CHECK(result["levels"]["LAeq_of_seconds_dB"].size() == 2);
    CHECK(result["uncovered"]["energy_percent"] > 0.0);
    CHECK(result["uncovered"]["LAeq_at_most_dB"] >= level);
    CHECK(result["worst_orientation"]["LAeq_dB"] >= level);
    CHECK(result["response"]["file"] == "response.toml");
    CHECK(result["inputs"].size() == 2);

    const Outcome reviewed =
        run_program({"review", "one.toml", "--format", "json"}, folder.path(""));
    CHECK(reviewed.status == 1);
    const json review = json::parse(reviewed.output);
    CHECK(review["sequences"][0]["recommendation"]["code"] == "not-before-known");
    CHECK(near(review["sequences"][0]["levels"]["LAeq_dB"], level, 1e-3, Because::PrintedRounding));
    // No bound on peaks stands in for one that nobody measured.
    CHECK(review.dump().find("\"by_bound\":true") == std::string::npos);
}

TEST_CASE("predict: an uncertainty is told with the recordings that stand behind it") {
    const TemporaryFolder folder;
    static_cast<void>(folder.write("one.seq", head + "[BLOCKS]\n1 100 0 1 0 0 0 0\n" + trapezoid));
    const std::string stated =
        "[uncertainty]\nLAeq = 2.5\n[origin]\nhow = \"made up\"\ninstrument = \"class 1\"\n";
    std::string held_back;
    for (const char* name : {"a", "b", "c"})
        held_back +=
            std::string("[[left_out]]\nrecording = \"") + name + ".wav\"\nLAeq_error_dB = 0.5\n";
    const auto card_by = [&](const std::string& name, const std::string& more) {
        static_cast<void>(folder.write(name + "-response.toml", flat_response(more)));
        const Outcome outcome =
            predict(folder, {"one.seq", "--repeat", "2000", "--response", name + "-response.toml",
                             "--card", name + ".toml"});
        CHECK(outcome.status == 0);
        const bool is_tried = outcome.output.find("each held back in") != std::string::npos;
        CHECK(is_tried == (name == "tried"));
        return content_of(folder.path(name + ".toml"));
    };
    const std::string untried = card_by("untried", stated);
    CHECK(untried.find("at least 5 dB, as a guess, since no recording was held back") !=
          std::string::npos);
    CHECK(untried.find("made up") != std::string::npos);
    CHECK(untried.find("class 1") == std::string::npos);
    const std::string tried = card_by("tried", stated + held_back);
    CHECK(tried.find("3 recordings, each held back in turn") != std::string::npos);
    CHECK(tried.find("class 1") != std::string::npos);
}

TEST_CASE("predict: octave bands that a card cannot state are bounded or warned of") {
    const TemporaryFolder folder;
    // Ramps of 10 µs drive all up to 20 kHz.
    static_cast<void>(folder.write(
        "one.seq", head + "[BLOCKS]\n1 100 0 1 0 0 0 0\n[TRAP]\n1 425760 10 20 10 0\n"));
    static_cast<void>(folder.write("response.toml", flat_response()));
    const auto warnings = [&](std::vector<std::string> words) {
        words.insert(words.begin(), {"one.seq", "--repeat", "2000", "--response", "response.toml"});
        words.insert(words.end(), {"--format", "json"});
        return predict(folder, words).output;
    };
    CHECK(warnings({"--card", "one.toml"}).find("octave-bands-missing") != std::string::npos);
    CHECK(content_of(folder.path("one.toml")).find("\"8000\" =") == std::string::npos);
    // What no card is written of leaves nothing out.
    CHECK(warnings({}).find("octave-bands-missing") == std::string::npos);
    // Long ramps drive little above 5 kHz.
    static_cast<void>(folder.write(
        "one.seq", head + "[BLOCKS]\n1 400 0 1 0 0 0 0\n[TRAP]\n1 425760 2000 0 2000 0\n"));
    CHECK(warnings({"--card", "slow.toml"}).find("octave-bands-missing") == std::string::npos);
    const std::string slow = content_of(folder.path("slow.toml"));
    CHECK(slow.find("\"8000\" =") != std::string::npos);
    CHECK(slow.find("tells nothing of octave bands 8000 Hz") != std::string::npos);
}

TEST_CASE("predict: what varying finds is told after the level, before tables") {
    const TemporaryFolder folder;
    static_cast<void>(folder.write("one.seq", head + "[BLOCKS]\n1 100 0 1 0 0 0 0\n" + trapezoid));
    static_cast<void>(folder.write(
        "flat.seq", head + "[BLOCKS]\n1 100 0 1 0 0 0 0\n[TRAP]\n1 425760 200 0 200 0\n"));
    static_cast<void>(folder.write("response.toml", flat_response()));
    const auto varied = [&](const char* waveform) {
        return predict(folder, {waveform, "--repeat", "300", "--response", "response.toml",
                                "--vary", "echo-spacing"})
            .output;
    };
    const std::string one = varied("one.seq");
    CHECK(one.find("than the file as it") < one.find("Predicted, never heard"));
    const std::string nothing = varied("flat.seq");
    CHECK(nothing.find("nothing of it could be stretched") <
          nothing.find("Predicted, never heard"));
}

TEST_CASE("predict: what a response leaves out has no level; options that need one are refused") {
    const TemporaryFolder folder;
    static_cast<void>(folder.write("one.seq", head + "[BLOCKS]\n1 100 0 1 0 0 0 0\n" + trapezoid));
    static_cast<void>(folder.write("nothing.toml",
                                   "kind = \"response\"\nformat = 1\nbin_width_Hz = 10.0\n"
                                   "[axis.y]\ndriven = true\n"));
    const Outcome silent =
        predict(folder, {"one.seq", "--response", "nothing.toml", "--format", "json"});
    CHECK(silent.status == 1);
    CHECK(json::parse(silent.output)["levels"]["LAeq_dB"].is_null());
    const Outcome no_card =
        predict(folder, {"one.seq", "--response", "nothing.toml", "--card", "one.toml"});
    CHECK(no_card.status == 2);
    CHECK(no_card.errors.find("no card can be written") != std::string::npos);
    CHECK(predict(folder, {"one.seq", "--card", "one.toml"}).status == 2);
    CHECK(predict(folder, {"one.seq", "--title", "One"}).status == 2);
    const Outcome misled = run_program({"assess", "nothing.toml"}, folder.path(""));
    CHECK(misled.errors.find("predict WAVEFORM --response") != std::string::npos);
}

TEST_CASE("response: what does not fit together is refused") {
    const TemporaryFolder folder;
    static_cast<void>(folder.write("one.seq", head + "[BLOCKS]\n1 100 0 1 0 0 0 0\n" + trapezoid));
    const auto refused = [&](std::vector<std::string> words) {
        words.insert(words.begin(), "response");
        const Outcome outcome = run_program(words, folder.path(""));
        CHECK(outcome.status == 2);
        CHECK(outcome.errors.find("accepted") != std::string::npos);
        return outcome.errors;
    };
    const std::string recording = std::string(EARBUDGET_SOURCE_DIR) + "/recordings/epi-2mm.flac";
    const std::vector<std::string> pair = {"--waveform", "one.seq",  "--recording",
                                           recording,    "--output", "r.toml"};
    CHECK(refused(pair).find("earbudget response: without a calibration") != std::string::npos);
    std::vector<std::string> more = pair;
    more.insert(more.end(), {"--full-scale-level", "136", "--waveform", "one.seq"});
    CHECK(refused(more).find("2 times") != std::string::npos);
    std::vector<std::string> other = pair;
    other.insert(other.end(), {"--full-scale-level", "136"});
    // A waveform of a millisecond has no eight windows.
    CHECK(refused(other).find("epi-2mm.flac") != std::string::npos);
}

TEST_CASE("review: a predicted card beside the measured one, and the response's record grows") {
    const TemporaryFolder folder;
    const auto card = [&](const std::string& how, const std::string& LAeq) {
        return folder.write(how + ".toml", "kind = \"sequence\"\nformat = 1\nid = \"" + how +
                                               "\"\n[levels]\nLAeq = " + LAeq +
                                               "\nuncertainty = 1.5\n[levels.octave]\n\"1000\" = " +
                                               LAeq + "\n[origin]\nhow = \"" + how + "\"\n");
    };
    static_cast<void>(card("measured", "100.0"));
    static_cast<void>(card("predicted", "103.0"));
    static_cast<void>(folder.write("response.toml", flat_response("# as measured\n")));
    const auto review = [&](std::vector<std::string> words) {
        words.insert(words.begin(), "review");
        return run_program(words, folder.path(""));
    };
    const Outcome outcome = review({"measured.toml", "--predicted", "predicted.toml", "--response",
                                    "response.toml", "--format", "json", "--date", "2026-11-29"});
    REQUIRE(outcome.status < 2);
    const json result = json::parse(outcome.output);
    const json& beside = result["predicted"];
    CHECK(near(beside["LAeq_difference_dB"], 3.0, 1e-9, Because::Arithmetic));
    CHECK(near(beside["octave_difference_dB"]["1000"], 3.0, 1e-9, Because::Arithmetic));
    CHECK(beside["octave_difference_dB"]["63"].is_null());
    // √(1.5² + 1.5²)
    CHECK(near(beside["uncertainty_dB"], 2.121, 1e-3, Because::PrintedRounding));
    CHECK(beside["inside"] == true);
    const std::string grown = content_of(folder.path("response.toml"));
    CHECK(grown.find("# as measured") != std::string::npos);
    CHECK(grown.find("[[comparison]]\nsequence = \"measured\"\nwhen = \"2026-11-29\"\n"
                     "LAeq_difference_dB = 3.0\ninside = true\n") != std::string::npos);
    CHECK(review({"measured.toml", "--predicted", "predicted.toml", "--detail"})
              .output.find("within twice the") != std::string::npos);
    // Neither the wrong way round nor without a prediction.
    CHECK(review({"predicted.toml", "--predicted", "measured.toml"}).status == 2);
    CHECK(review({"measured.toml", "--response", "response.toml"}).status == 2);
    CHECK(content_of(folder.path("response.toml")) == grown);
    CHECK_FALSE(
        json::parse(review({"measured.toml", "--format", "json"}).output).contains("predicted"));
}
