// Peaks that no card states, and sentences where two answers seem to contradict each other.
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "support/holds.hpp"
#include "support/near.hpp"
#include "support/program.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;
using nlohmann::json;

namespace {

Outcome run(const StudyText& text, const std::string& format = "json") {
    const StudyFolder study(text);
    return run_program({"assess", "plan.toml", "--format", format}, study.root());
}

/// Without line breaks, so that sentences are found.
std::string words(const StudyText& text) {
    std::string output = run(text, "text").output;
    std::string flat;
    for (const char c : output) {
        const bool space = c == '\n' || c == ' ';
        if (!space || flat.empty() || flat.back() != ' ') flat += space ? ' ' : c;
    }
    return flat;
}

StudyText without_peak(const std::string& policy = "") {
    StudyText text;
    text.card = with(text.card, "LCpeak = 124.0\n", "");
    text.plan = with(text.plan, "derating = \"none\"\n", "derating = \"none\"\n" + policy);
    return text;
}

StudyText of_level(double LAeq) {
    StudyText text;
    text.card = with(text.card, "LAeq = 108.0\nLCeq = 109.5\nLCpeak = 124.0",
                     "LAeq = " + std::to_string(LAeq) + "\nLCeq = " + std::to_string(LAeq + 1.5) +
                         "\nLCpeak = 132.0");
    return text;
}

}  // namespace

TEST_CASE("assess: a peak that no card states is within by a bound, and that is said") {
    const Outcome outcome = run(without_peak());
    CHECK(outcome.status == 0);
    const json person = json::parse(outcome.output)["people"][0];
    const json& peak = person["criteria"].back();
    CHECK(peak["quantity"] == "peak");
    CHECK(peak["by_bound"] == true);
    CHECK(peak["verdict"] == "within");
    // 108 + 25 + 1.64 · 1.5 + 3.
    CHECK(near(peak["value"], 138.46, 1e-9, Because::Arithmetic));
    CHECK(person["criteria"][0]["by_bound"] == false);
    CHECK(person["not_judged"].empty());
    const std::string text = words(without_peak());
    CHECK(holds(text, "peak ≤ 138.5 dB, limit 140.0 dB, ≥ 1.5 dB left"));
    CHECK(holds(text, "by a bound, since no peak is stated for \"epi\""));
    CHECK(holds(run(without_peak(), "html").output, "by a bound"));
}

TEST_CASE("assess: where no bound keeps the limit the remedy stands first") {
    for (const char* policy :
         {"peak_at_most_above_LAeq = \"none\"\n", "peak_at_most_above_LAeq = 30\n"}) {
        CAPTURE(policy);
        const Outcome outcome = run(without_peak(policy));
        CHECK(outcome.status == 1);
        const json person = json::parse(outcome.output)["people"][0];
        CHECK(person["verdict"] == "unknown");
        CHECK(person["not_judged"] == json::array({"iec-60601-2-33"}));
        CHECK(person["advice"][0]["code"] == "measure-again");
        const std::string advice = person["advice"][0]["text"];
        CHECK(holds(advice, "LCpeak of \"epi\" (cards/epi.toml:4:1)"));
        const json& peak = person["criteria"].back();
        CHECK(peak["value"].is_null());
        CHECK(peak["by_bound"] == false);
        CHECK(holds(words(without_peak(policy)), "peak not known"));
    }
    // A person overrides the policy.
    StudyText text = without_peak("peak_at_most_above_LAeq = \"none\"\n");
    text.plan += "peak_at_most_above_LAeq = 25\n";
    CHECK(run(text).status == 0);
    const Outcome refused = run(without_peak("peak_at_most_above_LAeq = \"some\"\n"));
    CHECK(refused.status == 2);
    CHECK(holds(refused.errors,
                "plan.toml:9:27: \"peak_at_most_above_LAeq\" is \"some\"; accepted: a number from 3 to "
                "60 dB, or \"none\""));
}

TEST_CASE("assess: a plan without a limit on peaks says that they were not judged") {
    StudyText text;
    CHECK(!holds(words(text), "peaks were not judged"));
    text.plan = with(text.plan, "\"niosh-rel\", \"iec-60601-2-33\"", "\"niosh-rel\"");
    CHECK(holds(words(text), "peaks were not judged: none of the criteria has a limit on them"));
}

TEST_CASE("assess: over by the best estimate though unlikely says why, in text and page") {
    // NRR 26 less 1.5 dB: 99.9 dB(A) for 16 min, where 99.8 is the whole dose.
    const StudyText text = of_level(124.4);
    const json dose = json::parse(run(text).output)["people"][0]["criteria"][0];
    REQUIRE(dose["verdict"] == "over");
    REQUIRE(dose["probability_over"] < 0.5);
    const std::string why = "over by the best estimate though less likely than not by the draws";
    CHECK(holds(words(text), why));
    CHECK(holds(words(text), "98 % of people get more (mean − 2 sd)"));
    CHECK(holds(run(text, "html").output, why));
    CHECK(!holds(words({}), "by the best estimate though"));
}

TEST_CASE("assess: insufficient by EN 458 beside within says what each judges") {
    const std::string text = words(of_level(112.0));  // 87.5 dB(A) at the ear for 16 min
    CHECK(holds(text,
                "insufficient by EN 458, which judges the level while it is heard, yet within "
                "every limit, each of which judges the whole day"));
    CHECK(!holds(words({}), "which judges the level"));
}
