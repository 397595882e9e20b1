// What newcomers ask for: help with its examples, and the nearest right word.
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "end_to_end/help_text.hpp"
#include "support/program.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget::test;

namespace {

/// A folder in which the demo lies as in the root of the source.
class Demo {
  public:
    Demo() {
        const std::string root = EARBUDGET_SOURCE_DIR;
        const std::string setting = "ln -s " + root + "/recordings " + root +
                                    "/sequences . && mkdir bin && ln -s " EARBUDGET_PROGRAM
                                    " bin/earbudget";
        REQUIRE(run_other("sh", {"-c", setting}, folder_.path("")).status == 0);
    }

    /// Types a command as it stands; it must compute something without a message.
    void check_works(const std::string& example) const {
        CAPTURE(example);
        const Outcome outcome =
            run_other("sh", {"-c", "PATH=$PWD/bin:$PATH; " + example}, folder_.path(""));
        CHECK((outcome.status == 0 || outcome.status == 1));
        CHECK(outcome.output.size() > 500);
        CHECK(outcome.errors.empty());
    }

  private:
    TemporaryFolder folder_;
};

}  // namespace

TEST_CASE("each example of help, as it stands, ends with status 0 or 1 and no message") {
    auto of = first_words();
    of.insert("");
    of.erase("response");  // whoever asks has recordings: end_to_end/predict.cpp
    of.erase("desk");  // it serves until it is interrupted: tests/desk
    for (const std::string& command : of) {
        CAPTURE(command);
        const Demo demo;
        const auto examples = example_commands(help_of(command));
        CHECK(!examples.empty());
        CHECK(holds(examples.back(), "earbudget " + command));
        for (const std::string& example : examples)
            demo.check_works(example);
    }
}

TEST_CASE("each example of a command on sessions works after the example of all of them") {
    for (const std::string& name : subcommands("session")) {
        CAPTURE(name);
        const Demo demo;
        for (const std::string& example : example_commands(help_of("session")))
            demo.check_works(example);
        const auto examples = example_commands(help_of("session " + name));
        REQUIRE(examples.size() == 1);
        CHECK(holds(examples.front(), "earbudget session " + name));
        demo.check_works(examples.front());
    }
}

TEST_CASE("the example of how to measure works as it stands") {
    const Demo demo;
    const auto examples = example_commands(content_of(EARBUDGET_SOURCE_DIR "/docs/measuring.md"));
    REQUIRE(examples.size() == 1);
    demo.check_works(examples.front());
}

TEST_CASE("a wrong word on the command line names the nearest right one") {
    const auto message = [](const std::vector<std::string>& words) {
        const Outcome outcome = run_short(words);
        CHECK(outcome.status == 2);
        CHECK(outcome.output.empty());
        CHECK(lines_of(outcome.errors) == 1);
        return outcome.errors;
    };
    CHECK(message({"asess", "plan.toml"}) ==
          "earbudget: unknown command \"asess\", the nearest known is \"assess\"; type: earbudget "
          "assess plan.toml; accepted: measure, assess, ratings, choose, review, cards, "
          "response, predict, new, desk, register, session\n");
    CHECK(holds(message({"chose"}), "nearest known is \"choose\""));
    CHECK(holds(message({"hepl"}), "nearest known is \"help\"; type: earbudget help; "));
    CHECK(!holds(message({"xxxxxxxxxxxx"}), "nearest known is"));
    const std::string option =
        "; accepted: --help, -h, --against, --since, --register, --as, --at, --sheet, --format, "
        "--output, --force, --date, "
        "--working, --detail, --working-for, --seed\n";
    const std::string nearest =
        "earbudget assess: unknown option \"--formt\", the nearest known is \"--format\"; type: "
        "earbudget assess ";
    CHECK(message({"assess", "plan.toml", "--formt", "json"}) ==
          nearest + "plan.toml --format json" + option);
    CHECK(message({"assess", "plan.toml", "--formt=json"}) ==
          nearest + "plan.toml --format=json" + option);
    CHECK(message({"assess", "--formt", "json", "plan.toml"}) ==
          nearest + "--format json plan.toml" + option);
    CHECK(holds(message({"measure", "a.wav", "--callibration", "b.wav"}),
                "unknown option \"--callibration\", the nearest known is \"--calibration\""));
    // What belongs to another command has no nearest one here, but a right one is named.
    CHECK(holds(message({"review", "a.toml", "--rolle", "staff"}), "\"--role\""));
    CHECK(holds(message({"--verson"}), "nearest known is \"--version\""));
    CHECK(holds(message({"--format", "json", "assess", "plan.toml"}),
                "option \"--format\" stands before the command; accepted: earbudget COMMAND "
                "--format"));
    // A value that is wrong says what is accepted, an option without its value which it is.
    CHECK(message({"assess", "plan.toml", "--format", "jsn"}) ==
          "earbudget assess: --format is \"jsn\"; accepted: --format FORMAT: text, json, csv or "
          "html; "
          "by the ending of --output when left out\n");
    CHECK(message({"assess", "plan.toml", "--format"}) ==
          "earbudget assess: --format has no value; accepted: --format FORMAT: text, json, csv or "
          "html; by the ending of --output when left out\n");
    const std::string no_value =
        "earbudget measure: --channel has no value; accepted: --channel N: only this channel, "
        "from 1\n";
    CHECK(message({"measure", "a.wav", "--channel"}) == no_value);
    CHECK(message({"measure", "a.wav", "--channel", "--full-scale-level", "94"}) == no_value);
    CHECK(message({"assess", "plan.toml", "--format", "json", "--format", "text"}) ==
          "earbudget assess: --format is given more than once; accepted: --format FORMAT: text, "
          "json, csv or html; by the ending of --output when left out\n");
    CHECK(holds(message({"assess", "-f", "json", "plan.toml"}),
                "unknown option \"-f\"; accepted: --help, -h, --against, "));
    CHECK(holds(message({"assess", "-format", "json", "plan.toml"}),
                "unknown option \"-format\", the nearest known is \"--format\"; type: "));
    CHECK(message({"measure", "a.wav", "--calibrator-level", "ten"}) ==
          "earbudget measure: --calibrator-level is \"ten\", which is no number; accepted: "
          "--calibrator-level DB: level that the calibrator produced, from -20 to 190 dB\n");
    CHECK(message({"assess", "plan.toml", "--force=perhaps"}) ==
          "earbudget assess: --force is given the value \"perhaps\"; accepted: --force without a "
          "value: replace "
          "existing files, none that was read: all outputs or none\n");
    // Another option is no value, and no file of its name is written.
    CHECK(message({"assess", EARBUDGET_SOURCE_DIR "/sequences/saltmarsh/plan.toml", "--output",
                   "--force"}) ==
          "earbudget assess: --output has no value; accepted: --output FILE: write the report to "
          "this file, whole or not at all\n");
    CHECK(holds(message({"review", "a.toml", "--seed", "-1"}), "accepted: --seed N: "));
    // What is missing, or too much.
    CHECK(holds(message({"assess"}), "path is required; accepted: earbudget assess PATH..., "));
    CHECK(holds(message({"measure", "--find-runs"}), "accepted: earbudget measure RECORDING..."));
    CHECK(holds(message({"choose", "a.toml", "b.toml"}),
                "earbudget choose: \"b.toml\" is one word too many; accepted: earbudget choose "
                "PLAN, "));
    CHECK(holds(message({"choose", "a.toml", "b--format", "c"}),
                "\"b--format\", \"c\" are words too many; accepted: earbudget choose PLAN, "));
}
