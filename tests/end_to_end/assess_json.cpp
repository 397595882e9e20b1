// The JSON of `assess`: the keys of the interface contract, and numbers redone from its own
// segments.
#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "support/near.hpp"
#include "support/program.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;
using nlohmann::json;

namespace {

json assessed(const StudyText& text, int expected_status = 0) {
    const StudyFolder study(text);
    const Outcome outcome = run_program({"assess", "plan.toml", "--format", "json"}, study.root());
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status == expected_status);
    CHECK(outcome.errors.empty());
    return json::parse(outcome.output);
}

StudyText with_policy(const std::string& method, const std::string& derating) {
    StudyText text;
    text.plan = with(text.plan, "\"nrr\"", "\"" + method + "\"");
    text.plan = with(text.plan, "\"none\"", derating);
    return text;
}

double at_ear(const json& result) { return result["people"][0]["segments"][0]["at_ear_LAeq_dB"]; }

}  // namespace

TEST_CASE("every key of the contract is there") {
    const json result = assessed({});
    CHECK(result["program"] == "earbudget");
    CHECK(result["command"] == "assess");
    CHECK(result["plan"]["title"] == "Small");
    CHECK(result["plan"]["file"] == "plan.toml");
    CHECK(result["plan"]["sha256"].get<std::string>().size() == 64);
    const json& person = result["people"][0];
    for (const char* key : {"id", "role", "wears", "method", "derating", "segments", "exposure",
                            "criteria", "advice"}) {
        CAPTURE(key);
        CHECK(person.contains(key));
    }
    for (const char* key :
         {"sequence", "seconds", "LAeq_dB", "at_ear_LAeq_dB", "reduction_dB", "share_percent"}) {
        CAPTURE(key);
        CHECK(person["segments"][0].contains(key));
    }
    for (const char* key : {"seconds", "LAeq_dB", "at_ear_LAeq_dB", "at_ear_LAeq_1h_dB",
                            "LEX_8h_dB", "at_ear_LEX_8h_dB", "at_ear_Pa2h"}) {
        CAPTURE(key);
        CHECK(person["exposure"].contains(key));
    }
    for (const char* key : {"id", "quantity", "value", "limit", "unit", "at_ear", "margin_dB",
                            "probability_over", "verdict"}) {
        CAPTURE(key);
        CHECK(person["criteria"][0].contains(key));
    }
    CHECK(result.contains("warnings"));
    CHECK(person["segments"].size() == 2);  // one a row, repeats folded in
    CHECK(person["segments"][0]["seconds"] == 960.0);
    CHECK(person["exposure"]["seconds"] == 1080.0);
}

TEST_CASE("at the ear by method and derating, as their publications define them") {
    struct Row {
        std::string method;
        std::string derating;
        double expected;
    };
    // 108.0 dB(A), 109.5 dB(C), a foam plug of NRR 26 and SNR 30.
    const std::vector<Row> rows = {{"nrr", "\"none\"", 83.5},      {"nrr", "\"niosh\"", 96.5},
                                   {"nrr", "\"uk-4dB\"", 87.5},    {"nrr", "{ dB = 6 }", 89.5},
                                   {"snr", "\"none\"", 79.5},      {"snr", "\"uk-4dB\"", 83.5},
                                   {"best", "\"none\"", 79.5},     {"nrr", "\"csa\"", 96.5},
                                   {"nrr", "\"osha-half\"", 96.5}, {"nrr", "\"trlv\"", 92.5}};
    for (const Row& row : rows) {
        CAPTURE(row.method);
        CAPTURE(row.derating);
        const StudyFolder study(with_policy(row.method, row.derating));
        const Outcome outcome =
            run_program({"assess", "plan.toml", "--format", "json"}, study.root());
        REQUIRE(outcome.status <= 1);
        CHECK(near(at_ear(json::parse(outcome.output)), row.expected, 1e-9, Because::Arithmetic));
    }
}

TEST_CASE("the day follows from its segments with a pocket calculator") {
    const json result = assessed({});
    const json& person = result["people"][0];
    double energy = 0.0;
    double seconds = 0.0;
    double dose = 0.0;
    for (const json& segment : person["segments"]) {
        const double level = segment["at_ear_LAeq_dB"];
        const double time = segment["seconds"];
        energy += time * std::pow(10.0, level / 10.0);
        seconds += time;
        if (level >= 80.0) dose += 100.0 * time / (28800.0 / std::pow(2.0, (level - 85.0) / 3.0));
        CHECK(near(segment["LAeq_dB"].get<double>() - level, segment["reduction_dB"], 1e-9,
                   Because::Arithmetic));
    }
    const json& day = person["exposure"];
    CHECK(
        near(day["at_ear_LAeq_dB"], 10 * std::log10(energy / seconds), 1e-9, Because::Arithmetic));
    CHECK(
        near(day["at_ear_LEX_8h_dB"], 10 * std::log10(energy / 28800), 1e-9, Because::Arithmetic));
    CHECK(
        near(day["at_ear_LAeq_1h_dB"], 10 * std::log10(energy / 3600), 1e-9, Because::Arithmetic));
    CHECK(near(day["at_ear_Pa2h"], 4e-10 * energy / 3600, 1e-9, Because::Arithmetic));
    CHECK(near(person["criteria"][0]["value"], dose, 1e-9, Because::Arithmetic));
}

