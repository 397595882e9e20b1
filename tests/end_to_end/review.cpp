// `review` as a committee runs it: keys of the interface contract, words, exit status.
#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "end_to_end/reviewed.hpp"
#include "support/near.hpp"

using namespace earbudget::test;
using nlohmann::json;

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
    CHECK(foam["seconds_per_day"] == 86400.0);
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
    const std::string first = reviewed({}, with_protectors).output;
    CHECK(first.find("epi: not to be approved before more is known\n\n") == 0);
    for (const char* words :
         {"not to be approved before this is known: who, date, position, "
          "instrument, calibration",
          "☐ missing – calibration: how the decibels came about is not stated; to do: ",
          "? to be looked at – origin: entered from a document", "On condition that", "Peak limits",
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

TEST_CASE("review: exit status 0 for a recommendation to approve, else 1") {
    const StudyText known = all_known();
    json sequence = reviewed_json(known, with_protectors, 0)["sequences"][0];
    CHECK(sequence["recommendation"]["code"] == "only-with");
    CHECK(reviewed({}, with_protectors).status == 1);  // not before this is known
    StudyText text = known;
    text.card = with(text.card, "LCpeak = 124.0", "LCpeak = 141.0");
    sequence = reviewed_json(text, with_protectors, 1)["sequences"][0];
    CHECK(sequence["recommendation"]["code"] == "not-as-it-is");
    CHECK(sequence["peaks"][0]["verdict"] == "over");
    CHECK(sequence["peaks"][0]["decides"] == true);
    text.card = with(text.card, "LCpeak = 141.0\n", "");
    sequence = reviewed_json(text, with_protectors, 1)["sequences"][0];
    // Kept by a bound, which a plan may rely on and an approval not: 108 + 25 + 1.64 · 1.5 + 3 dB.
    CHECK(sequence["peaks"][0]["verdict"] == "within");
    CHECK(sequence["peaks"][0]["by_bound"] == true);
    CHECK(sequence["recommendation"]["code"] == "not-before-known");
    CHECK(sequence["recommendation"]["text"].get<std::string>().find("peak, for iec-60601-2-33") !=
          std::string::npos);
    CHECK(check_named(sequence, "LCpeak")["state"] == "missing");
    const std::vector<std::string> niosh = {"--protectors", "protectors.toml", "--criteria",
                                            "niosh-rel"};
    CHECK(reviewed(known, niosh).status == 0);
    StudyText loud = known;
    loud.card = with(loud.card, "LAeq = 108.0\nLCeq = 109.5", "LAeq = 123.0\nLCeq = 123.5");
    std::vector<std::string> more = niosh;
    more.insert(more.end(), {"--method", "nrr"});  // foam: 123.5 − 26 = 97.5 dB(A), 26.7 min
    CHECK(reviewed(loud, more).status == 0);
    more.insert(more.end(), {"--at-least", "27 min"});
    CHECK(reviewed(loud, more).status == 1);
}

TEST_CASE("review: --for chooses whose limits decide") {
    const auto with_for = [](const std::string& whom, int status) {
        std::vector<std::string> more = with_protectors;
        more.insert(more.end(), {"--for", whom});
        return reviewed_json(all_known(), more, status);
    };
    const json adult = with_for("adult", 0);
    CHECK(adult["terms"]["for"] == "adult");
    CHECK(adult["sequences"] == reviewed_json(all_known(), with_protectors, 0)["sequences"]);
    CHECK(entry(adult["sequences"][0], {"foam"}, "who-public-child")["decides"] == false);
    CHECK(entry(adult["sequences"][0], {"foam"}, "who-public-adult")["decides"] == true);
    for (const char* whom : {"teenager", "child"}) {
        const json young = with_for(whom, 0);
        CHECK(entry(young["sequences"][0], {"foam"}, "who-public-child")["decides"] == true);
    }
    const json staff = with_for("staff", 0);
    CHECK(staff["terms"]["role"] == "staff");
    CHECK(entry(staff["sequences"][0], {"foam"}, "eu-upper-action")["decides"] == false);
    const json neonate = with_for("neonate", 1);
    CHECK(neonate["sequences"][0]["recommendation"]["code"] == "not-before-known");
    std::vector<std::string> more = with_protectors;
    const std::string of_adults = unwrapped(reviewed(all_known(), more).output);
    CHECK(holds(of_adults, "Children, by who-public-child, which decides nothing for adults"));
    CHECK(!holds(of_adults, "a small ear canal"));
    CHECK(holds(unwrapped(reviewed(all_known(), {"--for", "child"}).output), "a small ear canal"));
    more.insert(more.end(), {"--for", "neonate"});
    CHECK(holds(unwrapped(reviewed(all_known(), more).output),
                "Neonates: no published limit is known"));
    // A classification never speaks against a sequence, nor does one age group against another.
    CHECK(entry(adult["sequences"][0], {"foam"}, "fda-significant-risk")["decides"] == false);
    for (const auto& refused :
         {std::vector<std::string>{"--for", "baby"},
          std::vector<std::string>{"--for", "child", "--role", "staff"},
          std::vector<std::string>{"--for", "staff", "--role", "participant"}})
        CHECK(reviewed({}, refused).status == 2);
}

TEST_CASE("review: the C-weighted level of a card with octave bands alone is theirs") {
    StudyText text;
    std::string bands = "[levels.octave]\n";
    double energy = 0.0;
    // IEC 61672-1, table 3: C weighting at mid-band.
    const std::vector<std::pair<const char*, double>> weights = {
        {"125", -0.2},  {"250", 0.0},   {"500", 0.0},  {"1000", 0.0},
        {"2000", -0.2}, {"4000", -0.8}, {"8000", -3.0}};
    for (const auto& [band, C] : weights) {
        bands += std::string("\"") + band + "\" = 90.0\n";
        energy += std::pow(10.0, 0.1 * (90.0 + C));
    }
    text.card = with(text.card, "LAeq = 108.0\nLCeq = 109.5\n", "");
    text.card = with(text.card, "[origin]", bands + "[origin]");
    const StudyFolder study(text);
    const Outcome outcome =
        run_program({"review", "cards/epi.toml", "--format", "json"}, study.root());
    CAPTURE(outcome.errors);
    const json levels = json::parse(outcome.output)["sequences"][0]["levels"];
    // The table's weights are rounded to a tenth.
    CHECK(near(levels["LCeq_dB"], 10.0 * std::log10(energy), 0.05, Because::PrintedRounding));
    CHECK(near(levels["LCeq_dB"].get<double>() - levels["LAeq_dB"].get<double>(),
               levels["LC_minus_LA_dB"].get<double>(), 1e-9, Because::Arithmetic));
    const Outcome words = run_program({"review", "cards/epi.toml"}, study.root());
    CHECK(words.output.find("dB(C), of the octave bands") != std::string::npos);
}
