// `review` as a committee runs it: keys of the interface contract, exit status, words and files.
#include <algorithm>
#include <cctype>
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

Outcome reviewed(const StudyText& text, const std::vector<std::string>& more = {}) {
    const StudyFolder study(text);
    std::vector<std::string> words = {"review", "cards/epi.toml"};
    words.insert(words.end(), more.begin(), more.end());
    return run_program(words, study.root());
}

json reviewed_json(const StudyText& text, std::vector<std::string> more = {},
                   int expected_status = 0) {
    more.insert(more.end(), {"--format", "json"});
    const Outcome outcome = reviewed(text, more);
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status == expected_status);
    CHECK(outcome.errors.empty());
    return json::parse(outcome.output);
}

const std::vector<std::string> with_protectors = {"--protectors", "protectors.toml"};

json entry(const json& sequence, const std::vector<std::string>& wears, const std::string& id) {
    for (const json& permitted : sequence["permitted"]) {
        if (permitted["wears"] == json(wears) && permitted["criterion"] == id) return permitted;
    }
    throw std::out_of_range(id);
}

json check_named(const json& sequence, const std::string& code) {
    for (const json& check : sequence["checks"])
        if (check["code"] == code) return check;
    throw std::out_of_range(code);
}

std::string unwrapped(const std::string& text) {
    std::string line;
    for (const char letter : text) {
        const bool space = letter == ' ' || letter == '\n';
        if (!space || line.empty() || line.back() != ' ') line += space ? ' ' : letter;
    }
    return line;
}

bool holds(const std::string& text, const std::string& words) {
    return text.find(words) != std::string::npos;
}