TEST_CASE("NIOSH durations through the whole program") {
    // NIOSH 98-126, table 1-1: permitted at this level is 100 % of the dose.
    for (const auto& [level, time] : std::vector<std::pair<double, std::string>>{
             {85, "8 h"}, {88, "4 h"}, {94, "1 h"}, {100, "15 min"}, {106, "00:03:45"}}) {
        StudyText text;
        text.card = "kind = \"sequence\"\nformat = 1\nid = \"epi\"\n[levels]\nLAeq = " +
                    std::to_string(level) + "\n";
        text.plan = with(text.plan, "wears = [\"foam\"]", "wears = []");
        text.plan = with(text.plan, "\"8 min\"\nrepeat = 2", "\"" + time + "\"");
        text.plan = with(text.plan, ", \"iec-60601-2-33\"", "");
        const json result = assessed(text);
        CHECK(near(result["people"][0]["criteria"][0]["value"], 100.0, 1e-6, Because::Arithmetic));
        // At the limit on paper, with a default uncertainty since the card states none.
        CHECK(near(result["people"][0]["criteria"][0]["probability_over"], 0.5, 1.0 / 8192.0,
                   Because::SeededRandomness));
        CHECK(result["people"][0]["criteria"][0]["verdict"] == "close");
    }
}

TEST_CASE("the advice to shorten, written into the plan, keeps the limit, 1 % more does not") {
    StudyText text;
    text.plan = with(text.plan, "\"8 min\"\nrepeat = 2", "\"5 h\"");
    text.plan = with(text.plan, "wears = [\"foam\"]", "wears = [\"muff\"]\nPAR = 12.0");
    const json result = assessed(text, 1);
    const json& advice = result["people"][0]["advice"];
    double longest = 0.0;
    double confident = 0.0;
    for (const json& entry : advice) {
        if (entry["code"] != "shorten") continue;
        longest = entry["seconds"];
        confident = entry["confident_seconds"];
    }
    REQUIRE(longest > 0.0);
    CHECK(confident < longest);
    const auto lasting = [&text](double seconds) {
        StudyText changed = text;
        changed.plan = with(changed.plan, "\"5 h\"", "\"" + std::to_string(seconds) + " s\"");
        return changed;
    };
    const json kept = assessed(lasting(longest), 0);
    CHECK(kept["people"][0]["criteria"][0]["value"] <= 100.0);
    assessed(lasting(1.01 * longest), 1);
    CHECK(assessed(lasting(confident), 0)["people"][0]["criteria"][0]["probability_over"] <= 0.05);
    CHECK(assessed(lasting(1.01 * confident), 0)["people"][0]["criteria"][0]["probability_over"] >
          0.05);
}

TEST_CASE("a default uncertainty is told with the place of the card that states none") {
    StudyText text;
    text.card = with(text.card, "uncertainty = 1.5\n", "");
    const json result = assessed(text);
    const auto& warnings = result["warnings"];
    const auto told = std::ranges::find_if(warnings, [](const json& warning) {
        return warning["code"] == "uncertainty-by-default" &&
               warning["text"].get<std::string>().find("\"epi\"") != std::string::npos;
    });
    REQUIRE(told != warnings.end());
    CHECK((*told)["where"].get<std::string>().starts_with("cards/epi.toml:"));
}

TEST_CASE("a plan's own criterion carries its numbers and its source") {
    StudyText text;
    text.plan = with(text.plan, "\"niosh-rel\", \"iec-60601-2-33\"", "\"house\"");
    text.plan +=
        "[[criterion]]\nid = \"house\"\nlevel_dB = 80\nexchange_dB = 5\nhours = 4\npeak_dBC = "
        "120\nwith_protection = false\nsource = \"house rule 7\"\n";
    const json result = assessed(text, 1);
    const json& criteria = result["people"][0]["criteria"];
    REQUIRE(criteria.size() == 2);
    CHECK(criteria[0]["at_ear"] == false);
    CHECK(criteria[0]["source"] == "house rule 7");
    // 16 min at 108 dB(A); the background's 2 min at 68 dB(A) count too, without a threshold.
    const double dose = 100 * (960 / (4 * 3600 / std::pow(2, 28 / 5.0)) +
                               120 / (4 * 3600 / std::pow(2, -12 / 5.0)));
    CHECK(near(criteria[0]["value"], dose, 1e-6, Because::Arithmetic));
    CHECK(criteria[1]["quantity"] == "peak");
    CHECK(criteria[1]["verdict"] == "over");
}
