// Texts of users that would be markup, turn the direction of writing or never end: they stand on
// every page as text and neither run nor break it.
#include <string>

#include <doctest/doctest.h>

#include "end_to_end/page.hpp"
#include "support/program.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;

namespace {

const std::vector<std::string>& hostile_texts() {
    static const std::vector<std::string> hostile = {
        "<script>alert(1)</script>",
        "</style><script>alert(1)</script>",
        "</title></svg><img onerror=x>",
        "it's 'quoted' & `ticked` \\\\ {}",
        "\\\" } body { display: none } /* \\\"",
        "\xE2\x80\xAE\xD7\xA9\xD7\x9C\xD7\x95\xD7\x9D \xE2\x81\xA7 back",
        "🦻🧲👂🏽",
        std::string(5000, 'x')};
    return hostile;
}

std::string page_of(const StudyText& text, std::vector<std::string> words) {
    const StudyFolder study(text);
    words.insert(words.end(), {"--format", "html"});
    const Outcome outcome = run_program(words, study.root());
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status <= 1);
    return outcome.output;
}

}  // namespace

TEST_CASE("hostile titles stand on every page as text") {
    for (const std::string& hostile : hostile_texts()) {
        CAPTURE(hostile.substr(0, 40));
        StudyText text;
        text.plan = with(text.plan, "\"Small\"", '"' + hostile + '"');
        text.plan += "[contact]\nname = \"" + hostile + "\"\n";
        text.card = with(text.card, "[levels]", "title = \"" + hostile + "\"\n[levels]");
        text.protectors = with(text.protectors, "type = \"foam-plug\"",
                               "title = \"" + hostile + "\"\ntype = \"foam-plug\"");
        const auto check = [&](std::vector<std::string> words) {
            const std::string page = page_of(text, std::move(words));
            check_page(page);
            CHECK(page.find("<img") == std::string::npos);
            CHECK(count_of(page, "</style>") == 1);
            CHECK(count_of(page, "</title>\n<style>") == 1);
        };
        check({"assess", "plan.toml"});
        check({"assess", "plan.toml", "--sheet"});
        check({"choose", "plan.toml"});
        check({"review", "cards/epi.toml", "--protectors", "protectors.toml"});
    }
}
