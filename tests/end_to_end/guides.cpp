// What is made from the program's own description: the manual page and the shells' completion.
#include <regex>
#include <set>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "end_to_end/help_text.hpp"
#include "support/program.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget::test;

namespace {

const std::string guides = EARBUDGET_GUIDES;

/// What bash offers after these words, the last of which is being typed.
std::set<std::string> offered(const std::vector<std::string>& words) {
    std::string script = "source " + guides + "/earbudget.bash && COMP_WORDS=(";
    for (const std::string& word : words)
        script += "'" + word + "' ";
    script += ") && COMP_CWORD=" + std::to_string(words.size() - 1) +
              " && _earbudget && printf '%s\\n' \"${COMPREPLY[@]}\"";
    const TemporaryFolder folder;
    static_cast<void>(folder.write("plan.toml", ""));
    const Outcome outcome =
        run_other("bash", {"--norc", "-c", "set -u; " + script}, folder.path(""));
    CAPTURE(script);
    CHECK(outcome.errors.empty());
    REQUIRE(outcome.status == 0);
    return matches(outcome.output, "([^\n]+)\n");
}

using WordSet = std::set<std::string>;

}  // namespace

TEST_CASE("the manual page: no warning of groff, every command and option of help in it") {
    const std::string path = guides + "/earbudget.1";
    const Outcome checked =
        run_other("groff", {"-man", "-Tutf8", "-Kutf8", "-ww", "-rF0", "-z", path});
    CHECK(checked.status == 0);
    CHECK(checked.errors == "");
    const Outcome shown = run_other(
        "groff", {"-man", "-Tutf8", "-Kutf8", "-P-c", "-P-b", "-P-o", "-P-u", "-rLL=200n", path});
    REQUIRE(shown.status == 0);
    for (const std::string section :
         {"NAME", "SYNOPSIS", "OPTIONS", "COMMANDS", "EXAMPLES", "CAUTIONS"}) {
        CAPTURE(section);
        CHECK(holds(shown.output, "\n" + section + "\n"));
    }
    for (const std::string& command : commands()) {
        CAPTURE(command);
        const std::size_t start = shown.output.find("\n   " + command + "\n");
        REQUIRE(start != std::string::npos);
        const std::string part =
            shown.output.substr(start, shown.output.find("Exit status", start) - start);
        for (const std::string& option : options(command)) {
            CAPTURE(option);
            CHECK(std::regex_search(part, std::regex("\n +" + option + "[ ,\n]")));
        }
        for (const std::string& example : example_commands(help_of(command)))
            CHECK(holds(shown.output, example.substr(0, example.find('\n'))));
    }
    CHECK(holds(shown.output, "do not replace a competent person"));
}

TEST_CASE("the completion for zsh and fish has every command and option of help") {
    const std::string zsh = content_of(guides + "/earbudget.zsh");
    const std::string fish = content_of(guides + "/earbudget.fish");
    for (const std::string& command : commands()) {
        CAPTURE(command);
        const std::string last = words_of(command).back();
        const bool of_group = last != command;
        const std::size_t start =
            zsh.find("            " + (of_group ? "'" + command + "'" : command) + ")\n");
        REQUIRE(start != std::string::npos);
        const std::string part = zsh.substr(start, zsh.find(";;", start) - start);
        for (const std::string& option : options(command)) {
            CAPTURE(option);
            CHECK(std::regex_search(part, std::regex("'\\*" + option + "=?\\[")));
            CHECK(std::regex_search(
                fish, std::regex("from " + last + "' -l " + option.substr(2) + "[ \n]")));
        }
    }
}

TEST_CASE("bash completes commands, every option of help, values and files") {
    WordSet first = first_words();
    first.insert({"--help", "-h", "--version"});
    CHECK(offered({"earbudget", ""}) == first);
    CHECK(offered({"earbudget", "as"}) == WordSet{"assess"});
    CHECK(offered({"earbudget", "--v"}) == WordSet{"--version"});
    for (const std::string& command : commands()) {
        CAPTURE(command);
        std::vector<std::string> words = words_of(command);
        words.insert(words.begin(), "earbudget");
        words.emplace_back("--");
        CHECK(offered(words) == options(command));
    }
    CHECK(offered({"earbudget", "register", ""}) == subcommands("register"));
    CHECK(offered({"earbudget", "session", "ne"}) == WordSet{"next"});
    CHECK(offered({"earbudget", "session", "run", "epi", "--format", "js"}) == WordSet{"json"});
    CHECK(offered({"earbudget", "session", "run", "pl"}) == WordSet{"plan.toml"});
    CHECK(offered({"earbudget", "assess", "plan.toml", "--fo"}) == WordSet{"--force", "--format"});
    const WordSet formats = offered({"earbudget", "assess", "--format", ""});
    CHECK(formats.contains("json"));
    CHECK(offered({"earbudget", "assess", "--format", "=", "js"}) == WordSet{"json"});
    CHECK(offered({"earbudget", "assess", "--format", "="}) == formats);
    CHECK(offered({"earbudget", "review", "--role", "st"}) == WordSet{"staff"});
    CHECK(offered({"earbudget", "review", "--method", "nrr"}) == WordSet{"nrr", "nrr-sf"});
    CHECK(offered({"earbudget", "review", "--derating", "u"}) == WordSet{"uk-4dB"});
    CHECK(offered({"earbudget", "review", "--criteria", "eu-l"}) ==
          WordSet{"eu-limit", "eu-lower-action"});
    CHECK(offered({"earbudget", "measure", "--instrument-class", ""}) == WordSet{"1", "2"});
    CHECK(offered({"earbudget", "measure", "--calibrator-level", ""}).empty());
    CHECK(offered({"earbudget", "assess", "pl"}) == WordSet{"plan.toml"});
    CHECK(offered({"earbudget", "assess", "--output", "pl"}) == WordSet{"plan.toml"});
}
