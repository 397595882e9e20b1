// What stands behind an option is a value that fits, or refused with what is accepted.
#include <string>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

#include "cli/command_table.hpp"
#include "support/program.hpp"
#include "support/study_folder.hpp"

using namespace earbudget;
using namespace earbudget::test;
using Words = std::vector<std::string>;

namespace {

const std::string recording = EARBUDGET_SOURCE_DIR "/recordings/localiser.flac";

/// A command line that is accepted, to which an option is added.
Words usual(const std::string& command) {
    if (command == "measure") return {command, recording};
    if (command == "review") return {command, "cards/epi.toml"};
    return {command, command == "ratings" ? "protectors.toml" : "plan.toml"};
}

void check_refused(Words words, const Words& more, const std::string& option,
                   const StudyFolder& study) {
    words.insert(words.end(), more.begin(), more.end());
    const Outcome outcome = run_program(words, study.root());
    CAPTURE(words[0]);
    CAPTURE(more);
    CAPTURE(outcome.errors);
    CHECK(outcome.status == 2);
    CHECK(outcome.output.empty());
    CHECK(outcome.errors.find(option) != std::string::npos);
    CHECK(outcome.errors.find("accepted: ") != std::string::npos);
}

/// By the placeholders of options whose values are numbers.
bool is_number(const std::string& placeholder) {
    for (const std::string one : {"DB", "MV_PER_PA", "V", "N", "PERCENT"})
        if (placeholder == one) return true;
    return false;
}

}  // namespace

TEST_CASE("an empty value is refused by every option that takes one") {
    const StudyFolder study;
    unsigned tried = 0;
    for (const cli::CommandDescription& command : cli::describe_program().commands) {
        for (const cli::OptionDescription& option : command.options) {
            if (option.value.empty()) continue;
            const std::string& name = option.names.front();
            check_refused(usual(command.name), {name, ""}, name + " is empty", study);
            check_refused(usual(command.name), {name + "="}, name + " is empty", study);
            ++tried;
        }
    }
    CHECK(tried >= 40);
}

TEST_CASE("a number is wholly a decimal number that fits, for every option that takes one") {
    const StudyFolder study;
    const Words wrong = {"1e400", "-1e400", "1_0",  "1'0",      " 5",  "5 ",  "0x10",   "nan",
                         "-nan",  "inf",    "-inf", "infinity", "１",  "1,5", "1e",     "--5",
                         "+-5",   "5dB",    ".",    "-",        "1 0", "١",   "1e-400", "NaN(1)"};
    unsigned tried = 0;
    for (const cli::CommandDescription& command : cli::describe_program().commands) {
        for (const cli::OptionDescription& option : command.options) {
            if (!is_number(option.value)) continue;
            const std::string& name = option.names.front();
            for (const std::string& value : wrong)
                check_refused(usual(command.name), {name + '=' + value}, name, study);
            ++tried;
        }
    }
    CHECK(tried >= 12);
}

TEST_CASE("a whole number is not taken for octal, cut off or wrapped around") {
    const StudyFolder study;
    const Words wrong = {"1.5",
                         "010",
                         "+1",
                         "1,2",
                         "1,000",
                         "-1",
                         "1e3",
                         "18446744073709551617",
                         "9223372036854775808",
                         "-9223372036854775809",
                         "99999999999999999999999",
                         "1.0"};
    for (const std::string& value : wrong) {
        check_refused(usual("assess"), {"--seed", value}, "--seed", study);
        check_refused(usual("choose"), {"--seed", value}, "--seed", study);
        check_refused(usual("review"), {"--seed", value}, "--seed", study);
        check_refused(usual("review"), {"--sessions-per-day", value}, "--sessions-per-day", study);
        check_refused(usual("measure"), {"--full-scale-level", "120", "--channel", value},
                      "--channel", study);
    }
    check_refused(usual("review"), {"--sessions-per-day", "4294967297"}, "--sessions-per-day",
                  study);
    check_refused(usual("measure"), {"--full-scale-level", "120", "--channel", "4294967297"},
                  "--channel", study);
    for (const std::string value : {"0", "1", "9223372036854775807"}) {
        CAPTURE(value);
        Words words = usual("assess");
        words.insert(words.end(), {"--seed", value});
        CHECK(run_program(words, study.root()).status == 0);
    }
}

TEST_CASE("several values that are wrong have a line each") {
    const StudyFolder study;
    struct Typed {
        std::string command;
        Words more;
        Words named;
    };
    const std::vector<Typed> table = {
        {"review",
         {"--for", "woman", "--role", "patient", "--method", "x", "--derating", "y"},
         {"--role is \"patient\"", "--for is \"woman\"", "--method is \"x\"",
          "--derating is \"y\""}},
        {"review",
         {"--criteria", "foo,niosh", "--at-least", "never"},
         {"--criteria is \"foo\"", "--criteria is \"niosh\"", "--at-least is \"never\""}},
        {"measure",
         {"--calibrator-level", "9400", "--full-scale-level", "300"},
         {"--calibrator-level is 9400; accepted: -20 to 190 dB",
          "--full-scale-level is 300; accepted: -20 to 250 dB"}}};
    for (const Typed& typed : table) {
        Words words = usual(typed.command);
        words.insert(words.end(), typed.more.begin(), typed.more.end());
        const Outcome outcome = run_program(words, study.root());
        CAPTURE(outcome.errors);
        CHECK(outcome.status == 2);
        CHECK(lines_of(outcome.errors) == static_cast<int>(typed.named.size()));
        for (const std::string& name : typed.named)
            CHECK(outcome.errors.find("earbudget " + typed.command + ": " + name) !=
                  std::string::npos);
    }
}

