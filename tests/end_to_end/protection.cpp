// What `assess` says about protection beside the verdict, and mistakes in what a plan says of it.
#include <algorithm>
#include <set>
#include <string>
#include <utility>
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

Outcome run(const std::string& command, const StudyText& text, const std::string& format = "json") {
    const StudyFolder study(text);
    return run_program({command, "plan.toml", "--format", format}, study.root());
}

json assessed_person(const StudyText& text) {
    const Outcome outcome = run("assess", text);
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status <= 1);
    return json::parse(outcome.output)["people"][0];
}

StudyText of_person(const std::string& lines) {
    StudyText text;
    text.plan += lines;
    return text;
}

}  // namespace

TEST_CASE("assess: the lowest, the highest and the policy's of all methods stand side by side") {
    const json person = assessed_person({});
    const json& methods = person["methods"];
    std::vector<double> levels;
    int of_policy = 0;
    for (const json& each : methods["each"]) {
        levels.push_back(each["at_ear_LEX_8h_dB"]);
        if (!each["of_policy"].get<bool>()) continue;
        ++of_policy;
        CHECK(each["method"] == person["method"]);
    }
    REQUIRE(levels.size() == 2);  // SNR and NRR are stated
    CHECK(of_policy == 1);
    CHECK(methods["lowest_at_ear_LEX_8h_dB"] == *std::min_element(levels.begin(), levels.end()));
    CHECK(methods["highest_at_ear_LEX_8h_dB"] == *std::max_element(levels.begin(), levels.end()));
    CHECK(methods["policy_at_ear_LEX_8h_dB"] == person["exposure"]["at_ear_LEX_8h_dB"]);
    // SNR 30 and NRR 26 on the same LC lie 4 dB apart, but for the unreduced background.
    CHECK(near(levels[1] - levels[0], 4.0, 0.1, Because::OwnTolerance));
}

TEST_CASE("assess: each verdict says whether it would hold with a poorly seated plug") {
    const json person = assessed_person({});
    for (const json& criterion : person["criteria"]) {
        CAPTURE(criterion["id"]);
        REQUIRE(criterion.contains("verdict_poorly_seated"));
        if (criterion["quantity"] != "peak") CHECK(criterion["verdict"] == "within");
    }
    // Poorly seated 98 of 108 dB(A): within NIOSH's 99.7 for 16 minutes, but not surely.
    CHECK(person["criteria"][0]["id"] == "niosh-rel");
    CHECK(person["criteria"][0]["verdict_poorly_seated"] == "close");
    const json poor = assessed_person(of_person("fit = \"poor\"\n"));
    CHECK(poor["criteria"][0]["verdict"] == "close");
    CHECK(poor["exposure"]["at_ear_LEX_8h_dB"] == person["poorly_seated_LEX_8h_dB"]);
    StudyText bare;
    bare.plan = with(bare.plan, "[\"foam\"]", "[]");
    CHECK(assessed_person(bare)["criteria"][0]["verdict_poorly_seated"].is_null());
    CHECK(assessed_person(bare)["methods"]["each"].empty());
}

TEST_CASE("whoever derates as NIOSH did is told that it was replaced in January 2025") {
    StudyText text;
    text.plan = with(text.plan, "derating = \"none\"", "derating = \"niosh\"");
    for (const std::string command : {"assess", "choose"}) {
        for (const std::string format : {"text", "json"}) {
            CAPTURE(command);
            CAPTURE(format);
            CHECK(holds(run(command, text, format).output, "January 2025"));
            CHECK(!holds(run(command, {}, format).output, "January 2025"));
        }
    }
}

TEST_CASE("without a criterion for the role choosing is not decided, as assessing is not") {
    StudyText text;
    text.plan = with(text.plan, "\"niosh-rel\", \"iec-60601-2-33\"", "\"eu-limit\"");
    CHECK(run("assess", text).status == 1);
    const Outcome outcome = run("choose", text);
    CHECK(outcome.status == 1);
    const json person = json::parse(outcome.output)["people"][0];
    CHECK(person["ranking"][0]["verdict"] == "unknown");
    CHECK(person["required_reduction"].is_null());
    CHECK(run("choose", text, "text").output.find("Cannot be decided: participant") == 0);
}

