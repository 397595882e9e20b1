// The command `ratings`: computed beside stated ratings, and what it refuses.
#include <filesystem>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "end_to_end/ratings_of.hpp"
#include "support/near.hpp"

using namespace earbudget::test;
using nlohmann::json;

namespace {

// The example of 40 CFR 211.207, figure 2, with a label of H, M, L and SNR that agrees.
const std::string example =
    "[[protector]]\nid = \"example\"\ntitle = \"Figure 2\"\ntype = \"foam-plug\"\n"
    "frequency = [125, 250, 500, 1000, 2000, 3150, 4000, 6300, 8000]\n"
    "mean = [21, 22, 23, 29, 41, 43, 47, 41, 36]\n"
    "sd = [3.7, 3.3, 3.8, 4.7, 3.3, 3.3, 3.4, 6.1, 6.5]\nNRR = 20\n";

}  // namespace

TEST_CASE("ratings: every key of the contract is there, and the example of 40 CFR 211.207") {
    const json result = ratings_of(example, 0);
    CHECK(result["program"] == "earbudget");
    CHECK(result["version"] == EARBUDGET_VERSION);
    CHECK(result["command"] == "ratings");
    CHECK(result["catalogue"]["file"] == "protectors.toml");
    CHECK(result["catalogue"]["sha256"].get<std::string>().size() == 64);
    CHECK(result["cautions"].size() >= 3);
    CHECK(result["pairs"].empty());
    REQUIRE(result["protectors"].size() == 1);
    const json& one = result["protectors"][0];
    CHECK(one["id"] == "example");
    CHECK(one["title"] == "Figure 2");
    CHECK(one["where"] == "protectors.toml:3:1");
    for (const char* key : {"SNR", "H", "M", "L", "NRR"}) {
        CAPTURE(key);
        const double label = one["computed"][key];
        CHECK(near(one["computed_unrounded"][key], label, 0.5, Because::PrintedRounding));
        CHECK(one["stated"].contains(key));
    }
    CHECK(one["computed"]["NRR"] == 20.0);
    CHECK(near(one["computed_unrounded"]["NRR"], 19.8, 0.05, Because::PrintedRounding));
    CHECK(one["stated"]["NRR"] == 20.0);
    CHECK(one["stated"]["SNR"].is_null());
    REQUIRE(one["differences"].size() == 1);
    CHECK(one["differences"][0]["rating"] == "NRR");
    CHECK(one["differences"][0]["stated"] == 20.0);
    CHECK(one["differences"][0]["computed"] == 20.0);
    CHECK(one["differences"][0]["difference_dB"] == 0.0);
    CHECK(one["notes"].empty());
}

TEST_CASE("ratings: both editions of ISO 4869-2, of which 2018 is held against the label") {
    // The protector of its annexes A to D: H, M, L 24, 18, 13 and SNR 21 (2018).
    const std::string printed =
        "[[protector]]\nid = \"printed\"\ntype = \"earmuff\"\n"
        "frequency = [63, 125, 250, 500, 1000, 2000, 4000, 8000]\n"
        "mean = [7.4, 10.0, 14.4, 19.6, 22.8, 29.6, 38.8, 34.1]\n"
        "sd = [3.3, 3.6, 3.6, 4.6, 4.0, 6.2, 7.4, 5.2]\nL = 12\n";
    const json result = ratings_of(printed, 0);
    const json& one = result["protectors"][0];
    CHECK(one["computed"]["SNR"] == 21.0);
    CHECK(one["computed"]["H"] == 24.0);
    CHECK(one["computed"]["M"] == 18.0);
    CHECK(one["computed"]["L"] == 13.0);
    CHECK(one["computed_1994"]["L"] == 12.0);
    CHECK(!one["computed_1994"].contains("NRR"));  // which no edition of it gives
    CHECK(near(one["computed_unrounded"]["SNR"], 20.73, 0.005, Because::PrintedRounding));
    CHECK(near(one["computed_1994_unrounded"]["SNR"], 21.15, 0.005, Because::PrintedRounding));
    CHECK(one["differences"][0]["computed"] == 13.0);
    CHECK(result["sources"].dump().find("ISO 4869-2:2018, clause 8") != std::string::npos);
    CHECK(result["sources"].dump().find("ISO 4869-2:1994, clause 8") != std::string::npos);
    const std::string text = run_ratings(printed).output;
    CHECK(text.find("by 2018") != std::string::npos);
    CHECK(text.find("by 1994") != std::string::npos);
}

