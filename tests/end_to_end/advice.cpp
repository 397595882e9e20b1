// Advice through the whole program: the keys that another program applies it with, and the text
// that says the same. The advice is applied to the plan's file and the plan assessed again.
#include <cmath>
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "support/near.hpp"
#include "support/program.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;
using nlohmann::json;

namespace {

// 108 dB(A), three runs of 8 min a session and four sessions; beside the bore 8 dB less, at the
// door 23, far away 50; a plug and an earmuff to choose from.
StudyText busy_study() {
    StudyText text;
    text.plan = with(text.plan, "\"nrr\"", "\"snr\"");
    text.plan = with(text.plan, "\"niosh-rel\", \"iec-60601-2-33\"", "\"eu-limit\"");
    text.plan = with(text.plan, "repeat = 2", "repeat = 3");
    text.plan = with(text.plan, "LAeq = 68.0", "LAeq = 68.0\nLCeq = 70.0\nuncertainty = 1.0");
    text.plan =
        with(text.plan, "id = \"participant\"\nrole = \"participant\"\nwears = [\"foam\"]\n",
             "id = \"nurse\"\nrole = \"staff\"\nwears = []\nsessions_per_day = 4\n"
             "visits = 10\n[[person.task]]\ntitle = \"standing by\"\nposition = \"bore\"\n"
             "during = \"timeline\"\n"
             "[[position]]\nid = \"bore\"\ndifference_dB = -8.0\n"
             "[[position]]\nid = \"door\"\ndifference_dB = -23.0\n"
             "[[position]]\nid = \"far\"\ndifference_dB = -50.0\n");
    return text;
}

Outcome run(const StudyText& text, const std::string& format) {
    const StudyFolder study(text);
    Outcome outcome = run_program({"assess", "plan.toml", "--format", format}, study.root());
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status <= 1);
    return outcome;
}

json person_of(const StudyText& text) { return json::parse(run(text, "json").output)["people"][0]; }

json advice_of(const json& person, const std::string& code) {
    for (const json& advice : person["advice"]) {
        if (advice["code"] == code) return advice;
    }
    FAIL("no advice ", code);
    return {};
}

bool is_over(const StudyText& text) { return person_of(text)["verdict"] == "over"; }
bool is_within(const StudyText& text) { return person_of(text)["verdict"] == "within"; }

StudyText changed(StudyText text, const std::string& old, const std::string& fresh) {
    text.plan = with(text.plan, old, fresh);
    return text;
}

std::string run_of(double all_seconds) {
    return "duration = \"" + std::to_string(all_seconds / 3.0) + " s\"";
}

const std::string run_8_min = "duration = \"8 min\"";

}  // namespace

TEST_CASE("shorten: seconds and confident_seconds, put into the plan") {
    const StudyText text = busy_study();
    const json advice = advice_of(person_of(text), "shorten");
    CHECK(advice["sequence"] == "epi");
    CHECK(advice["segment"] == 0);
    const double seconds = advice["seconds"];
    const double confident = advice["confident_seconds"];
    CHECK(confident < seconds);
    CHECK(seconds < 3 * 480.0);
    CHECK(!is_over(changed(text, run_8_min, run_of(seconds - 0.001))));
    CHECK(is_over(changed(text, run_8_min, run_of(1.01 * seconds))));
    CHECK(is_within(changed(text, run_8_min, run_of(confident - 0.001))));
    CHECK(!is_within(changed(text, run_8_min, run_of(1.01 * confident))));
}

TEST_CASE("drop-repeats: repeat and confident_repeat, put into the plan") {
    // At the bore 100 dB(A): 87 dB(A) over 8 h are 24.1 min. One session has 3 runs of 9 min.
    StudyText text = changed(busy_study(), "sessions_per_day = 4", "sessions_per_day = 1");
    text = changed(text, run_8_min, "duration = \"9 min\"");
    const json advice = advice_of(person_of(text), "drop-repeats");
    CHECK(advice["repeat"] == 2);
    CHECK(advice["confident_repeat"] == 1);
    CHECK(advice["segment"] == 0);
    CHECK(!is_over(changed(text, "repeat = 3", "repeat = 2")));
    CHECK(is_within(changed(text, "repeat = 3", "repeat = 1")));
    CHECK(advice["text"].get<std::string>().find("2 times a session instead of 3") !=
          std::string::npos);
}

TEST_CASE("fewer-sessions and spread-days: sessions_per_day and days, put into the plan") {
    StudyText text = changed(busy_study(), "repeat = 3", "repeat = 1");
    text = changed(text, "sessions_per_day = 4", "sessions_per_day = 5");
    const json person = person_of(text);
    const json fewer = advice_of(person, "fewer-sessions");
    CHECK(fewer["sessions_per_day"] == 3);  // 24.2 min of 8 min each
    CHECK(fewer["confident_sessions_per_day"] == 1);
    CHECK(!is_over(changed(text, "sessions_per_day = 5", "sessions_per_day = 3")));
    CHECK(is_over(changed(text, "sessions_per_day = 5", "sessions_per_day = 4")));
    CHECK(is_within(changed(text, "sessions_per_day = 5", "sessions_per_day = 1")));
    const json spread = advice_of(person, "spread-days");
    CHECK(spread["days"] == 2);
    CHECK(spread["sessions_per_day"] == 3);
}

