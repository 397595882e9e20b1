// The command `ratings` on a catalogue full of typing errors.
#include <set>
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "end_to_end/ratings_of.hpp"

using namespace earbudget::test;
using nlohmann::json;

namespace {

const std::string typing_errors =
    "[[protector]]\nid = \"slips\"\ntype = \"premoulded-plug\"\n"
    "frequency = [63, 125, 250, 500, 1000, 2000, 4000, 8000]\n"
    "mean = [19.8, 20.6, 2.13, 22.9, 64.2, 29.8, 3.15, 37.2]\n"
    "sd = [6.1, 60e-1, 5.9, 0, 5.2, 4.9, 5.6, 6.4]\nSNR = 42\nH = 20\nM = 25\nL = 27\nNRR = 45\n"
    "PAR = 24\n"
    "[[protector]]\nid = \"fractions\"\ntype = \"earmuff\"\n"
    "frequency = [125, 250, 500, 1000, 2000, 4000, 8000]\n"
    "mean = [0.8, 0.85, 0.9, 0.95, 0.97, 0.98, 0.98]\nsd = [0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1]\n"
    "SNR = 0.9\n"
    "[[protector]]\nid = \"percent\"\ntype = \"earmuff\"\n"
    "frequency = [125, 250, 1000, 4000]\nmean = [70, 72, 75, 79]\nsd = [3, 3, 3, 3]\nM = 30\n"
    "SNR = 27\n"
    "[[protector]]\nid = \"label-only\"\ntype = \"earmuff\"\nSNR = 30\nH = 26\n"
    "[[protector]]\nid = \"bare\"\ntype = \"earmuff\"\n"
    "[[pair]]\nprotectors = [\"label-only\", \"slips\"]\nfrequency = [125]\nmean = [9]\nsd = [3]\n";

std::set<std::string> codes(const json& checked) {
    std::set<std::string> result;
    for (const json& note : checked["notes"]) {
        CHECK_FALSE(note["text"].get<std::string>().empty());
        result.insert(note["code"].get<std::string>());
    }
    return result;
}

}  // namespace

TEST_CASE("ratings: a catalogue full of typing errors is told each of them") {
    const json result = ratings_of(typing_errors, 1);
    const json& protectors = result["protectors"];
    REQUIRE(protectors.size() == 5);
    CHECK(codes(protectors[0]) ==
          std::set<std::string>{"mean-dips", "mean-falls", "mean-stands-out", "mean-too-high",
                                "sd-zero", "sd-above-mean", "H-M-L-order", "SNR-above-H",
                                "NRR-above-SNR", "PAR-in-catalogue", "rating-apart"});
    CHECK(codes(protectors[1]) ==
          std::set<std::string>{"unit-of-mean", "unit-of-sd", "unit-of-rating"});
    CHECK(codes(protectors[2]) ==
          std::set<std::string>{"mean-too-high", "bands-missing", "SNR-below-M"});
    CHECK(codes(protectors[3]) == std::set<std::string>{"no-octave-data", "SNR-above-H"});
    CHECK(codes(protectors[4]) == std::set<std::string>{"no-data"});
    for (const char* key : {"SNR", "H", "M", "L", "NRR"}) {
        CHECK(protectors[2]["computed"][key].is_null());
        CHECK(protectors[3]["computed_unrounded"][key].is_null());
    }
    REQUIRE(result["pairs"].size() == 1);
    CHECK(result["pairs"][0]["protectors"] == json({"slips", "label-only"}));
    CHECK(codes(result["pairs"][0]) == std::set<std::string>{"bands-missing", "pair-below-one"});
}

TEST_CASE("ratings: the text begins with what is apart, then one table, then what to look at") {
    const Outcome outcome = run_ratings(typing_errors);
    CHECK(outcome.status == 1);
    CHECK(outcome.output.find("MORE THAN 2 dB APART: slips (SNR, H, M, L, NRR)\n") == 0);
    const std::size_t table = outcome.output.find("difference");
    const std::size_t notes = outcome.output.find("What to look at");
    const std::size_t cautions = outcome.output.find("\nCautions\n");
    CHECK(table < notes);
    CHECK(notes < cautions);
    CHECK(cautions != std::string::npos);
    CHECK(outcome.output.find("slips under label-only") != std::string::npos);
    CHECK(outcome.output.find("protectors.toml:3:1") != std::string::npos);
    CHECK(outcome.output.find('\x1b') == std::string::npos);
}

TEST_CASE("ratings: notes alone are no failure, an empty catalogue neither") {
    CHECK(run_ratings("[[protector]]\nid = \"a\"\ntype = \"earmuff\"\nSNR = 30\n").status == 0);
    const Outcome empty = run_ratings("");
    CHECK(empty.status == 0);
    CHECK(empty.output.find("The catalogue holds no protector.") == 0);
    CHECK(ratings_of("", 0)["protectors"].empty());
}