TEST_CASE("choose: a peak above its limit is no answer, whatever is worn, as in assess") {
    for (const auto& [peak, verdict] : std::vector<std::pair<std::string, std::string>>{
             {"LCpeak = 124.0", "within"},
             {"LCpeak = 138.0", "unknown"},  // stands for the unweighted one, up to 3 dB higher
             {"LCpeak = 141.0", "over"}}) {
        CAPTURE(peak);
        StudyText text;
        text.card = with(text.card, "LCpeak = 124.0", peak);
        const Outcome outcome = run("choose", text);
        CHECK(outcome.status == run("assess", text).status);
        const json person = json::parse(outcome.output)["people"][0];
        CHECK(person["peak_verdict"] == verdict);
        CHECK(person["ranking"][0]["verdict"] == verdict);
        CHECK(person["ranking"][0]["verdict_by_wearing"] == "within");
        const std::string words = run("choose", text, "text").output;
        CHECK(holds(words, "but a peak is above its limit") == (verdict == "over"));
        CHECK(holds(unwrapped(words), "whatever is worn; iec") == (verdict != "within"));
    }
}

TEST_CASE("mistakes in what a person agrees to and was tested with are refused at their place") {
    struct Mistake {
        std::string lines;
        std::string place;
        std::string words;
    };
    const std::vector<Mistake> mistakes = {
        {"canal = \"tiny\"", "plan.toml:22:9", "\"small\""},
        {"canal = 3", "plan.toml:22:9", "a number"},
        {"only = \"muffs\"", "plan.toml:22:8", "\"plugs\" or \"earmuffs\""},
        {"only = [\"plugs\"]", "plan.toml:22:8", "array"},
        {"PAR_uncertainty = 2", "plan.toml:22:19", "without a PAR"},
        {"PAR = 24\nPAR_uncertainty = -1", "plan.toml:23:19", "from 0 to 20 dB"},
        {"PAR = 24\nPAR_uncertainty = 21", "plan.toml:23:19", "from 0 to 20 dB"},
        {"PAR = 24\nPAR_uncertainty = \"2 dB\"", "plan.toml:23:19", "a string"},
        {"PAR = -1", "plan.toml:22:7", "from 0 to 80 dB"},
        {"PAR = 81", "plan.toml:22:7", "from 0 to 80 dB"},
        {"cannot_wear = [\"foam\"]", "plan.toml:21:9", "cannot_wear"},
        {"cannot_wear = [\"fome\"]", "plan.toml:22:16", "nearest known is \"foam\""},
        {"least_useful_dB = 90", "plan.toml:22:19", "from 40 to 85 dB"},
    };
    std::set<std::string> messages;
    for (const Mistake& mistake : mistakes) {
        CAPTURE(mistake.lines);
        for (const std::string command : {"assess", "choose"}) {
            const Outcome outcome = run(command, of_person(mistake.lines + "\n"));
            CAPTURE(outcome.errors);
            CHECK(outcome.status == 2);
            CHECK(outcome.output.empty());
            CHECK(lines_of(outcome.errors) == 1);
            CHECK(outcome.errors.find(mistake.place + ": ") == 0);
            CHECK(holds(outcome.errors, mistake.words));
            CHECK(holds(outcome.errors, "accepted"));
            messages.insert(outcome.errors);
        }
    }
    CHECK(messages.size() >= mistakes.size() - 1);  // -1 and 21 dB are told alike but for the value
    const StudyText sized = [] {
        StudyText text;
        text.protectors =
            with(text.protectors, "SNR = 30", "SNR = 30\ncanal = [\"small\", \"big\"]");
        return text;
    }();
    CHECK(run("choose", sized).errors.find("protectors.toml:8:19: ") == 0);
}