TEST_CASE("required-protection: added_reduction_dB, put into the plan as a protector") {
    StudyText text = busy_study();
    text.protectors = with(text.protectors, "SNR = 30", "SNR = 3");
    const json advice = advice_of(person_of(text), "required-protection");
    const double more = advice["added_reduction_dB"];
    const double confident = advice["confident_added_reduction_dB"];
    CHECK(more == std::round(10.0 * more) / 10.0);
    CHECK(confident > more);
    // The C-weighted level is 1.5 dB above the A-weighted one: an SNR of r takes off r − 1.5 dB.
    const auto worn = [&](double reduction) {
        StudyText wearing = changed(text, "wears = []", "wears = [\"foam\"]");
        wearing.protectors =
            with(wearing.protectors, "SNR = 3", "SNR = " + std::to_string(reduction + 1.5));
        return wearing;
    };
    CHECK(!is_over(worn(more)));
    CHECK(is_over(worn(more - 0.1)));
    // As this person really gets it: a label has the spread between people besides.
    const auto tested = [&](double reduction) {
        return changed(text, "wears = []",
                       "wears = [\"foam\"]\nPAR = " + std::to_string(reduction));
    };
    CHECK(is_within(tested(confident)));
    CHECK(!is_within(tested(confident - 0.1)));
}

TEST_CASE("move-away: position, put into the plan, the louder permitted one") {
    const StudyText text = busy_study();
    const json advice = advice_of(person_of(text), "move-away");
    CHECK(advice["position"] == "door");
    CHECK(!is_over(changed(text, "position = \"bore\"", "position = \"door\"")));
    CHECK(advice["text"].get<std::string>().find("standing by") != std::string::npos);
}

TEST_CASE("protection: wears, put into the plan") {
    const StudyText text = busy_study();
    const json advice = advice_of(person_of(text), "add-protection");
    REQUIRE(advice["wears"].is_array());
    CHECK(!is_over(changed(text, "wears = []", "wears = " + advice["wears"].dump())));
}

TEST_CASE("repeats_left on every segment: as many runs fit, one more does not") {
    StudyText text = changed(busy_study(), "sessions_per_day = 4", "sessions_per_day = 1");
    text = changed(text, run_8_min, "duration = \"3 min\"");
    const json person = person_of(text);
    const json& segments = person["segments"];
    REQUIRE(segments.size() == 2);
    CHECK(segments[0]["repeats_left_best_estimate"] == 5);  // 24.2 min: eight runs of 3 min
    const unsigned confident = segments[0]["repeats_left"];
    CHECK(confident < 5);
    const auto verdict_of = [&](unsigned runs) {
        return person_of(
            changed(text, "repeat = 3", "repeat = " + std::to_string(runs)))["verdict"];
    };
    CHECK(verdict_of(3 + confident) == "within");
    CHECK(verdict_of(3 + confident + 1) == "close");
    CHECK(segments[1]["repeats_left"].is_null());
    CHECK(segments[0]["position"] == "bore");
    CHECK(segments[0]["title"] == "standing by");
    CHECK(!is_over(changed(text, "repeat = 3", "repeat = 8")));
    CHECK(is_over(changed(text, "repeat = 3", "repeat = 9")));
    CHECK(person_of(busy_study())["segments"][0]["repeats_left"] == 0);
}

TEST_CASE("drivers, visits and the sound exposure of the study") {
    const json person = person_of(busy_study());
    CHECK(person["visits"] == 10);
    CHECK(near(person["study_at_ear_Pa2h"], 10.0 * person["exposure"]["at_ear_Pa2h"].get<double>(),
               1e-9, Because::Arithmetic));
    const json& drivers = person["drivers"];
    REQUIRE(drivers["sequences"].size() == 2);
    CHECK(drivers["sequences"][0]["sequence"] == "epi");
    CHECK(drivers["sequences"][1]["sequence"].is_null());  // rests
    double sum = 0.0;
    for (const json& share : drivers["sequences"])
        sum += share["share_percent"].get<double>();
    CHECK(near(sum, 100.0, 1e-9, Because::Arithmetic));
    REQUIRE(drivers["tasks"].size() == 1);
    CHECK(drivers["tasks"][0]["title"] == "standing by");
    CHECK(drivers["tasks"][0]["drop_without_it_dB"].is_null());  // nothing would be left
    CHECK(drivers["largest_change"]["text"] == "without \"epi\"");
    CHECK(drivers["largest_change"]["drop_dB"] == drivers["sequences"][0]["drop_without_it_dB"]);
}

TEST_CASE("the text names every advice, the repeats left, what drives it and the study") {
    const std::string text = run(busy_study(), "text").output;
    for (const char* words :
         {"- shorten: ", "- add-protection: ", "- move-away: ", "- required-protection: ",
          "- spread-days: ", "more runs", "that fit", "largest single change in reach: without",
          "over the 10 visits of the study", "Pa²h at the ear", "bore, epi", "bore, background"}) {
        CAPTURE(words);
        CHECK(text.find(words) != std::string::npos);
    }
}