TEST_CASE("ratings: 3000 and 6000 Hz give the same as 3150 and 6300 Hz, other bands are refused") {
    std::string old = example;
    old.replace(old.find("3150"), 4, "3000").replace(old.find("6300"), 4, "6000");
    CHECK(ratings_of(old, 0)["protectors"] == ratings_of(example, 0)["protectors"]);
    old.replace(old.find("3000"), 4, "3200");
    const Outcome refused = run_ratings(old);
    CHECK(refused.status == 2);
    CHECK(refused.output.empty());
    CHECK(refused.errors.find("protectors.toml:7:") == 0);
    CHECK(refused.errors.find("3150") != std::string::npos);
}

TEST_CASE("ratings: the demo's catalogue agrees with its own data") {
    const std::string root = EARBUDGET_SOURCE_DIR;
    const Outcome outcome =
        run_program({"ratings", "sequences/saltmarsh/protectors.toml", "--format", "json"}, root);
    REQUIRE(outcome.status == 0);
    const json result = json::parse(outcome.output);
    REQUIRE(result["protectors"].size() == 4);
    CHECK(result["protectors"][0]["id"] == "formable");  // the order of the file
    CHECK(result["protectors"][3]["id"] == "muff-slim");
    for (const json& one : result["protectors"]) {
        CHECK(one["notes"].empty());
        REQUIRE(one["differences"].size() == 5);
        for (const json& difference : one["differences"])
            CHECK(difference["difference_dB"] == 0.0);
    }
    const Outcome text = run_program({"ratings", "sequences/saltmarsh/protectors.toml"}, root);
    CHECK(text.status == 0);
    CHECK(text.output.find("No stated rating is more than 2 dB from") == 0);
    CHECK(text.output.find("do not replace a competent person") != std::string::npos);
}

TEST_CASE("ratings: bad input, a file that exists and one that was read are refused") {
    const TemporaryFolder folder;
    static_cast<void>(folder.write("protectors.toml", catalogue_head + example));
    static_cast<void>(folder.write("there.txt", "mine"));
    const auto refused = [&folder](const std::vector<std::string>& words,
                                   const std::string& place) {
        const Outcome outcome = run_program(words, folder.path(""));
        CAPTURE(outcome.errors);
        CHECK(outcome.status == 2);
        CHECK(outcome.output.empty());
        CHECK(lines_of(outcome.errors) == 1);
        CHECK(outcome.errors.find(place) == 0);
    };
    refused({"ratings", "absent.toml"}, "absent.toml:1:1: ");
    refused({"ratings"}, "earbudget ratings: ");
    refused({"ratings", "protectors.toml", "--format", "html"}, "earbudget ratings: ");
    refused({"ratings", "protectors.toml", "--output", "there.txt"}, "there.txt:1:1: ");
    refused({"ratings", "protectors.toml", "--output", "protectors.toml", "--force"},
            "earbudget ratings: ");
    std::filesystem::create_hard_link(folder.path("protectors.toml"), folder.path("hard.txt"));
    refused({"ratings", "protectors.toml", "--output", "hard.txt", "--force"}, "hard.txt:1:1: ");
    CHECK(content_of(folder.path("there.txt")) == "mine");
    CHECK(content_of(folder.path("protectors.toml")) == catalogue_head + example);
    const Outcome written = run_program(
        {"ratings", "protectors.toml", "--output", "there.txt", "--force"}, folder.path(""));
    CHECK(written.status == 0);
    CHECK(written.output.empty());
    CHECK(content_of(folder.path("there.txt")).find("No stated rating") == 0);
}
