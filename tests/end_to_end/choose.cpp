// `choose` as its users run it: keys of the interface contract, exit status, words and files.
#include <array>
#include <filesystem>
#include <set>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "support/holds.hpp"
#include "support/near.hpp"
#include "support/program.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;
using nlohmann::json;

namespace {

Outcome chosen(const StudyText& text, const std::vector<std::string>& more = {}) {
    const StudyFolder study(text);
    std::vector<std::string> words = {"choose", "plan.toml"};
    words.insert(words.end(), more.begin(), more.end());
    return run_program(words, study.root());
}

json chosen_json(const StudyText& text, int expected_status = 0) {
    const Outcome outcome = chosen(text, {"--format", "json"});
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status == expected_status);
    CHECK(outcome.errors.empty());
    return json::parse(outcome.output);
}

/// The small study with nothing that would be enough.
StudyText too_loud() {
    StudyText text;
    text.plan = with(text.plan, "\"8 min\"", "\"7 h\"");
    text.card = with(text.card, "LAeq = 108.0\nLCeq = 109.5\nLCpeak = 124.0",
                     "LAeq = 118.0\nLCeq = 119.5\nLCpeak = 134.0");
    return text;
}

StudyText with_empty_catalogue() {
    StudyText text = too_loud();
    text.protectors = "kind = \"protectors\"\nformat = 1\n";
    text.plan = with(text.plan, "wears = [\"foam\"]\n", "");
    return text;
}

}  // namespace

TEST_CASE("choose: every key of the contract is there, best first") {
    const json result = chosen_json({});
    CHECK(result["program"] == "earbudget");
    CHECK(result["command"] == "choose");
    CHECK(result["plan"]["sha256"].get<std::string>().size() == 64);
    REQUIRE(result["people"].size() == 1);
    const json& person = result["people"][0];
    CHECK(person["id"] == "participant");
    const json& ranking = person["ranking"];
    REQUIRE(ranking.size() == 3);
    for (const json& ranked : ranking) {
        for (const char* key :
             {"wears", "at_ear_LEX_8h_dB", "worst_margin_dB", "verdict", "notes"}) {
            CAPTURE(key);
            CHECK(ranked.contains(key));
        }
        CHECK(!ranked["notes"].empty());
    }
    CHECK(ranking[0]["wears"] == json::array({"foam"}));
    CHECK(ranking[0]["verdict"] == "within");
    CHECK(person["required_reduction"].is_null());
}

TEST_CASE("choose: what stands at a rank is what assess says of wearing it") {
    const json ranking = chosen_json({})["people"][0]["ranking"];
    for (const json& ranked : ranking) {
        StudyText text;
        text.plan = with(text.plan, "[\"foam\"]", ranked["wears"].dump());
        const StudyFolder study(text);
        const Outcome outcome =
            run_program({"assess", "plan.toml", "--format", "json"}, study.root());
        const json person = json::parse(outcome.output)["people"][0];
        CHECK(ranked["at_ear_LEX_8h_dB"] == person["exposure"]["at_ear_LEX_8h_dB"]);
        CHECK(ranked["method"] == person["method"]);
        std::set<double> margins;
        for (const json& criterion : person["criteria"])
            margins.insert(criterion["margin_dB"].get<double>());
        CHECK(ranked["worst_margin_dB"] == *margins.begin());
        CHECK(ranked["verdict"] == person["verdict"]);
    }
}

TEST_CASE("choose: exit status 0 with an answer, 1 without, 2 for bad input") {
    CHECK(chosen({}).status == 0);
    CHECK(chosen(too_loud()).status == 1);
    StudyText bad;
    bad.plan = with(bad.plan, "\"foam\"", "\"fome\"");
    const Outcome refused = chosen(bad);
    CHECK(refused.status == 2);
    CHECK(refused.output.empty());
    CHECK(lines_of(refused.errors) == 1);
    CHECK(refused.errors.find("plan.toml:21:10: ") == 0);
    CHECK(run_program({"choose"}).status == 2);
    CHECK(run_program({"choose", "absent.toml"}).status == 2);
}

TEST_CASE("choose: without an answer the reduction that is needed is told by each measure") {
    const json person = chosen_json(too_loud(), 1)["people"][0];
    const json& required = person["required_reduction"];
    // NIOSH: 14 h permit 85 − 3·log2(14/8) = 82.58 dB(A), of 118.0 dB(A) and 119.5 dB(C).
    CHECK(near(required["at_ear_dB"], 35.5, 1e-9, Because::Arithmetic));
    CHECK(near(required["SNR_dB"], 37.0, 1e-9, Because::Arithmetic));
    CHECK(near(required["NRR_dB"], 37.0, 1e-9, Because::Arithmetic));
    CHECK(required["every_octave_band_dB"].is_null());  // the card has no octave levels
    const std::string text = unwrapped(chosen(too_loud()).output);
    CHECK(
        text.find(
            "participant: nothing in the catalogue that can be worn keeps every exposure limit") ==
        0);
    CHECK(text.find("needed: 35.5 dB less at the ear") != std::string::npos);
    CHECK(text.find("as a label at 84 %, with no derating: SNR 37.0 dB, NRR 37.0 dB") !=
          std::string::npos);
}

