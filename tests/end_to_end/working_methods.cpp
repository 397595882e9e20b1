// The working of every method and of times, redone from what is printed.
#include <map>
#include <string>

#include "worked.hpp"

using namespace earbudget::test;
using nlohmann::json;

namespace {

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

/// The result of the step that gives a number; null where none or more than one does.
json worked_result(const json& working, const std::string& key) {
    json result;
    int steps = 0;
    for (const json& step : working) {
        for (const std::string of : step["of"]) {
            if (of != key) continue;
            result = step["result"];
            ++steps;
        }
    }
    return steps == 1 ? result : json();
}

}  // namespace

TEST_CASE("working: the NRR with each derating, with LC and with LA alone") {
    for (const char* derating : {"\"none\"", "\"niosh\"", "\"osha-half\"", "\"csa\"", "\"uk-4dB\"",
                                 "\"trlv\"", "{ dB = 6.0 }"}) {
        for (const bool with_C : {true, false}) {
            CAPTURE(derating);
            CAPTURE(with_C);
            StudyText text = by_method("nrr", derating);
            if (!with_C) text.card = with(text.card, "LCeq = 109.5\n", "");
            const json person = worked_study(text)["people"][0];
            CHECK(redone_with(person["working"], with_C ? "L'A = LC" : "L'A = LA") >= 1);
            CHECK(redone_with(person["working"], "reduction = LA − L'A") >= 1);
        }
    }
}

TEST_CASE("working: octave bands, HML and SNR from octave data") {
    for (const auto& [method, formula] : std::map<std::string, std::string>{
             {"octave", "L'A = 10 lg"}, {"hml", "PNR = M"}, {"snr", "L'A = LC − SNR"}}) {
        CAPTURE(method);
        const json person = worked_study(with_octaves(method, "\"none\""))["people"][0];
        check_every_number_is_worked(person);
        CHECK(redone_with(person["working"], formula) >= 1);
        if (method != "octave") CHECK(redone_with(person["working"], "LC = 10 lg") >= 1);
    }
}

TEST_CASE("working: wearing time, dose, hour, margins and a shortened row") {
    StudyText text = by_method("nrr", "\"none\"");
    text.plan = with(text.plan, "wears = [\"foam\"]\n", "wears = [\"foam\"]\nworn = 0.8\n");
    text.plan = with(text.plan, "\"8 min\"", "\"40 min\"");
    const json person = worked_study(text)["people"][0];
    check_every_number_is_worked(person);
    for (const char* formula :
         {"L = 10 lg(w", "D = 100", "LAeq,1h", "margin = exchange", "margin = limit", "P = Φ(x/u)",
          "P = draws", "x = q", "floor((longest"}) {
        CAPTURE(formula);
        CHECK(redone_with(person["working"], formula) >= 1);
    }
}

TEST_CASE("working: a longest time by a dose alone") {
    StudyText text = by_method("nrr", "\"none\"");
    text.plan = with(text.plan, ", \"iec-60601-2-33\"", "");
    text.plan = with(text.plan, "\"8 min\"", "\"4 h\"");
    text.plan = with(text.plan, "[\"foam\"]", "[\"muff\"]");
    const json person = worked_study(text)["people"][0];
    bool shortened = false;
    for (const json& advice : person["advice"])
        shortened = shortened || advice["code"] == "shorten";
    REQUIRE(shortened);
    CHECK(redone_with(person["working"], "T = (limit") >= 2);
}

TEST_CASE("working: choose works out every choice and the ratings every protector") {
    const json chosen = worked_study(with_octaves("best", "\"none\""), "choose");
    int ranked_by_level = 0;
    for (const json& ranked : chosen["people"][0]["ranking"]) {
        if (ranked["at_ear_LEX_8h_dB"].is_null()) continue;
        ++ranked_by_level;
        CHECK(redone_with(ranked["working"], "LEX,8h") >= 1);
        for (const char* key :
             {"at_ear_LEX_8h_dB", "while_scanning_at_ear_LAeq_dB", "worst_margin_dB"}) {
            CAPTURE(std::string(key));
            CHECK(worked_result(ranked["working"], key) == ranked[key]);
        }
        CHECK(redone_with(ranked["working"], "L'A") + redone_with(ranked["working"], "PNR = M") >=
              1);
    }
    CHECK(ranked_by_level >= 2);
    const json ratings = worked({"ratings", demo + "/protectors.toml"});
    int worked_out = 0;
    for (const json& protector : ratings["protectors"]) {
        if (protector["computed"]["SNR"].is_null()) continue;
        ++worked_out;
        // By both editions of ISO 4869-2, but for the NRR, which is not theirs.
        CHECK(redone_with(protector["working"], "PNR = 100") == 16);
        for (const char* formula : {"H = ", "M = ", "L = ", "SNR = ", "NRR = "}) {
            CAPTURE(formula);
            const bool of_one = std::string_view(formula) == "NRR = ";
            CHECK(redone_with(protector["working"], formula) == (of_one ? 1 : 2));
        }
    }
    CHECK(worked_out > 0);
}
