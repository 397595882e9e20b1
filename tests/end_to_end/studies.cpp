// `assess` of a study of visits: its files, its answer as text, JSON and page, its mistakes, and
// what is of one plan alone.
#include <filesystem>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "end_to_end/page.hpp"
#include "support/holds.hpp"
#include "support/program.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;
using nlohmann::json;

namespace {

const std::string two_visits =
    "kind = \"study\"\n"                 // 1
    "format = 1\n"                       // 2
    "title = \"Training\"\n"             // 3
    "[[visit]]\n"                        // 4
    "plan = \"plan.toml\"\n"             // 5
    "title = \"Scans\"\n"                // 6
    "times = 2\n"                        // 7
    "days_apart = 2\n"                   // 8
    "[[visit]]\n"                        // 9
    "plan = \"later/follow-up.toml\"\n"  // 10
    "days_apart = 7\n";                  // 11

/// The small study with a later visit, which lasts longer and has a companion.
class VisitsFolder {
  public:
    explicit VisitsFolder(const std::string& text = two_visits) {
        StudyText later;
        later.plan = with(later.plan, "8 min", "16 min");
        later.plan = with(later.plan, "\"cards\"", "\"../cards\"");
        later.plan = with(later.plan, "\"protectors.toml\"", "\"../protectors.toml\"");
        later.plan = with(later.plan, "\"Small\"", "\"Follow-up\"");
        later.plan +=
            "[[person]]\nid = \"parent\"\nrole = \"accompanying\"\nwears = [\"muff\"]\n"
            "criteria = [\"who-public-adult\"]\ndays_per_week = 3\n[[person.task]]\n"
            "title = \"beside\"\nduring = \"timeline\"\nposition = \"seat\"\n[[position]]\nid = "
            "\"seat\"\n"
            "difference_dB = -3.0\n";
        static_cast<void>(study_.folder().write("later/follow-up.toml", later.plan));
        static_cast<void>(study_.folder().write("study.toml", text));
    }

    [[nodiscard]] Outcome run(const std::vector<std::string>& words) const {
        return run_short(words, study_.root());
    }
    [[nodiscard]] json answer(const std::vector<std::string>& paths = {"study.toml"}) const {
        std::vector<std::string> words = {"assess", "--format", "json"};
        words.insert(words.end(), paths.begin(), paths.end());
        const Outcome outcome = run(words);
        CAPTURE(outcome.errors);
        REQUIRE(outcome.status < 2);
        return json::parse(outcome.output);
    }
    [[nodiscard]] const TemporaryFolder& folder() const { return study_.folder(); }

  private:
    StudyFolder study_ = StudyFolder();
};

std::vector<std::string> split_lines(const std::string& text) {
    std::vector<std::string> lines(1);
    for (const char letter : text) {
        if (letter == '\n')
            lines.emplace_back();
        else
            lines.back() += letter;
    }
    return lines;
}

std::string refused_study(const std::string& text) {
    const Outcome outcome = VisitsFolder(text).run({"assess", "study.toml"});
    CHECK(outcome.status == 2);
    CHECK(outcome.output.empty());
    return outcome.errors;
}

}  // namespace

TEST_CASE("a study is answered for all its visits at once") {
    const VisitsFolder study;
    const json answer = study.answer();
    CHECK(answer["command"] == "assess");
    CHECK(answer["study"]["title"] == "Training");
    CHECK(answer["study"]["file"] == "study.toml");
    REQUIRE(answer["visits"].size() == 2);
    CHECK(answer["visits"][0]["title"] == "Scans");
    CHECK(answer["visits"][1]["title"] == "Follow-up");  // the plan's
    CHECK(answer["visits"][1]["plan"]["file"] == "later/follow-up.toml");
    REQUIRE(answer["people"].size() == 2);
    const json& participant = answer["people"][0];
    CHECK(participant["id"] == "participant");
    CHECK(participant["missing_in"].empty());
    CHECK(participant["week"].empty());
    CHECK(participant["total"]["days"] == 3);
    const json& parent = answer["people"][1];
    CHECK(parent["missing_in"] == json::array({1}));
    CHECK(parent["days_per_week_not_used"] == json::array({3.0}));
    REQUIRE(parent["week"].size() == 1);
    CHECK(parent["week"][0]["id"] == "who-public-adult");
    CHECK(parent["week"][0]["visits"] == json::parse(R"([{"visit": 2, "times": 1}])"));
    // Each day as its plan has it.
    const json alone = study.answer({"plan.toml"});
    CHECK(participant["visits"][0]["criteria"][0]["value"] ==
          alone["people"][0]["criteria"][0]["value"]);
    CHECK(participant["visits"][0]["criteria"][0]["probability_over"] ==
          alone["people"][0]["criteria"][0]["probability_over"]);
    CHECK(participant["visits"][0]["exposure"] == alone["people"][0]["exposure"]);
}

