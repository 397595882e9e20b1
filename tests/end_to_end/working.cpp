// The working of every report, redone from what is printed with this test's own arithmetic.
#include <cmath>
#include <map>
#include <set>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "redone.hpp"
#include "support/near.hpp"
#include "support/program.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;
using nlohmann::json;

namespace {

const std::string demo = EARBUDGET_SOURCE_DIR "/sequences/saltmarsh";
const std::string recordings = EARBUDGET_SOURCE_DIR "/recordings";

json worked(std::vector<std::string> arguments, const std::string& folder = "/") {
    arguments.insert(arguments.end(), {"--working", "--format", "json", "--date", "2026-02-28"});
    const Outcome outcome = run_program(arguments, folder);
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status <= 1);
    return json::parse(outcome.output);
}

json worked(const StudyText& text, const std::string& command = "assess") {
    const StudyFolder study(text);
    return worked({command, "plan.toml"}, study.root());
}

/// JSON prints every digit that a number has; sums of many parts round in another order.
constexpr double printed = 1e-9;

/// Redoes all steps of a working; returns how many by the beginning of their formulas.
std::map<std::string, int> redo_all(const json& working) {
    std::map<std::string, int> redone_steps;
    for (const json& step : working) {
        const auto again = redone(step);
        if (!again) continue;
        CAPTURE(step.dump(1));
        const double result = step["result"];
        // A time is rounded down to a thousandth of a second, at which either side may fall.
        const double tolerance =
            step["unit"] == "s" ? 0.0011 : printed * std::max(1.0, std::abs(result));
        CHECK(near(*again, result, tolerance, Because::Arithmetic));
        ++redone_steps[step["formula"].get<std::string>()];
    }
    return redone_steps;
}

int redone_with(const json& working, const std::string& begin) {
    int count = 0;
    for (const auto& [formula, steps] : redo_all(working)) {
        if (formula.starts_with(begin)) count += steps;
    }
    return count;
}

StudyText by_method(const std::string& method, const std::string& derating) {
    StudyText text;
    text.plan = with(text.plan, "\"nrr\"", "\"" + method + "\"");
    text.plan = with(text.plan, "\"none\"", derating);
    return text;
}

const std::string octave_levels =
    "[levels.octave]\n\"63\" = 90.0\n\"125\" = 92.0\n\"250\" = 95.0\n\"500\" = 98.0\n"
    "\"1000\" = 104.0\n\"2000\" = 102.0\n\"4000\" = 98.0\n\"8000\" = 85.0\n";

StudyText with_octaves(const std::string& method, const std::string& derating) {
    StudyText text = by_method(method, derating);
    text.card = with(text.card, "[origin]", octave_levels + "[origin]");
    text.card = with(text.card, "LCeq = 109.5\n", "");
    text.protectors = with(text.protectors, "SNR = 30\n",
                           "frequency = [63, 125, 250, 500, 1000, 2000, 4000, 8000]\n"
                           "mean = [20.0, 22.0, 24.0, 27.0, 29.0, 33.0, 39.0, 40.0]\n"
                           "sd = [5.0, 5.0, 5.0, 5.0, 4.5, 4.0, 4.0, 5.0]\n");
    return text;
}

/// The numbers of an object as keys of a working, nulls left out.
void collect(const json& value, const std::string& key, std::set<std::string>& keys) {
    if (value.is_object()) {
        for (const auto& [name, member] : value.items())
            collect(member, key.empty() ? name : key + "." + name, keys);
    } else if (value.is_array()) {
        for (std::size_t n = 0; n < value.size(); ++n)
            collect(value[n], key + "[" + std::to_string(n) + "]", keys);
    } else if (value.is_number()) {
        keys.insert(key);
    }
}

void check_every_number_is_worked(const json& person) {
    std::set<std::string> keys;
    for (const char* part : {"exposure", "criteria", "segments", "drivers", "methods"})
        collect(person[part], part, keys);
    std::set<std::string> worked_out;
    for (const json& step : person["working"]) {
        CHECK(!step["source"].get<std::string>().empty());
        CHECK(!step["formula"].get<std::string>().empty());
        for (const std::string key : step["of"]) {
            worked_out.insert(key);
            std::string pointer = "/" + key;
            for (std::size_t n = 0; n < pointer.size(); ++n) {
                if (pointer[n] == '.' || pointer[n] == '[') pointer[n] = '/';
            }
            std::erase(pointer, ']');
            CAPTURE(pointer);
            REQUIRE(person.contains(json::json_pointer(pointer)));
            const json& number = person[json::json_pointer(pointer)];
            if (step["result"].is_string()) continue;  // a table whose last column it is
            CAPTURE(step.dump(1));
            CHECK(number == step["result"]);
        }
    }
    for (const std::string& key : keys) {
        // What the plan states: nothing to work out.
        if (key.ends_with(".seconds") && key.starts_with("segments")) continue;
        if (key.ends_with(".task")) continue;
        // On the card, unless a room's difference is between.
        if (key.ends_with("].LAeq_dB")) continue;
        if (key == "drivers.largest_change.drop_dB") continue;
        CAPTURE(key);
        CHECK(worked_out.contains(key));
    }
}

}  // namespace

TEST_CASE("working: every number of the demo's exposures and criteria has a step that redoes it") {
    const json result = worked({"assess", demo + "/plan.toml"});
    for (const json& person : result["people"]) {
        CAPTURE(person["id"]);
        check_every_number_is_worked(person);
        CHECK(redone_with(person["working"], "LEX,8h") >= 2);
    }
}

