// All mistakes of a study are said at once, one line each in the order of files, lines and columns,
// and none that is only the consequence of another.
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "support/refusal.hpp"

using namespace earbudget::test;

namespace {

struct Change {
    std::string old;
    std::string fresh;
};

std::string changed(std::string text, const std::vector<Change>& changes) {
    for (const Change& change : changes)
        text = with(text, change.old, change.fresh);
    return text;
}

/// "FILE:LINE:COLUMN" of each line of the messages.
std::vector<std::string> places(const std::string& errors) {
    std::vector<std::string> found;
    for (std::size_t begin = 0; begin < errors.size(); begin = errors.find('\n', begin) + 1)
        found.push_back(errors.substr(begin, errors.find(": ", begin) - begin));
    return found;
}

std::vector<std::string> places_of(const StudyText& text) {
    const StudyFolder study(text);
    const Outcome outcome = run_program({"assess", "plan.toml"}, study.root());
    CHECK(outcome.status == 2);
    CHECK(outcome.output.empty());
    return places(outcome.errors);
}

using Places = std::vector<std::string>;

}  // namespace

TEST_CASE("mistakes of the plan, its catalogue and its cards are said together and in order") {
    StudyText text;
    text.plan = changed(text.plan, {{"\"nrr\"", "\"nnr\""},
                                    {"LAeq = 68.0", "LAeq = \"68\""},
                                    {"\"8 min\"", "8"},
                                    {"repeat = 2", "repeat = 0"},
                                    {"role = \"participant\"", "role = \"patient\""},
                                    {"wears = [\"foam\"]", "wears = [\"fome\"]\nworn = 2"}});
    text.protectors =
        changed(text.protectors, {{"SNR = 30", "SNR = 300"}, {"NRR = 20", "NRR = -90"}});
    text.card = changed(text.card, {{"LCeq = 109.5", "LCq = 109.5"}, {"\"entered\"", "\"heard\""}});
    CHECK(places_of(text) == Places{"cards/epi.toml:6:1", "cards/epi.toml:10:7", "plan.toml:7:10",
                                    "plan.toml:11:8", "plan.toml:14:12", "plan.toml:15:10",
                                    "plan.toml:20:8", "plan.toml:21:10", "plan.toml:22:8",
                                    "protectors.toml:7:7", "protectors.toml:12:7"});
}

TEST_CASE("what only follows from a mistake is not said") {
    const auto with_plan = [](const std::vector<Change>& changes) {
        StudyText text;
        text.plan = changed(text.plan, changes);
        return places_of(text);
    };
    // Without its cards or its catalogue nobody knows which ids there are.
    CHECK(with_plan({{"\"cards\"", "\"crads\""}}) == Places{"plan.toml:4:13"});
    CHECK(with_plan({{"sequences =", "sequenses ="}}) == Places{"plan.toml:4:1"});
    CHECK(with_plan({{"protectors =", "protecters ="}}) == Places{"plan.toml:5:1"});
    // A person who may be staff is not said to need a task, nor a PAR that is no number to be
    // absent.
    CHECK(with_plan({{"role = \"participant\"", "role = \"stuff\""}}) == Places{"plan.toml:20:8"});
    CHECK(
        with_plan({{"wears = [\"foam\"]", "wears = [\"foam\"]\nPAR = 900\nPAR_uncertainty = 2"}}) ==
        Places{"plan.toml:22:7"});
    // A misspelt key is not absent too.
    CHECK(with_plan({{"duration = \"8", "durration = \"8"}}) == Places{"plan.toml:14:1"});
    CHECK(with_plan({{"id = \"participant\"", "idd = \"participant\""}}) ==
          Places{"plan.toml:19:1"});
    // But what is absent is said beside what is wrong.
    CHECK(with_plan({{"id = \"participant\"\n", ""}, {"\"foam\"", "\"fome\""}}) ==
          Places{"plan.toml:18:1", "plan.toml:20:10"});
    // Two protectors of which one is of no known type may still be worn together.
    StudyText text;
    text.plan = with(text.plan, "[\"foam\"]", "[\"foam\", \"muff\"]");
    text.protectors = with(text.protectors, "\"earmuff\"", "\"ear-muff\"");
    CHECK(places_of(text) == Places{"protectors.toml:11:8"});
    // A card that cannot be read at all may be the one that a row names.
    StudyText broken;
    broken.card = with(broken.card, "\"epi\"", "\"epi");
    CHECK(places_of(broken).size() == 1);
    CHECK(places_of(broken).front().find("cards/epi.toml:3:") == 0);
}

TEST_CASE("mistakes of all cards under review and of the catalogue are said together") {
    StudyText text;
    text.card = with(text.card, "LCeq = 109.5", "LCeq = \"109.5\"");
    text.protectors = with(text.protectors, "SNR = 30", "SNR = 300");
    const StudyFolder study(text);
    static_cast<void>(
        study.folder().write("cards/b.toml", with(text.card, "uncertainty", "uncertanty")));
    const Outcome outcome =
        run_program({"review", "cards/b.toml", "cards/epi.toml", "--protectors", "protectors.toml"},
                    study.root());
    CHECK(outcome.status == 2);
    CHECK(outcome.output.empty());
    CHECK(places(outcome.errors) == Places{"cards/b.toml:6:8", "cards/b.toml:8:1",
                                           "cards/epi.toml:6:8", "protectors.toml:7:7"});
}

TEST_CASE("of more than twenty mistakes twenty are said, and how many more there are") {
    StudyText text;
    for (int n = 0; n < 23; ++n)
        text.plan += "[[person]]\nid = \"p" + std::to_string(n) + "\"\nrole = \"patient\"\n";
    const StudyFolder study(text);
    const Outcome outcome = run_program({"assess", "plan.toml"}, study.root());
    CHECK(outcome.status == 2);
    CHECK(lines_of(outcome.errors) == 21);
    CHECK(outcome.errors.find("plan.toml:24:8: ") == 0);
    CHECK(outcome.errors.find("\nplan.toml:81:8: ") != std::string::npos);
    CHECK(outcome.errors.find("\nplan.toml:84:8: ") == std::string::npos);
    CHECK(outcome.errors.ends_with("\nearbudget: and 3 more\n"));
}