TEST_CASE("numbers that are refused say why, and the range") {
    const StudyFolder study;
    const auto message = [&](const Words& more) {
        Words words = usual("measure");
        words.insert(words.end(), more.begin(), more.end());
        return run_program(words, study.root()).errors;
    };
    const std::string range =
        "; accepted: --calibrator-level DB: level that the calibrator produced, from -20 to 190 "
        "dB\n";
    const auto says = [&](const std::string& value, const std::string& why) {
        CHECK(message({"--calibrator-level", value}) ==
              "earbudget measure: --calibrator-level is \"" + value + "\", " + why + range);
    };
    says("1e999", "beyond the numbers that are computed with");
    says("nan", "which is no number");
    says("-inf", "which is no number");
    says("114dB", "with more than a number");
    says("114,0", "with a decimal comma (with a decimal point: 114.0)");
    // A comma between digits of a whole number is none of a decimal.
    CHECK(message({"--channel", "1,2"}) ==
          "earbudget measure: --channel is \"1,2\", which is not a whole number, digits alone; "
          "accepted: --channel N: only this channel, from 1\n");
    CHECK(message({"--channel", "01"}).find("a whole number with a zero before it") !=
          std::string::npos);
    CHECK(
        message({"--instrument-class", "0"}) ==
        "earbudget measure: --instrument-class is \"0\"; accepted: --instrument-class CLASS: class "
        "of the instrument by IEC 61672-1:2013, 1 or 2\n");
    CHECK(message({"--full-scale-level", "+120.5", "--date", "2026-02-28"}).empty());
}

TEST_CASE("a value is refused where an option takes none, and a date that is none") {
    const StudyFolder study;
    for (const std::string flag : {"--sheet=2", "--sheet=true", "--working=yes", "--force=1"})
        check_refused(usual("assess"), {flag},
                      flag.substr(0, flag.find('=')) + " is given the value", study);
    for (const std::string command : {"assess", "choose", "review", "ratings", "measure"}) {
        check_refused(usual(command), {"--date", "today"},
                      "earbudget " + command + ": --date is \"today\"; accepted: --date YYYY-MM-DD",
                      study);
        check_refused(usual(command), {"--date=2026-02-30"}, "earbudget " + command + ": --date is",
                      study);
    }
}

TEST_CASE("every value that is wrong is said, a line for each") {
    const StudyFolder study;
    const Outcome outcome =
        run_program({"measure", "", "--channel", "x", "--calibrator-level=1e999", "--format",
                     "HTML", "--seed", "--date", "today", "--force=1", "--title", ""},
                    study.root());
    CHECK(outcome.status == 2);
    CHECK(outcome.output.empty());
    CHECK(lines_of(outcome.errors) == 7);
    for (const std::string wrong :
         {"RECORDING is empty", "--channel is \"x\"", "--calibrator-level is \"1e999\"",
          "--format is \"HTML\"", "--date is \"today\"", "--force is given", "--title is empty"})
        CHECK(outcome.errors.find("earbudget measure: " + wrong) != std::string::npos);
}

TEST_CASE("an empty operand is refused by name, also behind --") {
    const StudyFolder study;
    const std::vector<std::pair<std::string, std::string>> operands = {{"assess", "PATH"},
                                                                       {"choose", "PLAN"},
                                                                       {"ratings", "PROTECTORS"},
                                                                       {"review", "CARD"},
                                                                       {"measure", "RECORDING"}};
    for (const auto& [command, operand] : operands) {
        const std::string said = "earbudget " + command + ": " + operand + " is empty";
        check_refused({command}, {""}, said, study);
        check_refused({command}, {"--", ""}, said, study);
        check_refused(usual(command), {""}, said, study);
    }
}

TEST_CASE("durations and deductions that are no numbers are refused, and -0 is 0") {
    const StudyFolder study;
    for (const std::string value :
         {"nan", "inf", "-inf", "1e400", "0x10", "-5", "１", "1_0", "1e-400", ".", "5e"}) {
        check_refused(usual("measure"), {"--full-scale-level", "120", "--from", value}, "--from",
                      study);
        check_refused(usual("measure"), {"--full-scale-level", "120", "--to", value}, "--to",
                      study);
        check_refused(usual("review"), {"--at-least", value}, "--at-least", study);
        check_refused(usual("review"), {"--derating", value}, "--derating", study);
    }
    StudyText text;
    text.plan = with(text.plan, "\"none\"", "{ dB = -0.0 }");
    const StudyFolder zero(text);
    for (const std::string format : {"text", "json", "html"}) {
        for (const Words& words :
             {Words{"assess", "plan.toml", "--format", format},
              Words{"review", "cards/epi.toml", "--derating", "-0", "--format", format}}) {
            const Outcome outcome = run_program(words, zero.root());
            CAPTURE(outcome.errors);
            CHECK(outcome.status <= 1);
            for (const std::string minus : {"-0 ", "-0.0 ", "-0.0,", "-0.0\n"})
                CHECK(outcome.output.find(minus) == std::string::npos);
        }
    }
}

TEST_CASE("whole numbers in files are whole, and fit") {
    for (const std::string value : {"1.5", "-1", "0", "1e3", "4294967298", "9223372036854775807",
                                    "9223372036854775808", "inf", "nan", "\"2\"", "0x100000000"}) {
        CAPTURE(value);
        StudyText text;
        text.plan = with(text.plan, "repeat = 2", "repeat = " + value);
        const StudyFolder study(text);
        const Outcome outcome = run_program({"assess", "plan.toml"}, study.root());
        CAPTURE(outcome.errors);
        CHECK(outcome.status == 2);
        CHECK(outcome.errors.find("plan.toml:15:") == 0);
        CHECK(outcome.errors.find("accepted: ") != std::string::npos);
    }
}
