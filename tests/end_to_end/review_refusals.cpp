// `review` as a committee runs it: several cards, refusals, files.
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "end_to_end/reviewed.hpp"

using namespace earbudget::test;
using nlohmann::json;

namespace {

/// A refusal: status 2, one line that begins so, nothing written.
void check_refused(const Outcome& outcome, const std::string& start, const std::string& holding) {
    CAPTURE(outcome.errors);
    CHECK(outcome.status == 2);
    CHECK(outcome.output.empty());
    CHECK(lines_of(outcome.errors) == 1);
    CHECK(outcome.errors.find(start) == 0);
    CHECK(outcome.errors.find(holding) != std::string::npos);
}

}  // namespace

TEST_CASE("review: several cards, one block each, two with one id are refused") {
    const StudyFolder study;
    static_cast<void>(study.folder().write(
        "b.toml", "kind = \"sequence\"\nformat = 1\nid = \"b\"\n[levels]\nLAeq = 90.0\n"));
    static_cast<void>(
        study.folder().write("copy.toml", content_of(study.folder().path("cards/epi.toml"))));
    const Outcome two =
        run_program({"review", "b.toml", "cards/epi.toml", "--format", "json"}, study.root());
    const json sequences = json::parse(two.output)["sequences"];
    REQUIRE(sequences.size() == 2);
    CHECK(sequences[0]["id"] == "b");
    CHECK(sequences[1]["id"] == "epi");
    check_refused(run_program({"review", "cards/epi.toml", "copy.toml"}, study.root()),
                  "copy.toml:1:1: ", "the id \"epi\" is also that of \"cards/epi.toml\"");
}

TEST_CASE("review: what is wrong is refused with its place and what is accepted") {
    StudyText bad;
    bad.card = with(bad.card, "LCpeak", "LCpaek");
    check_refused(reviewed(bad), "cards/epi.toml:7:1: ", "LCpeak");
    StudyText subject;
    subject.card += "subject = \"nobody\"\n";
    check_refused(reviewed(subject), "cards/epi.toml:11:", "\"phantom\", \"person\" or \"empty\"");
    const auto usage = [](const std::vector<std::string>& more, const std::string& holding) {
        check_refused(reviewed({}, more), "earbudget review: ", holding);
    };
    usage({"--criteria", "niosh-rol"}, "the nearest known is \"niosh-rel\"");
    usage({"--criteria", "eu-limit"}, "not for the role participant; accepted: niosh-rel");
    usage({"--criteria", "niosh-rel,niosh-rel"}, "stands twice");
    usage({"--role", "visitor"}, "accepted: participant, staff, accompanying");
    usage({"--method", "octav"}, "the nearest known is \"octave\"");
    usage({"--derating", "niohs"}, "the nearest known is \"niosh\"");
    usage({"--derating", "-3"}, "0 to 60 dB");
    usage({"--protection-performance", "99"}, "50 to 98");
    usage({"--at-least", "soon"}, "--at-least is \"soon\"; accepted: a duration");
    usage({"--sessions-per-day", "0"}, "accepted: 1 to 100");
    usage({"--days-per-week", "8"}, "accepted: 0.01 to 7");
    usage({"--protectors", "protectors.toml", "--method", "snr", "--derating", "niosh"}, "niosh");
    CHECK(run_program({"review"}).status == 2);
    check_refused(reviewed({}, {"--against", "absent.toml"}), "absent.toml:1:1: ", "");
    check_refused(reviewed({}, {"--protectors", "cards/epi.toml"}), "cards/epi.toml:1:", "");
}

TEST_CASE("review: a report goes into a file, never over an input") {
    const StudyFolder study;
    const auto run = [&study](const std::vector<std::string>& more) {
        std::vector<std::string> words = {"review", "cards/epi.toml", "--protectors",
                                          "protectors.toml", "--output"};
        words.insert(words.end(), more.begin(), more.end());
        return run_program(words, study.root());
    };
    // Something about the card must be known before it may be approved.
    CHECK(run({"report.txt"}).status == 1);
    CHECK(content_of(study.folder().path("report.txt")).find("epi: ") == 0);
    CHECK(run({"report.txt"}).status == 2);
    CHECK(run({"report.txt", "--force"}).status == 1);
    for (const char* input : {"cards/epi.toml", "protectors.toml"})
        CHECK(run({input, "--force"}).status == 2);
}