TEST_CASE("choose: the text begins with the answer and gives the reason for each rank") {
    const std::string text = unwrapped(chosen({}).output);
    CHECK(text.find("participant: foam (foam)") == 0);
    // 16 min permit 99.72 dB(A) by NIOSH, foam leaves 109.5 − 26 = 83.5 dB(A), the muff 89.5.
    for (const std::string words :
         {" 1. foam (foam) within every limit 83.5 ", "dB left to niosh-rel",
          "\"muff\" does not fit the head coil, as far as is stated",
          "\"muff\" is not stated to be free of metal: make sure before it enters the bore",
          "by every method that the data allow LEX,8h", "behind the one above: ", " 2. ", " 3. "}) {
        CAPTURE(words);
        CHECK(text.find(words) != std::string::npos);
    }
}

TEST_CASE("choose: what must not enter the bore is listed with why") {
    StudyText text;
    text.protectors =
        with(text.protectors, "type = \"earmuff\"", "type = \"earmuff\"\nmetal_free = false");
    const json person = chosen_json(text)["people"][0];
    CHECK(person["ranking"].size() == 1);
    REQUIRE(person["not_permitted"].size() == 2);
    CHECK(person["not_permitted"][0]["wears"] == json::array({"muff"}));
    CHECK(unwrapped(chosen(text).output).find("muff (muff): \"muff\" is not free") !=
          std::string::npos);
}

TEST_CASE("choose: an empty catalogue ranks nothing and tells what is needed") {
    const json person = chosen_json(with_empty_catalogue(), 1)["people"][0];
    CHECK(person["ranking"].empty());
    CHECK(person["not_permitted"].empty());
    CHECK(near(person["required_reduction"]["at_ear_dB"], 35.5, 1e-9, Because::Arithmetic));
    CHECK(chosen(with_empty_catalogue()).output.find("nothing in the catalogue") !=
          std::string::npos);
}

TEST_CASE("choose: an empty catalogue is no fault where nobody needs protection") {
    StudyText text = with_empty_catalogue();
    text.card = with(text.card, "LAeq = 118.0\nLCeq = 119.5", "LAeq = 70.0\nLCeq = 71.0");
    const json person = chosen_json(text, 0)["people"][0];
    CHECK(person["required_reduction"].is_null());
    CHECK(person["unprotected"]["verdict"] == "within");
    CHECK(chosen(text).output.find("participant: nothing in the catalogue to choose; within") == 0);
}

TEST_CASE("choose: the report goes into a file, an existing one is replaced only with --force") {
    const StudyFolder study;
    const auto choose = [&study](std::vector<std::string> more) {
        more.insert(more.begin(), {"choose", "plan.toml", "--output", "ranks"});
        return run_program(more, study.root());
    };
    CHECK(choose({}).output.empty());
    const std::string first = content_of(study.folder().path("ranks"));
    CHECK(first.find("participant: foam") == 0);
    const Outcome second = choose({"--format", "json"});
    CHECK(second.status == 2);
    CHECK(second.errors.find("--force") != std::string::npos);
    CHECK(content_of(study.folder().path("ranks")) == first);
    CHECK(choose({"--format", "json", "--force"}).status == 0);
    CHECK(json::parse(content_of(study.folder().path("ranks")))["command"] == "choose");
    std::filesystem::create_hard_link(study.folder().path("protectors.toml"),
                                      study.folder().path("hard.txt"));
    const Outcome input =
        run_program({"choose", "plan.toml", "--output", "hard.txt", "--force"}, study.root());
    CHECK(input.status == 2);
    CHECK(input.errors.find("which was read") != std::string::npos);
    CHECK(run_program({"choose", "plan.toml", "--format", "yaml"}, study.root()).status == 2);
}

TEST_CASE("choose: no probability of the exposure beside a peak that is over") {
    StudyText text;
    text.plan += "[[criterion]]\nid = \"house\"\nlevel_dB = 105\nhours = 8\npeak_dBC = 120\n";
    const std::string at_ear = unwrapped(chosen(text).output);
    CHECK(at_ear.find("4.0 dB over house") != std::string::npos);
    CHECK(at_ear.find("with a probability of") == std::string::npos);

    StudyText outside;
    outside.card = with(outside.card, "LCpeak = 124.0", "LCpeak = 154.0");
    const std::string whatever = unwrapped(chosen(outside).output);
    CHECK(whatever.find("a peak outside is above its limit, whatever is worn; iec-60601-2-33: peak "
                        "154.0 dB, limit 140.0 dB") != std::string::npos);
    CHECK(whatever.find("%, the peak not counted") != std::string::npos);
    CHECK(whatever.find("over a limit, whatever is worn") != std::string::npos);
    CHECK(whatever.find("tightest of all is over by 14.0 dB whatever is worn: iec-60601-2-33, its "
                        "peak outside") != std::string::npos);
}

