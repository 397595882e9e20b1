// What is not known is said so: never shown as safe, never as worse once it is known.
#include <algorithm>
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "support/holds.hpp"
#include "support/near.hpp"
#include "support/program.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;

namespace {

using Json = nlohmann::json;

std::string card(const std::string& id, const std::string& levels) {
    return "kind = \"sequence\"\nformat = 1\nid = \"" + id + "\"\n[levels]\n" + levels +
           "[origin]\nhow = \"entered\"\n";
}

/// Cards "epi" and "loud" in one plan, each run for 16 min.
StudyText two_cards(const std::string& epi, const std::string& label) {
    StudyText text;
    text.card = card("epi", epi);
    text.protectors = with(text.protectors, "SNR = 30\nNRR = 26\n", label);
    text.plan = with(text.plan, "method = \"nrr\"\n", "");
    text.plan =
        with(text.plan, "rest = \"2 min\"\n", "sequence = \"loud\"\nduration = \"16 min\"\n");
    return text;
}

std::string flat(const std::string& output) {
    std::string words;
    for (const char c : output) {
        const bool space = c == '\n' || c == ' ';
        if (!space || words.empty() || words.back() != ' ') words += space ? ' ' : c;
    }
    return words;
}

Outcome assess(const StudyText& text, const std::string& loud, const std::string& format) {
    const StudyFolder study(text);
    static_cast<void>(study.folder().write("cards/loud.toml", card("loud", loud)));
    return run_program({"assess", "plan.toml", "--format", format}, study.root());
}

Json first_person(const StudyText& text, const std::string& loud) {
    const Outcome outcome = assess(text, loud, "json");
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status <= 1);
    return Json::parse(outcome.output)["people"][0];
}

Json peak_of(const Json& person) {
    for (const Json& criterion : person["criteria"]) {
        if (criterion["quantity"] == "peak") return criterion;
    }
    return {};
}

std::size_t count(const Json& person, const std::string& code) {
    return static_cast<std::size_t>(std::ranges::count_if(
        person["advice"], [&](const Json& advice) { return advice["code"] == code; }));
}

const std::string hml = "H = 30\nM = 24\nL = 18\n";
const std::string better =
    "[[protector]]\nid = \"better\"\ntype = \"foam-plug\"\nmetal_free = true\n"
    "H = 36\nM = 34\nL = 32\n";

}  // namespace

TEST_CASE("not known: poorly seated gives no all-clear where rows count unreduced") {
    const StudyText text = two_cards("LAeq = 104.0\n", "SNR = 30\n");
    for (const char* format : {"text", "html"}) {
        const std::string words = flat(assess(text, "LAeq = 104.0\n", format).output);
        CHECK(holds(words, "cannot be decided by niosh-rel"));
        CHECK(!holds(words, "no exposure limit exceeded"));
    }
}

TEST_CASE("not known: the highest known peak does not stand for one that is not known") {
    const std::string known = "LAeq = 108.0\nLCeq = 109.5\nLCpeak = 121.0\n";
    const std::string lacking = "LAeq = 118.0\nLCeq = 119.5\n";
    const StudyText text = two_cards(known, "NRR = 26\n");
    const Json peak = peak_of(first_person(text, lacking));
    CHECK(peak["verdict"] == "unknown");
    CHECK(peak["value"].is_null());
    CHECK(peak["margin_dB"].is_null());
    CHECK(peak["probability_over"].is_null());
    const std::string remark = peak["remark"];
    CHECK(holds(remark, "highest known 121.0 dB; no peak is stated for \"loud\""));
    CHECK(holds(flat(assess(text, lacking, "text").output), "peak not known, limit 140.0 dB"));
    const Json over = peak_of(first_person(
        two_cards("LAeq = 108.0\nLCeq = 109.5\nLCpeak = 141.0\n", "NRR = 26\n"), lacking));
    CHECK(over["verdict"] == "over");
    CHECK(near(over["value"].get<double>(), 141.0, 1e-9, Because::Arithmetic));
}

