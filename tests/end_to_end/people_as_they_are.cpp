// What a plan says of people: age, ears, devices, protectors of their own, what to take instead.
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "support/program.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;

namespace {

/// The small study with more said of its participant.
StudyText with_person(const std::string& more) {
    StudyText text;
    text.plan = with(text.plan, "wears = [\"foam\"]\n", "wears = [\"foam\"]\n" + more);
    return text;
}

StudyText without_criteria(StudyText text) {
    text.plan = with(text.plan, "criteria = [\"niosh-rel\", \"iec-60601-2-33\"]\n", "");
    return text;
}

nlohmann::json answer(const StudyText& text, const std::string& command = "assess") {
    const StudyFolder study(text);
    const Outcome outcome = run_program(
        {command, "plan.toml", "--format", "json", "--date", "2026-11-29"}, study.root());
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status < 2);
    return nlohmann::json::parse(outcome.output);
}

nlohmann::json person_of(const StudyText& text) { return answer(text)["people"][0]; }

std::vector<std::string> ids_of_criteria(const nlohmann::json& person) {
    std::vector<std::string> ids;
    for (const nlohmann::json& criterion : person["criteria"]) {
        const std::string id = criterion["id"];
        if (ids.empty() || ids.back() != id) ids.push_back(id);
    }
    return ids;
}

bool warns(const nlohmann::json& report, const std::string& code) {
    for (const nlohmann::json& warning : report["warnings"])
        if (warning["code"] == code) return true;
    return false;
}

std::string page_of(const StudyText& text) {
    const StudyFolder study(text);
    return run_program({"assess", "plan.toml", "--sheet", "--format", "html"}, study.root()).output;
}

}  // namespace

TEST_CASE("title and note are said with the person") {
    const StudyText text = with_person("title = \"The first\"\nnote = \"left-handed\"\n");
    const nlohmann::json person = person_of(text);
    CHECK(person["title"] == "The first");
    CHECK(person["note"] == "left-handed");
    const StudyFolder study(text);
    const std::string words = run_program({"assess", "plan.toml"}, study.root()).output;
    CHECK(words.find("The first (participant)") != std::string::npos);
    CHECK(words.find("left-handed") != std::string::npos);
    CHECK(!person_of({}).contains("title"));
}

TEST_CASE("whoever is younger than an adult has H.870's stricter limit by default") {
    using Ids = std::vector<std::string>;
    const Ids of_adults{"niosh-rel", "iec-60601-2-33"};
    const Ids of_younger{"niosh-rel", "iec-60601-2-33", "who-public-child"};
    CHECK(ids_of_criteria(person_of(without_criteria({}))) == of_adults);
    CHECK(ids_of_criteria(person_of(without_criteria(with_person("age_group = \"adult\"\n")))) ==
          of_adults);
    for (const char* group : {"teenager", "child"}) {
        const StudyText text =
            without_criteria(with_person(std::string("age_group = \"") + group + "\"\n"));
        CHECK(ids_of_criteria(person_of(text)) == of_younger);
        CHECK(warns(answer(text), "young-ears"));
    }
}

TEST_CASE("for a neonate nothing is within before the plan states a limit of its own") {
    const StudyText text = with_person("age_group = \"neonate\"\n");
    const nlohmann::json report = answer(text);
    CHECK(report["verdict"] == "unknown");
    for (const nlohmann::json& criterion : report["people"][0]["criteria"])
        CHECK(criterion["verdict"] == "unknown");
    CHECK(warns(report, "no-limit-for-age"));
    for (const nlohmann::json& ranked : answer(text, "choose")["people"][0]["ranking"])
        CHECK(ranked["verdict"] != "within");
    CHECK(page_of(text).find("Do not start with") != std::string::npos);
    StudyText own = text;
    own.plan = with(own.plan, "[background]\n",
                    "[[criterion]]\nid = \"ours\"\nlevel_dB = 85\n[background]\n");
    CHECK(answer(own)["verdict"] == "within");
    // What is over a limit of others is over all the same.
    StudyText over = text;
    over.plan = with(over.plan, "\"8 min\"", "\"10 h\"");
    CHECK(answer(over)["verdict"] == "over");
}

TEST_CASE("what a physician is asked about changes no figure") {
    const nlohmann::json before = person_of({});
    for (const std::string key : {"pregnant_staff", "tinnitus_or_hyperacusis", "hearing_device"}) {
        CAPTURE(key);
        const StudyText text = with_person(key + " = true\n");
        const nlohmann::json report = answer(text);
        nlohmann::json person = report["people"][0];
        CHECK(person[key] == true);
        CHECK(warns(report, "ask-physician"));
        CHECK(page_of(text).find("Before the start") != std::string::npos);
        const StudyFolder study(text);
        CHECK(run_short({"assess", "plan.toml"}, study.root()).output.find("Before the start: ") !=
              std::string::npos);
        person.erase(key);
        CHECK(person == before);
    }
    CHECK(!warns(answer({}), "ask-physician"));
}

