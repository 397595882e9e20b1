// What newcomers ask for: help, its examples, the nearest right word, the manual page, completion.
#include <algorithm>
#include <regex>
#include <set>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "support/program.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget::test;

namespace {

const std::string guides = EARBUDGET_GUIDES;

bool holds(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

std::set<std::string> matches(const std::string& text, const std::string& pattern) {
    const std::regex expression(pattern);
    std::set<std::string> found;
    for (std::sregex_iterator match(text.begin(), text.end(), expression), end; match != end;
         ++match) {
        found.insert((*match)[1].str());
    }
    return found;
}

/// The commands that the program's help lists.
std::set<std::string> commands() {
    const std::string help = run_program({"--help"}).output;
    const auto found = matches(help.substr(help.find("Subcommands:")), "\n  ([a-z]+)  ");
    REQUIRE(found.size() >= 5);
    return found;
}

/// The options that a command's help lists at the beginning of its lines.
std::set<std::string> options(const std::string& command) {
    const std::string help = run_program({command, "--help"}).output;
    const auto found = matches(help, "\n  (?:-h,)?(--[a-z-]+)");
    REQUIRE(found.size() >= 5);
    return found;
}

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

/// The commands of an example: a line that ends in a backslash goes on in the next.
std::vector<std::string> example_commands(const std::string& help) {
    std::vector<std::string> found;
    const std::regex command("\n  (earbudget (?:[^\n\\\\]|\\\\\n)*)");
    for (std::sregex_iterator match(help.begin(), help.end(), command), end; match != end; ++match)
        found.push_back((*match)[1].str());
    return found;
}

using Words = std::set<std::string>;

}  // namespace

TEST_CASE("each example of help, as it stands, ends with status 0 or 1 and no message") {
    const TemporaryFolder folder;
    const std::string root = EARBUDGET_SOURCE_DIR;
    const std::string setting = "ln -s " + root + "/recordings " + root +
                                "/sequences . && mkdir bin && ln -s " + EARBUDGET_PROGRAM +
                                " bin/earbudget";
    REQUIRE(run_other("sh", {"-c", setting}, folder.path("")).status == 0);
    auto of = commands();
    of.insert("");
    for (const std::string& command : of) {
        const auto words = command.empty() ? std::vector<std::string>{"--help"}
                                           : std::vector<std::string>{command, "--help"};
        const auto examples = example_commands(run_program(words).output);
        CAPTURE(command);
        CHECK(!examples.empty());
        for (const std::string& example : examples) {
            CAPTURE(example);
            CHECK(holds(example, "earbudget " + command));
            const Outcome outcome =
                run_other("sh", {"-c", "PATH=$PWD/bin:$PATH; " + example}, folder.path(""));
            CHECK((outcome.status == 0 || outcome.status == 1));
            CHECK(outcome.output.size() > 500);
            CHECK(outcome.errors.empty());
        }
    }
}

TEST_CASE("a wrong word on the command line names the nearest right one") {
    const auto message = [](const std::vector<std::string>& words) {
        const Outcome outcome = run_program(words);
        CHECK(outcome.status == 2);
        CHECK(outcome.output.empty());
        CHECK(lines_of(outcome.errors) == 1);
        return outcome.errors;
    };
    CHECK(message({"asess", "plan.toml"}) ==
          "earbudget: unknown command \"asess\", the nearest known is \"assess\"; accepted: "
          "measure, assess, ratings, choose, review\n");
    CHECK(holds(message({"chose"}), "nearest known is \"choose\""));
    CHECK(holds(message({"help"}), "nearest known is \"--help\""));
    CHECK(!holds(message({"xxxxxxxxxxxx"}), "nearest known is"));
    const std::string option =
        "earbudget assess: unknown option \"--formt\", the nearest known is \"--format\"; "
        "accepted: see earbudget assess --help\n";
    CHECK(message({"assess", "plan.toml", "--formt", "json"}) == option);
    CHECK(message({"assess", "plan.toml", "--formt=json"}) == option);
    CHECK(message({"assess", "--formt", "json", "plan.toml"}) == option);
    CHECK(holds(message({"measure", "a.wav", "--callibration", "b.wav"}),
                "unknown option \"--callibration\", the nearest known is \"--calibration\""));
    // What belongs to another command has no nearest one here, but a right one is named.
    CHECK(holds(message({"review", "a.toml", "--rolle", "staff"}), "\"--role\""));
    CHECK(holds(message({"--verson"}), "nearest known is \"--version\""));
    CHECK(holds(message({"--format", "json", "assess", "plan.toml"}),
                "option \"--format\" stands before the command; accepted: earbudget COMMAND "
                "--format"));
    // A value that is wrong says what is accepted, an option without its value which it is.
    CHECK(holds(message({"assess", "plan.toml", "--format", "jsn"}), "text"));
    CHECK(holds(message({"assess", "plan.toml", "--format"}), "--format"));
}

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
        for (const std::string& example : example_commands(run_program({command, "--help"}).output))
            CHECK(holds(shown.output, example.substr(0, example.find('\n'))));
    }
    CHECK(holds(shown.output, "do not replace a competent person"));
}

TEST_CASE("bash completes commands, every option of help, values and files") {
    Words first = commands();
    first.insert({"--help", "-h", "--version"});
    CHECK(offered({"earbudget", ""}) == first);
    CHECK(offered({"earbudget", "as"}) == Words{"assess"});
    CHECK(offered({"earbudget", "--v"}) == Words{"--version"});
    for (const std::string& command : commands()) {
        CAPTURE(command);
        CHECK(offered({"earbudget", command, "--"}) == options(command));
    }
    CHECK(offered({"earbudget", "assess", "plan.toml", "--fo"}) == Words{"--force", "--format"});
    const Words formats = offered({"earbudget", "assess", "--format", ""});
    CHECK(formats.contains("json"));
    CHECK(offered({"earbudget", "assess", "--format", "=", "js"}) == Words{"json"});
    CHECK(offered({"earbudget", "assess", "--format", "="}) == formats);
    CHECK(offered({"earbudget", "review", "--role", "st"}) == Words{"staff"});
    CHECK(offered({"earbudget", "review", "--method", "nrr"}) == Words{"nrr", "nrr-sf"});
    CHECK(offered({"earbudget", "review", "--derating", "u"}) == Words{"uk-4dB"});
    CHECK(offered({"earbudget", "review", "--criteria", "eu-l"}) ==
          Words{"eu-limit", "eu-lower-action"});
    CHECK(offered({"earbudget", "measure", "--instrument-class", ""}) == Words{"1", "2"});
    CHECK(offered({"earbudget", "measure", "--calibrator-level", ""}).empty());
    CHECK(offered({"earbudget", "assess", "pl"}) == Words{"plan.toml"});
    CHECK(offered({"earbudget", "assess", "--output", "pl"}) == Words{"plan.toml"});
}