TEST_CASE("a study is told in six lines a person, and on a page with every limit") {
    const VisitsFolder study;
    const Outcome text = study.run({"assess", "study.toml"});
    CAPTURE(text.output);
    const std::size_t begin = text.output.find("Within every limit: participant, participant");
    REQUIRE(begin != std::string::npos);
    const std::size_t end = text.output.find("Within every limit: parent", begin);
    REQUIRE(end != std::string::npos);
    CHECK(lines_of(text.output.substr(begin, end - begin)) <= 6);
    CHECK(holds(unwrapped(text.output.substr(begin, end - begin)), "Tightest at visit 2 (Follow-up): "));
    CHECK(holds(unwrapped(text.output), "in the week of visit 2"));
    CHECK(holds(unwrapped(text.output), "not in visit 1"));
    CHECK(holds(unwrapped(text.output), "days_per_week = 3 of the plans is not used"));
    CHECK(holds(text.output, "results support and do not replace"));
    const std::string whole = study.run({"assess", "study.toml", "--detail"}).output;
    CHECK(holds(whole, "worst day: visit 2 (Follow-up), niosh-rel, dose at the ear"));
    CHECK(holds(unwrapped(whole), "for which no limit is published"));
    CHECK(holds(unwrapped(whole), "heaviest week: visit 2, who-public-adult, weekly dose"));
    const Outcome table = study.run({"assess", "study.toml", "--format", "csv"});
    CHECK(holds(table.output, "parent,accompanying,within,heaviest week,who-public-adult,"));
    CHECK(holds(table.output, "participant,participant,within,visit 2,niosh-rel,dose,true,"));
    const Outcome page = study.run({"assess", "study.toml", "--format", "html"});
    check_page(page.output);
    CHECK(holds(page.output, "week of visit 2"));
}

TEST_CASE("a study says why it is close where nobody measured the levels") {
    StudyText text;
    text.card = with(text.card, "how = \"entered\"", "how = \"guessed\"");
    text.plan = with(text.plan, "8 min", "10 s");
    const StudyFolder study(text);
    static_cast<void>(study.folder().write(
        "study.toml",
        "kind = \"study\"\nformat = 1\ntitle = \"One\"\n[[visit]]\nplan = \"plan.toml\"\n"));
    const Outcome told = run_short({"assess", "study.toml"}, study.root());
    CAPTURE(told.output);
    CHECK(told.output.find("Close to a limit") == 0);
    CHECK(holds(told.output, "nobody measured the levels"));
    CHECK(holds(told.output, "Hand out: foam"));
}

TEST_CASE("a study of one visit says the very lines of its plan") {
    const std::string folder = EARBUDGET_SOURCE_DIR "/sequences/saltmarsh/";
    const TemporaryFolder other;
    static_cast<void>(other.write(
        "study.toml", "kind = \"study\"\nformat = 1\ntitle = \"One\"\n[[visit]]\nplan = \"" +
                          folder + "plan.toml\"\ntitle = \"Only\"\ntimes = 1\n"));
    const std::string alone = run_short({"assess", folder + "plan.toml"}, ".").output;
    const std::string study = run_short({"assess", "study.toml"}, other.path("")).output;
    CAPTURE(study);
    int same = 0;
    for (const std::string& line : split_lines(alone)) {
        const bool of_all = line.find("Hand out: ") == 2 || line.find("First") == 2 ||
                            line.find("Or: ") == 2 || line.find("OVER") == 0 ||
                            line.find("Within") == 0;
        if (!of_all) continue;
        CHECK(holds(study, line + "\n"));
        ++same;
    }
    CHECK(same >= 10);
    CHECK(holds(study, "Hand out instead: Slim earmuff; no spare; then 5.2 dB left"));
    CHECK_FALSE(holds(study, "earbudget assess with its plan"));
}

TEST_CASE("what is handed out at one visit alone is named with it, as is what the study comes to") {
    const VisitsFolder study;
    std::string later = content_of(study.folder().path("later/follow-up.toml"));
    later = with(later, "wears = [\"foam\"]", "wears = []");
    const TemporaryFolder& folder = study.folder();
    std::filesystem::remove(folder.path("later/follow-up.toml"));
    static_cast<void>(folder.write("later/follow-up.toml", later));
    const Outcome told = study.run({"assess", "study.toml"});
    CAPTURE(told.output);
    CHECK(told.status == 1);
    const std::string words = unwrapped(told.output);
    CHECK(holds(words,
                "OVER A LIMIT: participant, participant, wears foam (visit 1), nothing (visit 2)"));
    CHECK(holds(words, "Visit 1: hand out: foam"));
    CHECK(holds(words, "visit 2: hand out instead: foam; no spare; then "));
    const std::string whole = unwrapped(study.run({"assess", "study.toml", "--detail"}).output);
    CHECK(holds(whole, "visit 2: add-protection: "));
}