TEST_CASE("an ear that cannot be fitted is judged as it is: only an earmuff counts") {
    const nlohmann::json bare = person_of(with_person("unfitted_ear = \"left\"\n"));
    CHECK(bare["segments"][0]["reduction_dB"] == 0.0);
    CHECK(bare["verdict"] == "over");
    StudyText muff = with_person("unfitted_ear = \"right\"\n");
    muff.plan = with(muff.plan, "wears = [\"foam\"]", "wears = [\"muff\"]");
    StudyText plain;
    plain.plan = with(plain.plan, "wears = [\"foam\"]", "wears = [\"muff\"]");
    const double of_muff = person_of(plain)["segments"][0]["reduction_dB"];
    CHECK(of_muff > 0.0);
    CHECK(person_of(muff)["segments"][0]["reduction_dB"] == of_muff);
    // Under a muff the plug reaches the other ear alone.
    StudyText both = with_person("unfitted_ear = \"left\"\n");
    both.plan = with(both.plan, "wears = [\"foam\"]", "wears = [\"foam\", \"muff\"]");
    CHECK(person_of(both)["segments"][0]["reduction_dB"] == of_muff);
    CHECK(warns(answer(both), "unfitted-ear"));
}

TEST_CASE("a protector of one person's own is worn and ranked by that person alone") {
    StudyText text = with_person(
        "[[person.protector]]\nid = \"own\"\ntype = \"custom-plug\"\nmetal_free = true\nNRR = 27\n"
        "[[person]]\nid = \"other\"\nrole = \"participant\"\nwears = [\"foam\"]\n");
    text.plan = with(text.plan, "wears = [\"foam\"]", "wears = [\"own\"]");
    CHECK(person_of(text)["segments"][0]["reduction_dB"] == doctest::Approx(27.0 - 1.5));
    const nlohmann::json choose = answer(text, "choose");
    const auto ranks = [&](std::size_t person) {
        bool any = false;
        for (const nlohmann::json& ranked : choose["people"][person]["ranking"])
            for (const nlohmann::json& id : ranked["wears"])
                any = any || id == "own";
        return any;
    };
    CHECK(ranks(0));
    CHECK(!ranks(1));
}

TEST_CASE("what is handed out where the first does not seat is assessed too") {
    StudyText text = with_person("instead = [\"muff\"]\n");
    text.protectors += "metal_free = true\nfits_head_coil = true\n";
    const nlohmann::json person = person_of(text);
    CHECK(person["instead"]["wears"] == nlohmann::json({"muff"}));
    CHECK(person["instead"]["verdict"] != "over");
    bool said = false;
    for (const nlohmann::json& advice : person["advice"])
        said = said || (advice["code"] == "fit-check" &&
                        advice["text"].get<std::string>().find("muff") != std::string::npos);
    CHECK(said);
    CHECK(page_of(text).find("muff") != std::string::npos);
    text.plan = with(text.plan, "\"8 min\"", "\"3 h\"");
    CHECK(person_of(text)["instead"]["verdict"] == "over");
    CHECK(!person_of({}).contains("instead"));
}

TEST_CASE("a head-coil pad counts as measured, else 0 dB") {
    StudyText text;
    text.plan = with(text.plan, "wears = [\"foam\"]", "wears = [\"pads\"]");
    text.plan = with(text.plan, "method = \"nrr\"", "method = \"octave\"");
    text.card =
        with(text.card, "[origin]",
             "[levels.octave]\n\"125\" = 90.0\n\"250\" = 95.0\n\"500\" = 105.0\n"
             "\"1000\" = 105.0\n\"2000\" = 100.0\n\"4000\" = 95.0\n\"8000\" = 90.0\n[origin]");
    text.card = with(text.card, "LAeq = 108.0\nLCeq = 109.5\n", "");
    const std::string pad = "[[protector]]\nid = \"pads\"\ntype = \"pad\"\nmetal_free = true\n";
    text.protectors += pad;
    const nlohmann::json nothing = person_of(text);
    CHECK(nothing["segments"][0]["reduction_dB"] == doctest::Approx(0.0));
    CHECK(nothing["verdict"] == "over");
    text.protectors +=
        "frequency = [125, 250, 500, 1000, 2000, 4000, 8000]\n"
        "mean = [5, 5, 5, 5, 5, 5, 5]\nsd = [0, 0, 0, 0, 0, 0, 0]\n";
    CHECK(person_of(text)["segments"][0]["reduction_dB"] == doctest::Approx(5.0));
}