TEST_CASE("working: without the option there is none") {
    const StudyFolder study;
    const Outcome outcome = run_program({"assess", "plan.toml"}, study.root());
    CHECK(outcome.output.find("Working") == std::string::npos);
    const Outcome json_of = run_program({"assess", "plan.toml", "--format", "json"}, study.root());
    CHECK(!json::parse(json_of.output)["people"][0].contains("working"));
}

TEST_CASE("working: the NRR with each derating, with LC and with LA alone") {
    for (const char* derating : {"\"none\"", "\"niosh\"", "\"osha-half\"", "\"csa\"", "\"uk-4dB\"",
                                 "\"trlv\"", "{ dB = 6.0 }"}) {
        for (const bool with_C : {true, false}) {
            CAPTURE(derating);
            CAPTURE(with_C);
            StudyText text = by_method("nrr", derating);
            if (!with_C) text.card = with(text.card, "LCeq = 109.5\n", "");
            const json person = worked(text)["people"][0];
            CHECK(redone_with(person["working"], with_C ? "L'A = LC" : "L'A = LA") >= 1);
            CHECK(redone_with(person["working"], "reduction = LA − L'A") >= 1);
        }
    }
}

TEST_CASE("working: octave bands, HML and SNR from octave data") {
    for (const auto& [method, formula] : std::map<std::string, std::string>{
             {"octave", "L'A = 10 lg"}, {"hml", "PNR = M"}, {"snr", "L'A = LC − SNR"}}) {
        CAPTURE(method);
        const json person = worked(with_octaves(method, "\"none\""))["people"][0];
        check_every_number_is_worked(person);
        CHECK(redone_with(person["working"], formula) >= 1);
        if (method != "octave") CHECK(redone_with(person["working"], "LC = 10 lg") >= 1);
    }
}

TEST_CASE("working: wearing time, dose, hour, margins and a shortened row") {
    StudyText text = by_method("nrr", "\"none\"");
    text.plan = with(text.plan, "wears = [\"foam\"]\n", "wears = [\"foam\"]\nworn = 0.8\n");
    text.plan = with(text.plan, "\"8 min\"", "\"40 min\"");
    const json person = worked(text)["people"][0];
    check_every_number_is_worked(person);
    for (const char* formula : {"L = 10 lg(w", "D = 100", "LAeq,1h", "margin = exchange",
                                "margin = limit", "P = Φ(−z)", "floor((longest"}) {
        CAPTURE(formula);
        CHECK(redone_with(person["working"], formula) >= 1);
    }
}

TEST_CASE("working: a longest time by a dose alone") {
    StudyText text = by_method("nrr", "\"none\"");
    text.plan = with(text.plan, ", \"iec-60601-2-33\"", "");
    text.plan = with(text.plan, "\"8 min\"", "\"4 h\"");
    text.plan = with(text.plan, "[\"foam\"]", "[\"muff\"]");
    const json person = worked(text)["people"][0];
    bool shortened = false;
    for (const json& advice : person["advice"])
        shortened = shortened || advice["code"] == "shorten";
    REQUIRE(shortened);
    CHECK(redone_with(person["working"], "T = (limit") >= 2);
}

TEST_CASE("working: choose works out every choice and the ratings every protector") {
    const json chosen = worked(with_octaves("best", "\"none\""), "choose");
    for (const json& ranked : chosen["people"][0]["ranking"]) {
        if (ranked["at_ear_LEX_8h_dB"].is_null()) continue;
        CHECK(redone_with(ranked["working"], "LEX,8h") >= 1);
        CHECK(redone_with(ranked["working"], "L'A") + redone_with(ranked["working"], "PNR = M") >=
              1);
    }
    const json ratings = worked({"ratings", demo + "/protectors.toml"});
    int worked_out = 0;
    for (const json& protector : ratings["protectors"]) {
        if (protector["computed"]["SNR"].is_null()) continue;
        ++worked_out;
        CHECK(redone_with(protector["working"], "PNR = 100") == 8);
        for (const char* formula : {"H = ", "M = ", "L = ", "SNR = ", "NRR = "}) {
            CAPTURE(formula);
            CHECK(redone_with(protector["working"], formula) == 1);
        }
    }
    CHECK(worked_out > 0);
}

TEST_CASE("working: measure works out calibration, background and uncertainty") {
    const json result = worked({"measure", recordings + "/epi-2mm.flac", "--calibration",
                                recordings + "/calibrator.flac", "--calibrator-level", "114",
                                "--background", recordings + "/background.flac"});
    const json& channel = result["recordings"][0]["channels"][0];
    for (const char* formula : {"full-scale level", "LAE = ", "u = √"}) {
        CAPTURE(formula);
        CHECK(redone_with(channel["working"], formula) == 1);
    }
    CHECK(redone_with(channel["working"], "L = 10 lg(10^(L1") >= 1);
}

TEST_CASE("working: the text prints formula, clause, values and result") {
    const StudyFolder study;
    const std::string text = run_program({"assess", "plan.toml", "--working"}, study.root()).output;
    for (const char* part :
         {"\n  Working\n", "LEX,8h = 10 lg Σ (Ti / 8 h)·10^(Li/10)  [ISO 9612, clause 9]",
          "NRR_dB = 26", "factor_at_end = 1", "L_dB"}) {
        CAPTURE(part);
        CHECK(text.find(part) != std::string::npos);
    }
}