TEST_CASE("not known: a comparison says it in words and names the card that changed") {
    const StudyText text = two_cards("LAeq = 108.0\nLCeq = 109.5\nLCpeak = 121.0\n", "NRR = 26\n");
    const StudyFolder study(text);
    const auto write = [&](const std::string& file, const std::string& what) {
        static_cast<void>(study.folder().write(file, what));
    };
    write("cards/loud.toml", card("loud", "LAeq = 118.0\nLCeq = 119.5\nLCpeak = 125.0\n"));
    write("earlier/cards/epi.toml", text.card);
    write("earlier/cards/loud.toml", card("loud", "LAeq = 118.0\nLCeq = 119.5\n"));
    write("earlier/protectors.toml", text.protectors);
    write("earlier/plan.toml", text.plan);
    for (const char* format : {"text", "html"}) {
        const std::string words = flat(run_program({"assess", "plan.toml", "--against",
                                                    "earlier/plan.toml", "--format", format},
                                                   study.root())
                                           .output);
        CHECK(holds(words, "peak: not known before, 125.0 dB now"));
        CHECK(holds(words, "probability of being over not known before, "));
        CHECK(holds(words,
                    "loud: 16 min as before; card LAeq 118.0 dB(A) before, 118.0 dB(A) "
                    "now; LCpeak not stated before, 125.0 dB now"));
        CHECK(!holds(words, "over  before"));
    }
}

TEST_CASE("not known: beside an unknown peak the close limits and their remedies are named") {
    const StudyText text = two_cards("LAeq = 116.0\n", hml + better);
    const Json person = first_person(text, "LAeq = 80.0\n");
    REQUIRE(person["verdict"] == "unknown");
    CHECK(person["criteria"][0]["verdict"] == "close");
    CHECK(count(person, "measure-again") == 1);
    CHECK(count(person, "change-protection") == 1);
    CHECK(count(person, "shorten") == 1);
    const std::string words = flat(assess(text, "LAeq = 80.0\n", "text").output);
    const auto peak = words.find("peak not known, limit");
    const auto close = words.find("niosh-rel: dose ");
    REQUIRE(peak != std::string::npos);
    REQUIRE(close != std::string::npos);
    CHECK(peak < close);
    CHECK(close < words.find("What to do"));
}

TEST_CASE("not known: nobody is told to lengthen what is not confidently within") {
    const Json person = first_person(two_cards("LAeq = 114.0\n", hml), "LAeq = 114.0\n");
    REQUIRE(person["criteria"][0]["verdict"] == "close");
    for (const Json& advice : person["advice"])
        CHECK(!holds(advice["text"].get<std::string>(), "Do not lengthen"));
    CHECK(count(person, "shorten") == 0);
}

TEST_CASE("not known: what several cards lack alike is one advice that lists them") {
    const StudyText text = two_cards("LAeq = 104.0\n", "SNR = 30\n");
    const Json person = first_person(text, "LAeq = 104.0\n");
    REQUIRE(count(person, "complete-data") == 1);
    for (const Json& advice : person["advice"]) {
        if (advice["code"] != "complete-data") continue;
        const std::string words = advice["text"];
        CHECK(holds(words, "\"epi\", \"loud\" unreduced at the ear under \"foam\""));
        CHECK(holds(words, "each has neither LCeq"));
        CHECK(holds(words, "cards/epi.toml:4:1, cards/loud.toml:4:1"));
    }
}

TEST_CASE("assess: no line of the text ends with a blank") {
    const StudyText text = two_cards("LAeq = 104.0\n", hml);
    CHECK(!holds(assess(text, "LAeq = 80.0\n", "text").output, " \n"));
    CHECK(!holds(run_program({"assess", "plan.toml"}, StudyFolder().root()).output, " \n"));
}
