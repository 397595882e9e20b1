// Cards grow old: what the list says of them, and what a plan says that uses one.
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "support/program.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;

namespace {

nlohmann::json list_of(const StudyFolder& study, const std::string& day) {
    const Outcome outcome =
        run_program({"cards", ".", "--format", "json", "--date", day}, study.root());
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status == 0);
    return nlohmann::json::parse(outcome.output)["cards"];
}

bool warns_of(const StudyFolder& study, const std::string& code, const std::string& day) {
    const Outcome outcome =
        run_program({"assess", "plan.toml", "--format", "json", "--date", day}, study.root());
    const nlohmann::json report = nlohmann::json::parse(outcome.output);
    for (const nlohmann::json& warning : report["warnings"])
        if (warning["code"] == code) return true;
    return false;
}

}  // namespace

TEST_CASE("every card with level, origin, age, state, who uses it and what is missing") {
    StudyText text;
    text.card =
        with(text.card, "[levels]", "scanner = \"3 T\"\nvalid_until = \"2026-10-31\"\n[levels]") +
        "when = \"2026-10-01\"\n";
    const StudyFolder study(text);
    static_cast<void>(study.folder().write(
        "archive/old.toml",
        "kind = \"sequence\"\nformat = 1\nid = \"old\"\n[levels]\nLAeq = 100.0\n"));
    static_cast<void>(study.folder().write(".hidden/x.toml", "no toml"));
    static_cast<void>(study.folder().write("other.toml", "name = \"else\"\n"));
    const nlohmann::json now = list_of(study, "2026-10-31");
    REQUIRE(now.size() == 2);
    CHECK(now[0]["id"] == "old");
    CHECK(now[0]["how"] == nullptr);
    CHECK(now[0]["used_by"].empty());
    CHECK(now[0]["missing"] == nlohmann::json({"origin", "who", "date", "position", "instrument",
                                               "uncertainty", "LCeq", "octave", "peak"}));
    CHECK(now[1]["id"] == "epi");
    CHECK(now[1]["LAeq_dB"] == 108.0);
    CHECK(now[1]["how"] == "entered");
    CHECK(now[1]["date"] == "2026-10-01");
    CHECK(now[1]["age_days"] == 30);
    CHECK(now[1]["scanner"] == "3 T");
    CHECK(now[1]["state"] == "current");
    CHECK(now[1]["used_by"].size() == 1);
    CHECK(now[1]["missing"] == nlohmann::json({"who", "position", "instrument", "octave"}));
    CHECK(list_of(study, "2026-11-01")[1]["state"] == "stale");
    CHECK(!warns_of(study, "stale-card", "2026-10-31"));
    CHECK(warns_of(study, "stale-card", "2026-11-01"));
    const Outcome words = run_program({"cards", ".", "--date", "2026-11-01"}, study.root());
    CHECK(words.output.find("2 cards: 1 current, 1 stale.") == 0);
}

TEST_CASE("a card that another stands for is superseded, in lists, plans, rankings and on paper") {
    StudyText text;
    const StudyFolder study(text);
    CHECK(!warns_of(study, "superseded-card", "2026-11-01"));
    static_cast<void>(
        study.folder().write("cards/new.toml", with(with(text.card, "\"epi\"", "\"epi-2\""),
                                                    "[levels]", "supersedes = \"epi\"\n[levels]")));
    const nlohmann::json cards = list_of(study, "2026-11-01");
    REQUIRE(cards.size() == 2);
    CHECK(cards[0]["state"] == "superseded");
    CHECK(cards[0]["superseded_by"] == nlohmann::json({"epi-2"}));
    CHECK(cards[1]["state"] == "current");
    CHECK(warns_of(study, "superseded-card", "2026-11-01"));
    const std::string said = "is superseded by";
    CHECK(run_program({"choose", "plan.toml"}, study.root()).output.find(said) !=
          std::string::npos);
    CHECK(run_program({"assess", "plan.toml", "--sheet", "--format", "html"}, study.root())
              .output.find(said) != std::string::npos);
    const Outcome review =
        run_program({"review", "cards/epi.toml", "cards/new.toml"}, study.root());
    CHECK(review.output.find("superseded by") != std::string::npos);
}

TEST_CASE("all mistakes of all files at once, and nothing is listed") {
    StudyText text;
    text.card = with(text.card, "108.0", "\"loud\"");
    text.plan = with(text.plan, "\"8 min\"", "8");
    const StudyFolder study(text);
    const Outcome outcome = run_program({"cards", "."}, study.root());
    CHECK(outcome.status == 2);
    CHECK(outcome.output.empty());
    CHECK(outcome.errors.find("epi.toml:5:8: ") != std::string::npos);
    CHECK(outcome.errors.find("plan.toml:14:12: ") != std::string::npos);
    CHECK(lines_of(outcome.errors) == 2);
    const Outcome absent = run_program({"cards", "nowhere"}, study.root());
    CHECK(absent.status == 2);
    CHECK(absent.errors.find("nowhere") != std::string::npos);
    CHECK(absent.errors.find("accepted: ") != std::string::npos);
}

TEST_CASE("bands that are lent and cards of positions are uses; cards alike are told apart") {
    StudyText text;
    text.card = with(text.card, "LCeq = 109.5\n", "spectrum_like = \"lender\"\n");
    text.plan = with(text.plan, "[background]",
                     "[[position]]\nid = \"door\"\nsequences = \"door\"\n[background]") +
                "[[person]]\nid = \"one\"\nrole = \"staff\"\nwears = []\n[[person.task]]\n"
                "during = \"timeline\"\nposition = \"door\"\n";
    const StudyFolder study(text);
    std::string octaves = "[levels.octave]\n";
    for (const char* band : {"63", "125", "250", "500", "1000", "2000", "4000", "8000"})
        octaves += std::string("\"") + band + "\" = 90.0\n";
    static_cast<void>(study.folder().write("cards/lender.toml",
                                           "kind = \"sequence\"\nformat = 1\nid = \"lender\"\n" +
                                               octaves));
    static_cast<void>(study.folder().write(
        "door/epi.toml",
        "kind = \"sequence\"\nformat = 1\nid = \"epi\"\n[levels]\nLAeq = 70.0\n"));
    const auto users = [&](const nlohmann::json& cards, const std::string& file) {
        for (const nlohmann::json& card : cards)
            if (card["file"].get<std::string>().ends_with(file)) return card["used_by"].size();
        return std::size_t{99};
    };
    const nlohmann::json all = list_of(study, "2026-10-31");
    CHECK(users(all, "cards/lender.toml") == 1);
    CHECK(users(all, "door/epi.toml") == 1);
    // Wherever they lie.
    const Outcome plan_alone = run_program(
        {"cards", "plan.toml", "--format", "json", "--date", "2026-10-31"}, study.root());
    const nlohmann::json reached = nlohmann::json::parse(plan_alone.output)["cards"];
    CHECK(users(reached, "door/epi.toml") == 1);
    CHECK(users(reached, "cards/lender.toml") == 1);
    const std::string words = run_program({"cards", "."}, study.root()).output;
    CHECK(words.find("epi (./door/epi.toml)") != std::string::npos);
    CHECK(words.find("epi (./cards/epi.toml)") != std::string::npos);
    const Outcome table = run_program({"cards", ".", "--format", "csv"}, study.root());
    CHECK(table.status == 0);
    CHECK(table.output.starts_with("id,title,file,LAeq_dB,how,date,age_days,"));
    CHECK(table.output.find("\r\nlender,") != std::string::npos);
    CHECK(table.output.find("plan.toml") != std::string::npos);
}
