// Plans as poor as real ones: cards with LAeq and a title alone, labels without octave data.
#include <set>
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "support/near.hpp"
#include "support/refusal.hpp"

using namespace earbudget::test;

namespace {

using Json = nlohmann::json;

std::string card(const std::string& id, const std::string& levels) {
    return "kind = \"sequence\"\nformat = 1\nid = \"" + id + "\"\ntitle = \"T\"\n[levels]\n" +
           levels;
}

const std::string bands =
    "[levels.octave]\n\"63\" = 80.0\n\"125\" = 84.0\n\"250\" = 92.0\n\"500\" = 100.0\n"
    "\"1000\" = 104.0\n\"2000\" = 100.0\n\"4000\" = 94.0\n\"8000\" = 80.0\n";

const std::string hml = "H = 30\nM = 24\nL = 18\n";

/// One card with these levels, a plug with this label, no method asked for.
StudyText thin(const std::string& levels, const std::string& label) {
    StudyText text;
    text.card = card("epi", levels);
    text.protectors = with(text.protectors, "SNR = 30\nNRR = 26\n", label);
    text.plan = with(text.plan, "method = \"nrr\"\n", "");
    return text;
}

Json assessed(const StudyFolder& study) {
    const Outcome outcome = run_program({"assess", "plan.toml", "--format", "json"}, study.root());
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status <= 1);
    return Json::parse(outcome.output);
}

bool is(const Json& value, double dB) {
    return near(value.get<double>(), dB, 1e-9, Because::Arithmetic);
}

}  // namespace

TEST_CASE("thin data: LAeq alone is enough with H, M, L, by the check that is named") {
    const Json plan = assessed(StudyFolder(thin("LAeq = 100.0\n", hml)));
    const Json& segment = plan["people"][0]["segments"][0];
    CHECK(segment["method"] == "hml");
    CHECK(segment["method_form"] == "hml-check-L");
    CHECK(plan["sources"]["methods"][0]["id"] == "hml");
    CHECK(plan["sources"]["methods"][0]["source"] == "EN 458 (HML check; edition not confirmed)");
    CHECK(is(segment["reduction_dB"], 18.0));
    CHECK(is(segment["reduction_by_M_dB"], 24.0));
    CHECK(segment["spectrum_uncertainty_dB"].get<double>() > 3.4);
    const Json stated = assessed(StudyFolder(thin("LAeq = 100.0\nlow_frequency = false\n", hml)));
    CHECK(is(stated["people"][0]["segments"][0]["reduction_dB"], 24.0));
    CHECK(stated["people"][0]["segments"][0]["method_form"] == "hml-check-M");
}

TEST_CASE("thin data: SNR alone needs low_frequency = false, and says so at the card") {
    const StudyFolder poor(thin("LAeq = 110.0\n", "SNR = 30\n"));
    const Outcome outcome = run_program({"assess", "plan.toml"}, poor.root());
    CHECK(outcome.status == 1);
    CHECK(outcome.output.find("annot be decided") != std::string::npos);
    CHECK(outcome.output.find("low_frequency = false") != std::string::npos);
    CHECK(outcome.output.find("cards/epi.toml:5:1") != std::string::npos);
    CHECK(assessed(poor)["people"][0]["verdict"] == "unknown");
    const Json segment = assessed(StudyFolder(
        thin("LAeq = 110.0\nlow_frequency = false\n", "SNR = 30\n")))["people"][0]["segments"][0];
    CHECK(segment["method_form"] == "snr-from-LA");
    CHECK(is(segment["reduction_dB"], 25.0));
}

TEST_CASE("thin data: spectrum_like takes the bands of another card, never its peak") {
    const StudyFolder study(thin("LAeq = 100.0\nspectrum_like = \"rich\"\n", hml));
    static_cast<void>(study.folder().write("cards/rich.toml",
                                           card("rich", "LAeq = 107.5\nLCpeak = 130.0\n" + bands)));
    const Json plan = assessed(study);
    const Json& segment = plan["people"][0]["segments"][0];
    CHECK(segment["method"] == "hml");
    CHECK(segment["method_form"] == "spectrum-like");
    CHECK(segment["spectrum_like"] == "rich");
    CHECK(is(segment["spectrum_uncertainty_dB"], 2.0));
    // The other card's 130 dB would make a peak that is known.
    for (const Json& criterion : plan["people"][0]["criteria"]) {
        if (criterion["quantity"] == "peak") CHECK(criterion["by_bound"] == true);
    }
    const Outcome reviewed = run_program(
        {"review", "cards/epi.toml", "--protectors", "protectors.toml", "--format", "json"},
        study.root());
    CAPTURE(reviewed.errors);
    const Json sequence = Json::parse(reviewed.output)["sequences"][0];
    CHECK(sequence["levels"]["spectrum_like"] == "rich");
    // 100.0 in place of 107.5 dB(A).
    CHECK(is(sequence["levels"]["octave_dB"]["1000"], 104.0 - 7.5));
}