std::string in_small_letters(std::string text) {
    std::ranges::transform(text, text.begin(),
                           [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    return text;
}

}  // namespace

TEST_CASE("review: every key of the contract is there, and the times are right") {
    const json result = reviewed_json({}, with_protectors);
    CHECK(result["program"] == "earbudget");
    CHECK(result["command"] == "review");
    CHECK(result["protectors"]["sha256"].get<std::string>().size() == 64);
    REQUIRE(result["sequences"].size() == 1);
    const json& sequence = result["sequences"][0];
    CHECK(sequence["id"] == "epi");
    CHECK(sequence["sha256"].get<std::string>().size() == 64);
    CHECK(near(sequence["levels"]["LAeq_dB"], 108.0, 1e-9, Because::Arithmetic));
    CHECK(sequence["levels"]["octave_dB"].empty());
    // Nothing, foam, muff, both; every published criterion for a participant.
    CHECK(sequence["permitted"].size() == 4 * 5);
    for (const json& permitted : sequence["permitted"]) {
        for (const char* key : {"wears", "criterion", "seconds_per_day", "seconds_per_session",
                                "state", "reason", "seconds_per_day_poorly_seated"}) {
            CAPTURE(key);
            CHECK(permitted.contains(key));
        }
    }
    for (const json& check : sequence["checks"]) {
        CHECK(check["code"].is_string());
        CHECK(!check["text"].get<std::string>().empty());
        CHECK((check["to_do"] == "") == (check["state"] == "ok"));
    }
    // NIOSH at 108 dB(A); foam by snr leaves 109.5 − 30 = 79.5, below the threshold of 80.
    CHECK(near(entry(sequence, {}, "niosh-rel")["seconds_per_day"], 28800.0 / std::exp2(23.0 / 3.0),
               0.001, Because::PrintedRounding));
    const json foam = entry(sequence, {"foam"}, "niosh-rel");
    CHECK(foam["seconds_per_day"].is_null());
    CHECK(foam["state"] == "unlimited");
    CHECK(holds(foam["reason"], "below the threshold"));
    // Poorly seated 98 dB(A).
    CHECK(near(foam["seconds_per_day_poorly_seated"], 28800.0 / std::exp2(13.0 / 3.0), 0.001,
               Because::PrintedRounding));
    CHECK(entry(sequence, {}, "niosh-rel")["seconds_per_day_poorly_seated"].is_null());
    CHECK(entry(sequence, {}, "fda-significant-risk")["seconds_per_day"] == 0.0);
    CHECK(entry(sequence, {}, "fda-significant-risk")["state"] == "no-time");
}

TEST_CASE("review: the text begins with the recommendation, and never promises") {
    for (const std::vector<std::string>& more :
         {std::vector<std::string>{}, with_protectors,
          std::vector<std::string>{"--role", "staff", "--protectors", "protectors.toml"},
          std::vector<std::string>{"--role", "accompanying", "--format", "json"},
          std::vector<std::string>{"--against", "cards/epi.toml"}}) {
        const Outcome outcome = reviewed({}, more);
        CHECK(outcome.status < 2);
        CHECK(!holds(in_small_letters(outcome.output), "safe"));
    }
    CHECK(!holds(in_small_letters(run_program({"review", "--help"}).output), "safe"));
    const std::string text = unwrapped(reviewed({}, with_protectors).output);
    CHECK(text.find("epi: not to be approved before this is known: who, date, position, "
                    "instrument, calibration") == 0);
    for (const char* words :
         {"[ ] calibration: how the decibels came about is not stated; to do: ",
          "[?] origin: entered from a document", "On condition that", "Peak limits",
          "foam (foam): 79.5 dB(A) at the ear by snr, 98.0 dB(A) poorly seated",
          "niosh-rel: NIOSH 98-126, 1.1", "method snr: ISO 4869-2",
          "do not replace a competent person"}) {
        CAPTURE(words);
        CHECK(holds(text, words));
    }
}

TEST_CASE("review: without a catalogue nothing worn is all, and it says so") {
    const Outcome outcome = reviewed({});
    CHECK(outcome.status == 1);  // 108 dB(A) unprotected
    CHECK(holds(unwrapped(outcome.output), "nothing worn is all that was reviewed"));
    const json result = reviewed_json({}, {}, 1);
    CHECK(result["protectors"].is_null());
    CHECK(result["sequences"][0]["permitted"].size() == 5);
}

TEST_CASE("review: exit status 1 for a peak over, a peak not known, and too little time") {
    StudyText text;
    text.card = with(text.card, "LCpeak = 124.0", "LCpeak = 141.0");
    json sequence = reviewed_json(text, with_protectors, 1)["sequences"][0];
    CHECK(sequence["recommendation"]["code"] == "not-as-it-is");
    CHECK(sequence["peaks"][0]["verdict"] == "over");
    text.card = with(text.card, "LCpeak = 141.0\n", "");
    sequence = reviewed_json(text, with_protectors, 1)["sequences"][0];
    CHECK(sequence["peaks"][0]["verdict"] == "unknown");
    CHECK(check_named(sequence, "LCpeak")["state"] == "missing");
    // A criterion without a peak limit needs none.
    const std::vector<std::string> niosh = {"--protectors", "protectors.toml", "--criteria",
                                            "niosh-rel"};
    CHECK(reviewed(text, niosh).status == 0);
    StudyText loud;
    loud.card = with(loud.card, "LAeq = 108.0\nLCeq = 109.5", "LAeq = 123.0\nLCeq = 123.5");
    std::vector<std::string> more = niosh;
    more.insert(more.end(), {"--method", "nrr"});  // foam: 123.5 − 26 = 97.5 dB(A), 26.7 min
    CHECK(reviewed(loud, more).status == 0);
    more.insert(more.end(), {"--at-least", "27 min"});
    CHECK(reviewed(loud, more).status == 1);
}

TEST_CASE("review: options choose criteria, role, method, derating, performance and sessions") {
    const auto terms = [](std::vector<std::string> more) {
        more.insert(more.end(), with_protectors.begin(), with_protectors.end());
        more.insert(more.end(), {"--format", "json"});
        const Outcome outcome = reviewed({}, more);
        REQUIRE(outcome.status < 2);
        return json::parse(outcome.output);
    };
    json result = terms({"--criteria", "niosh-rel,iec-60601-2-33"});
    CHECK(result["terms"]["criteria"].size() == 2);
    CHECK(terms({"--criteria", "niosh-rel", "--criteria", "iec-60601-2-33"})["terms"] ==
          result["terms"]);
    result = terms({"--role", "staff"});
    CHECK(result["terms"]["criteria"][1]["id"] == "eu-limit");
    CHECK(result["terms"]["criteria"].size() == 6);
    result = terms({"--method", "nrr", "--derating", "niosh"});
    // NIOSH 98-126: half of a formable plug's NRR of 26 off 109.5 dB(C).
    const json& foam = result["sequences"][0]["choices"][1];
    CHECK(foam["method"] == "nrr");
    CHECK(near(foam["at_ear_LAeq_dB"], 96.5, 1e-9, Because::Arithmetic));
    result = terms({"--derating", "6"});
    CHECK(near(result["sequences"][0]["choices"][1]["at_ear_LAeq_dB"], 85.5, 1e-9,
               Because::Arithmetic));
    result = terms({"--sessions-per-day", "4", "--criteria", "niosh-rel"});
    const json unprotected = entry(result["sequences"][0], {}, "niosh-rel");
    CHECK(near(4.0 * unprotected["seconds_per_session"].get<double>(),
               unprotected["seconds_per_day"].get<double>(), 1e-9, Because::Arithmetic));
    CHECK(terms({"--protection-performance", "95"})["terms"]["protection_performance"] == 95.0);
}

TEST_CASE("review: against the card that is replaced, each level and time before and now") {
    StudyText text;
    text.card += "timing = \"echo spacing 0.69 ms\"\nsubject = \"person\"\n";
    const StudyFolder study(text);
    static_cast<void>(study.folder().write(
        "old.toml",
        "kind = \"sequence\"\nformat = 1\nid = \"epi\"\n[levels]\nLAeq = 111.0\n"
        "LCpeak = 126.5\n[levels.octave]\n\"1000\" = 111.0\n"));
    const std::vector<std::string> words = {
        "review",     "cards/epi.toml", "--against", "old.toml", "--protectors", "protectors.toml",
        "--criteria", "niosh-rel",      "--method",  "nrr",      "--format",     "json"};
    const Outcome outcome = run_program(words, study.root());
    CAPTURE(outcome.errors);
    const json sequence = json::parse(outcome.output)["sequences"][0];
    const json& against = sequence["against"];
    CHECK(against["file"] == "old.toml");
    CHECK(against["levels"][0]["level"] == "LAeq");
    CHECK(near(against["levels"][0]["difference_dB"], -3.0, 1e-9, Because::Arithmetic));
    const json band = against["levels"].back();
    CHECK(band["level"] == "1000 Hz");
    CHECK(band["now_dB"].is_null());
    CHECK(band["difference_dB"].is_null());
    // 3 dB less: twice the time, rounded down to a thousandth of a second.
    const json& times = against["permitted"][0];
    CHECK(near(times["seconds_per_day_now"].get<double>(),
               2.0 * times["seconds_per_day_before"].get<double>(), 0.002,
               Because::PrintedRounding));
    CHECK(check_named(sequence, "timing-changed")["state"] == "missing");
    CHECK(check_named(sequence, "subject")["state"] == "ok");
    std::vector<std::string> as_text(words.begin(), words.end() - 2);
    const std::string report = unwrapped(run_program(as_text, study.root()).output);
    CHECK(holds(report, "Instead of epi (epi), old.toml, SHA-256"));
    CHECK(holds(report, "LAeq 111.0 108.0 -3.0"));
    CHECK(holds(report, "nothing worn: niosh-rel 1 min 10 s before, 2 min 21 s now"));
}