TEST_CASE("choose and review: what would keep the limits and is not known to fit the head coil") {
    StudyText text = with_empty_catalogue();
    text.plan = with(text.plan, "\"7 h\"", "\"8 min\"");
    text.card = StudyText().card;
    text.protectors += "[[protector]]\nid = \"muff\"\ntype = \"earmuff\"\nNRR = 20\n";
    CHECK(
        unwrapped(chosen(text).output)
            .find("keeps every exposure limit; 1 would, but none is known to fit the head coil") !=
        std::string::npos);
    const StudyFolder study(text);
    const std::string review = unwrapped(
        run_program({"review", "cards/epi.toml", "--protectors", "protectors.toml"}, study.root())
            .output);
    CHECK(review.find("nothing worn permits most, 2 min 21 s a day by niosh-rel, of what is known "
                      "to fit the head coil; more would be permitted with what is not") !=
          std::string::npos);
}

TEST_CASE("choose: the method that was used and the policy's are told apart") {
    const auto text_by = [](const std::string& method, const std::string& more = "") {
        StudyText text;
        text.plan = with(text.plan, "method = \"nrr\"", "method = \"" + method + "\"") + more;
        return unwrapped(chosen(text).output);
    };
    CHECK(text_by("nrr").find("; the policy's is nrr") != std::string::npos);
    const std::string best = text_by("best");
    CHECK(best.find("; used here is snr, the best that the data allow") != std::string::npos);
    CHECK(best.find("the policy's is") == std::string::npos);
    const std::string tested = text_by("nrr", "PAR = 25\n");
    CHECK(tested.find("; used here is par, in the place of the policy's nrr") != std::string::npos);
    CHECK(tested.find("the policy's is par") == std::string::npos);
}

TEST_CASE("choose: what is worn in the plan has the probability that assess gives") {
    const auto result_of = [](const std::string& command) {
        return json::parse(
            run_program({command, "sequences/saltmarsh/plan.toml", "--format", "json"},
                        EARBUDGET_SOURCE_DIR)
                .output)["people"][0];
    };
    const json chosen = result_of("choose")["ranking"][0];
    REQUIRE(chosen["wears"] == json::array({"formable"}));
    double highest = 0.0;
    const json assessed = result_of("assess");
    for (const json& criterion : assessed["criteria"])
        if (criterion["quantity"] != "peak")
            highest = std::max(highest, criterion["probability_over"].get<double>());
    CHECK(highest > 0.0);
    CHECK(near(chosen["probability_over"], highest, 1e-12, Because::Arithmetic));
}

TEST_CASE("choose, assess and the sheet hand out the same, what the plan has first") {
    const std::string plan = EARBUDGET_SOURCE_DIR "/sequences/saltmarsh/plan.toml";
    const std::string chosen = unwrapped(run_short({"choose", plan}, ".").output);
    const std::string assessed = unwrapped(run_short({"assess", plan}, ".").output);
    const std::string sheet =
        run_program({"assess", plan, "--sheet", "--format", "html"}, ".").output;
    const std::vector<std::array<const char*, 3>> people = {
        {"pilot-a: Formable foam plug (formable), as planned", "Hand out: Formable foam plug",
         "Formable foam plug"},
        {"pilot-b: Slim earmuff (muff-slim), instead of the plan's flanged-small",
         "Hand out instead: Slim earmuff", "Slim earmuff"}};
    for (const auto& [in_choose, in_assess, on_sheet] : people) {
        CHECK(holds(chosen, in_choose));
        CHECK(holds(assessed, in_assess));
        CHECK(holds(sheet, on_sheet));
    }
    // The plan's own stays, though another ranks first; what leaves more is said beside it.
    StudyText text;
    text.protectors = with(text.protectors, "SNR = 30\nNRR = 26\n", "NRR = 21\n");
    text.protectors +=
        "[[protector]]\nid = \"best\"\ntype = \"foam-plug\"\nmetal_free = true\nNRR = 27\n";
    const StudyFolder study(text);
    const json ranking =
        json::parse(run_program({"choose", "plan.toml", "--format", "json"}, study.root())
                        .output)["people"][0]["ranking"];
    REQUIRE(ranking[0]["wears"] == json::array({"best"}));
    const std::string words = unwrapped(run_short({"choose", "plan.toml"}, study.root()).output);
    CAPTURE(words);
    CHECK(holds(
        words,
        "participant: foam (foam), as planned: within every limit; best would leave 6.0 dB more"));
    CHECK(holds(run_short({"assess", "plan.toml"}, study.root()).output, "Hand out: foam"));
}