TEST_CASE("thin data: a spectrum_like that cannot be followed is refused at its line") {
    const std::string here = "LAeq = 100.0\nspectrum_like = \"rich\"\n";
    const auto refused = [&](const std::string& levels, const std::string& rich,
                             const Mistake& mistake, std::set<std::string>& messages) {
        const StudyFolder study(thin(levels, hml));
        static_cast<void>(study.folder().write("cards/rich.toml", card("rich", rich)));
        static_cast<void>(
            study.folder().write("cards/third.toml", card("third", "LAeq = 107.5\n" + bands)));
        check_refused(run_program({"assess", "plan.toml"}, study.root()), mistake, messages);
    };
    const std::string place = "cards/epi.toml:7:17";
    const std::string whole = "LAeq = 107.5\n" + bands;
    std::set<std::string> messages;
    refused("LAeq = 100.0\nspectrum_like = \"rihc\"\n", whole, {"", "", place, "\"rich\""},
            messages);
    refused("LAeq = 100.0\nspectrum_like = \"epi\"\n", whole, {"", "", place, "itself"}, messages);
    refused(here, "LAeq = 107.5\n", {"", "", place, "no octave bands"}, messages);
    refused(here, "LAeq = 107.5\nspectrum_like = \"third\"\n", {"", "", place, "from another card"},
            messages);
    refused("LAeq = 106.7\nspectrum_like = \"rich\"\n" + bands, whole,
            {"", "", place, "octave bands of the card's own"}, messages);
    CHECK(messages.size() == 5);
}

TEST_CASE("thin data: one card without data leaves the others' methods and everyone answered") {
    StudyText text = thin("LAeq = 108.0\nLCeq = 109.5\n", "SNR = 30\nNRR = 26\n");
    text.plan = with(text.plan, "[[timeline]]\nrest",
                     "[[timeline]]\nsequence = \"loc\"\nduration = \"20 s\"\n[[timeline]]\nrest");
    const StudyFolder study(text);
    static_cast<void>(study.folder().write("cards/loc.toml", card("loc", "LAeq = 98.0\n")));
    const Json plan = assessed(study);
    const Json& segments = plan["people"][0]["segments"];
    CHECK(segments[0]["method"] == "snr");
    CHECK(segments[1]["method"] == "nrr");
    CHECK(plan["people"][0]["method"] == "snr");
    int warned = 0;
    for (const Json& warning : plan["warnings"]) {
        if (warning["code"] != "card-lacks-data") continue;
        ++warned;
        CHECK(warning["where"] == "cards/loc.toml:5:1");
    }
    CHECK(warned == 1);
}

TEST_CASE("thin data: a method without its data warns where it would be entered") {
    for (const char* method : {"octave", "hml", "par"}) {
        StudyText text;
        text.plan = with(text.plan, "\"nrr\"", std::string("\"") + method + "\"");
        const Json plan = assessed(StudyFolder(text));
        CAPTURE(method);
        CHECK(plan["people"][0]["verdict"] == "unknown");
        bool said = false;
        for (const Json& warning : plan["warnings"]) {
            said = said || (warning["code"] == "protector-lacks-data" &&
                            warning["where"] == "protectors.toml:3:1");
        }
        CHECK(said);
    }
    StudyText strict;
    strict.plan = with(strict.plan, "method = \"nrr\"", "protection_performance = 95");
    const Json plan = assessed(StudyFolder(strict));
    CHECK(plan["people"][0]["method"] == "snr");
    bool said = false;
    for (const Json& warning : plan["warnings"])
        said = said || warning["code"] == "label-for-84-percent";
    CHECK(said);
}

TEST_CASE(
    "thin data: a level at the ear that no method reduced says so before it is called "
    "insufficient") {
    const StudyFolder study(thin("LAeq = 104.0\n", "SNR = 30\n"));
    const Outcome outcome = run_program({"assess", "plan.toml"}, study.root());
    CHECK(
        outcome.output.find("while sequences run, of which some counts unreduced: insufficient") !=
        std::string::npos);
}
