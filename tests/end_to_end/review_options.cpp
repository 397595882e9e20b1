// `review` by its options, and against the card of a sequence that is replaced.
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "end_to_end/reviewed.hpp"
#include "support/near.hpp"

using namespace earbudget::test;
using nlohmann::json;

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
