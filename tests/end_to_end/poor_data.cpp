// What is only supposed, or cannot be worn, never makes an answer better.
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "support/program.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;

namespace {

nlohmann::json answer_in(const StudyFolder& study, const char* command) {
    const Outcome outcome = run_program({command, "plan.toml", "--format", "json"}, study.root());
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status <= 1);
    return nlohmann::json::parse(outcome.output);
}

constexpr const char* bands =
    "[levels.octave]\n\"63\" = 70.0\n\"125\" = 80.0\n\"250\" = 90.0\n\"500\" = 95.0\n"
    "\"1000\" = 95.0\n\"2000\" = 92.0\n\"4000\" = 85.0\n\"8000\" = 75.0\n";

}  // namespace

TEST_CASE("bands that another card lends and nobody measured give close at best") {
    for (const std::string how : {"measured", "guessed"}) {
        CAPTURE(how);
        StudyText text;
        text.plan = with(text.plan, "\"8 min\"", "\"1 min\"");
        text.card = with(text.card, "LAeq = 108.0", "LAeq = 98.0\nspectrum_like = \"lender\"");
        for (const char* line : {"LCeq = 109.5\n", "LCpeak = 124.0\n"})
            text.card = with(text.card, line, "");
        const StudyFolder study(text);
        static_cast<void>(study.folder().write(
            "cards/lender.toml", "kind = \"sequence\"\nformat = 1\nid = \"lender\"\n[levels]\n" +
                                     std::string(bands) + "[origin]\nhow = \"" + how + "\"\n"));
        const std::string verdict = how == "guessed" ? "close" : "within";
        const nlohmann::json report = answer_in(study, "assess");
        for (const auto& criterion : report["people"][0]["criteria"])
            CHECK(criterion["verdict"] == verdict);
    }
}

TEST_CASE("no plug is a spare for an ear that nothing fits into") {
    StudyText text;
    text.plan += "unfitted_ear = \"left\"\n";
    text.protectors = with(text.protectors, "type = \"earmuff\"\n",
                           "type = \"earmuff\"\nfits_head_coil = true\nmetal_free = true\n");
    const StudyFolder study(text);
    const nlohmann::json report = answer_in(study, "choose");
    bool muff = false;
    for (const auto& row : report["people"][0]["ranking"]) {
        const bool has_plug = row["wears"].dump().find("foam") != std::string::npos;
        CHECK(row["comfortable"] == !has_plug);
        muff = muff || !has_plug;
    }
    CHECK(muff);
    const Outcome sheet =
        run_program({"assess", "plan.toml", "--format", "html", "--sheet"}, study.root());
    CHECK(sheet.status <= 1);
    CHECK(run_short({"assess", "plan.toml"}, study.root()).output.find("spare: foam") ==
          std::string::npos);
}

TEST_CASE("for a neonate nothing is decided, poorly seated neither") {
    StudyText text;
    text.plan = with(text.plan, "\"8 min\"", "\"10 s\"") + "age_group = \"neonate\"\n";
    const StudyFolder study(text);
    const nlohmann::json report = answer_in(study, "choose");
    for (const auto& row : report["people"][0]["ranking"]) {
        CHECK(row["verdict"] == "unknown");
        CHECK(row["verdict_poorly_seated"] == "unknown");
    }
}

TEST_CASE("a sum of the rows and a level of 0 dB are no sequences") {
    const TemporaryFolder folder;
    static_cast<void>(folder.write(
        "rows.csv", "title,LAeq,duration (min)\nepi,104,8\nquiet,0,3\nTotal,,11\n"));
    const Outcome outcome =
        run_program({"new", "study", "--table", "rows.csv"}, folder.path(""));
    CHECK(outcome.status == 2);
    CHECK(outcome.errors.find("rows.csv:3:2") != std::string::npos);
    CHECK(outcome.errors.find("above 0 dB") != std::string::npos);
    CHECK(outcome.errors.find("rows.csv:4:1") != std::string::npos);
    CHECK(outcome.errors.find("the sum of the others") != std::string::npos);
}

TEST_CASE("what a new study invents is named") {
    const TemporaryFolder folder;
    static_cast<void>(
        folder.write("rows.csv", "title,LAeq,duration (min)\nepi,104,8\nlong,,3\nother,99,\n"));
    const Outcome outcome =
        run_program({"new", "study", "--table", "rows.csv"}, folder.path(""));
    CHECK(outcome.status == 0);
    const std::string said = outcome.output + outcome.errors;
    CHECK(said.find("nothing states the levels of long") != std::string::npos);
    CHECK(said.find("nothing states the duration of other") != std::string::npos);
}

TEST_CASE("with LAeq and an SNR alone the first thing to do is what a method lacks") {
    StudyText text;
    for (const char* line : {"LCeq = 109.5\n", "LCpeak = 124.0\n"})
        text.card = with(text.card, line, "");
    text.card = with(text.card, "LAeq = 108.0", "LAeq = 116.0");
    text.protectors = with(text.protectors, "NRR = 26\n", "");
    text.plan = with(text.plan, "method = \"nrr\"", "method = \"snr\"");
    const StudyFolder study(text);
    const nlohmann::json person = answer_in(study, "assess")["people"][0];
    CHECK(person["verdict"] == "unknown");
    CHECK(person["advice"][0]["code"] == "complete-data");
    const std::string told = run_short({"assess", "plan.toml"}, study.root()).output;
    CAPTURE(told);
    CHECK(told.find("CANNOT BE DECIDED") == 0);
    CHECK(told.find("First: Enter LCeq of") != std::string::npos);
    CHECK(told.find("LCeq") != std::string::npos);
    CHECK(told.find("More runs that fit") == std::string::npos);
}