TEST_CASE("a neonate has one tightest limit, in the plan, the study and the list") {
    StudyText text;
    text.plan = with(text.plan, "[\"niosh-rel\", \"iec-60601-2-33\"]",
                     "[\"niosh-rel\", \"who-public-adult\"]");
    text.plan += "age_group = \"neonate\"\n";
    text.plan = with(text.plan, "8 min", "20 s");
    const StudyFolder study(text);
    static_cast<void>(study.folder().write(
        "study.toml",
        "kind = \"study\"\nformat = 1\ntitle = \"One\"\n[[visit]]\nplan = \"plan.toml\"\n"));
    const auto json_of = [&](const std::vector<std::string>& paths) {
        std::vector<std::string> words = {"assess", "--format", "json"};
        words.insert(words.end(), paths.begin(), paths.end());
        return json::parse(run_short(words, study.root()).output);
    };
    const json plan = json_of({"plan.toml"}), alone = json_of({"study.toml"}),
               list = json_of({"."});
    CHECK(plan["verdict"] == "unknown");
    CHECK(alone["verdict"] == "unknown");
    REQUIRE(list["plans"].size() == 2);
    for (const json& line : list["plans"]) {
        CHECK(line["verdict"] == "unknown");
        CHECK(line["tightest"]["criterion"] == alone["tightest"]["criterion"]);
        CHECK(line["tightest"]["margin_dB"] == alone["tightest"]["margin_dB"]);
    }
    for (const json& week : alone["people"][0]["week"])
        CHECK(week["verdict"] == "unknown");
    CHECK_FALSE(alone["people"][0]["week"].empty());
}

TEST_CASE("a study is one line among plans, as it is by itself") {
    const VisitsFolder study;
    const json alone = study.answer();
    const json many = study.answer({"."});
    REQUIRE(many["plans"].size() == 3);
    const json& line = many["plans"][2];
    CHECK(line["file"] == "./study.toml");
    CHECK(line["kind"] == "study");
    CHECK(line["verdict"] == alone["verdict"]);
    CHECK(line["tightest"]["margin_dB"] == alone["tightest"]["margin_dB"]);
    CHECK(line["tightest"]["person"] == alone["tightest"]["person"]);
    static_cast<void>(study.run({"assess", "study.toml", "--output", "study.json"}));
    const Outcome since = study.run({"assess", "study.toml", "--since", "study.json"});
    CHECK(
        holds(unwrapped(since.output), "0 with another margin (by more than 0.05 dB), 1 the same"));
}

TEST_CASE("what is of one plan is refused for a study, with its plans") {
    const VisitsFolder study;
    for (const std::string command : {"choose", "review"}) {
        const Outcome outcome = study.run({command, "study.toml"});
        CHECK(outcome.status == 2);
        CHECK(holds(outcome.errors, "this is a study of visits, which earbudget assess answers"));
        CHECK(holds(outcome.errors, "plan.toml, later/follow-up.toml"));
    }
    for (const std::vector<std::string>& words : std::vector<std::vector<std::string>>{
             {"--working"}, {"--against", "plan.toml"}, {"--sheet", "--format", "html"}}) {
        std::vector<std::string> all = {"assess", "study.toml"};
        all.insert(all.end(), words.begin(), words.end());
        const Outcome outcome = study.run(all);
        CHECK(outcome.status == 2);
        CHECK(holds(outcome.errors, "is of one plan, and \"study.toml\" is a study of visits"));
    }
}

TEST_CASE("mistakes in a study and in all its plans are told at once") {
    CHECK(holds(refused_study("kind = \"study\"\nformat = 1\n"),
                "study.toml:1:1: there is no visit; accepted: at least one [[visit]]"));
    CHECK(holds(refused_study(with(two_visits, "times = 2", "times = 0")),
                "study.toml:7:9: \"times\" is 0; accepted: "));
    CHECK(holds(refused_study(with(two_visits, "days_apart = 7", "days_apart = 0.5")),
                "study.toml:11:14: \"days_apart\" is "));
    CHECK(holds(refused_study(with(two_visits, "times", "time")),
                "unknown key \"time\" in [[visit]], the nearest known is \"times\""));
    CHECK(holds(refused_study(with(two_visits, "plan.toml\"\ntitle", "plam.toml\"\ntitle")),
                "study.toml:5:8: cannot read \"plam.toml\""));
    CHECK(holds(refused_study(with(two_visits, "plan = \"plan.toml\"\n", "")),
                "study.toml:4:1: [[visit]] has no \"plan\""));
    CHECK(holds(refused_study(with(two_visits, "\"plan.toml\"", "\"study.toml\"")),
                "accepted: kind = \"plan\""));
    const VisitsFolder study;
    static_cast<void>(study.folder().write("plan.toml", with(StudyText().plan, "8 min", "8")));
    static_cast<void>(study.folder().write("later/follow-up.toml",
                                           with(StudyText().plan, "\"2 min\"", "\"2 bin\"")));
    const Outcome outcome = study.run({"assess", "study.toml"});
    CHECK(outcome.status == 2);
    CHECK(holds(outcome.errors, "plan.toml:14:"));
    CHECK(holds(outcome.errors, "later/follow-up.toml:17:"));
}
