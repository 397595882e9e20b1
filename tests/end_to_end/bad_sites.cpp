// Mistakes about rooms and tasks: each refused with its place, what is wrong and what is accepted.
#include <set>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "support/refusal.hpp"

using namespace earbudget::test;

namespace {

const std::string site =
    "kind = \"site\"\n"         // 1
    "format = 1\n"              // 2
    "[[position]]\n"            // 3
    "id = \"control\"\n"        // 4
    "difference_dB = -40.0\n"   // 5
    "sequences = \"there\"\n"   // 6
    "[position.octave]\n"       // 7
    "\"125\" = -25.0\n"         // 8
    "[position.background]\n"   // 9
    "LAeq = 45.0\n"             // 10
    "[position.door_open]\n"    // 11
    "difference_dB = -20.0\n"   // 12
    "[[position]]\n"            // 13
    "id = \"prep\"\n"           // 14
    "difference_dB = -30.0\n";  // 15

// The nurse begins on line 23 of the plan, one more than the study alone has with its site.
const std::string nurse =
    "[[person]]\n"              // 23
    "id = \"nurse\"\n"          // 24
    "role = \"staff\"\n"        // 25
    "wears = [\"muff\"]\n"      // 26
    "[[person.task]]\n"         // 27
    "title = \"scan\"\n"        // 28
    "position = \"control\"\n"  // 29
    "during = \"timeline\"\n"   // 30
    "[[person.task]]\n"         // 31
    "position = \"prep\"\n"     // 32
    "during = \"epi\"\n"        // 33
    "duration = \"10 min\"\n"   // 34
    "door = \"shut\"\n"         // 35
    "per = \"day\"\n"           // 36
    "wears = [\"foam\"]\n"      // 37
    "worn = 0.9\n"              // 38
    "fit = \"as-rated\"\n";     // 39

struct Texts {
    std::string site, plan;
};

Texts texts() {
    StudyText study;
    const std::string with_site = "protectors = \"protectors.toml\"\nsite = \"site/rooms.toml\"\n";
    return {site, with(study.plan, "protectors = \"protectors.toml\"\n", with_site) + nurse};
}

Outcome run(const Texts& texts) {
    StudyText study;
    study.plan = texts.plan;
    const StudyFolder folder(study);
    static_cast<void>(folder.folder().write("site/rooms.toml", texts.site));
    static_cast<void>(
        folder.folder().write("site/there/epi.toml", with(study.card, "108.0", "70.0")));
    static_cast<void>(
        folder.folder().write("site/there/other.toml", with(study.card, "\"epi\"", "\"other\"")));
    return run_program({"assess", "plan.toml"}, folder.root());
}

}  // namespace

TEST_CASE("the site and the tasks themselves are accepted") {
    const Outcome outcome = run(texts());
    CAPTURE(outcome.errors);
    CHECK(outcome.status <= 1);
    CHECK(outcome.output.find("nurse") != std::string::npos);
}

TEST_CASE("mistakes in a site file") {
    const std::string at = "site/rooms.toml:";
    const std::vector<Mistake> mistakes = {
        {"\"site\"", "\"plan\"", at + "1:8", "\"site\""},
        {"format = 1\n", "format = 1\ntime_zone = \"Berlin time\"\n", at + "3:13",
         "is \"Berlin time\", which is no time zone; accepted: a name of the IANA database"},
        {"format = 1\n", "", at + "1:1", "no \"format\""},
        {"format = 1\n", "format = 1\ntitel = \"x\"\n", at + "3:1", "nearest known is \"title\""},
        {"id = \"control\"\n", "", at + "3:1", "\"id\""},
        {"\"control\"", "\"control \"", at + "4:6", "blank"},
        {"difference_dB = -40.0", "diference_dB = -40.0", at + "5:1",
         "nearest known is \"difference_dB\""},
        {"-40.0", "-400.0", at + "5:17", "from -120 to 60 dB"},
        {"-40.0", "\"-40 dB\"", at + "5:17", "a string"},
        {"\"there\"", "\"nowhere\"", at + "6:13", "nowhere"},
        {"\"125\" = -25.0", "\"130\" = -25.0", at + "8:1", "[position.octave]"},
        {"\"125\" = -25.0", "\"125\" = -250.0", at + "8:9", "from -120 to 60 dB"},
        {"LAeq = 45.0", "LAeq = 450.0", at + "10:8", "-20 to 190 dB"},
        {"LAeq = 45.0", "LAeq = 45.0\n[position.background.octave]\n\"130\" = 40.0", at + "12:1",
         "in [position.background.octave]"},
        {"LAeq = 45.0\n", "", at + "9:1", "[position.background]"},
        {"difference_dB = -20.0\n", "", at + "11:1", "[position.door_open] says nothing"},
        {"difference_dB = -20.0", "differenc_dB = -20.0", at + "12:1", "[position.door_open]"},
        {"difference_dB = -20.0", "difference_dB = -20.0\nuncertainty = -1", at + "13:15",
         "from 0 to 30 dB"},
        {"difference_dB = -30.0", "difference_dB = -30.0\n[match]\n\"*T1w*\" = 3", at + "17:11",
         "\"*T1w*\" is a number; accepted: text in quotes, or { sequence"},
        {"difference_dB = -30.0", "difference_dB = -30.0\n[match]\n\"*T1w*\" = \" mprage\"",
         at + "17:11", "with a blank at an end"},
        {"difference_dB = -30.0", "difference_dB = -30.0\n[match]\n\"*T1w*\" = { sequenc = \"a\" }",
         at + "17:13", "nearest known is \"sequence\""},
        {"difference_dB = -30.0", "", at + "13:1", "says nothing of the levels there"},
        {"\"prep\"", "\"control\"", at + "14:6", "first at site/rooms.toml:3:1"},
    };
    std::set<std::string> messages;
    for (const Mistake& mistake : mistakes) {
        Texts spoiled = texts();
        spoiled.site = with(spoiled.site, mistake.old, mistake.fresh);
        check_refused(run(spoiled), mistake, messages);
    }
    CHECK(messages.size() == mistakes.size());
}

TEST_CASE("mistakes in the tasks of a plan with a site") {
    const std::string at = "plan.toml:";
    const std::vector<Mistake> mistakes = {
        {"\"site/rooms.toml\"", "\"site/room.toml\"", at + "6:8", "no such file"},
        {"\"control\"", "\"controll\"", at + "29:12", "nearest known is \"control\""},
        {"position = \"control\"\n", "", at + "27:1", "no \"position\""},
        {"during = \"timeline\"", "during = \"timelin\"", at + "30:10",
         "nearest known is \"timeline\""},
        {"during = \"timeline\"", "during = \"epj\"", at + "30:10", "nearest known is \"epi\""},
        {"during = \"timeline\"\n", "", at + "27:1", "needs one of"},
        {"during = \"epi\"", "during = \"timeline\"", at + "31:1", "needs one of"},
        {"during = \"timeline\"",
         "during = \"timeline\"\ndoor = \"open\"\n[person.task.levels]\n"
         "LAeq = 80.0",
         at + "30:10", "stands beside [levels]"},
        {"during = \"timeline\"", "during = \"timeline\"\nworn = 0.5", at + "31:8",
         "without \"wears\""},
        {"during = \"timeline\"", "during = \"timeline\"\nfit = \"poor\"", at + "31:7",
         "without \"wears\""},
        {"during = \"timeline\"", "during = \"timeline\"\nwhen = 3", at + "31:1", "unknown key"},
        {"door = \"shut\"", "door = \"open\"", at + "35:8", "\"prep\" has no"},
        {"door = \"shut\"", "door = \"ajar\"", at + "35:8", "\"shut\" or \"open\""},
        {"per = \"day\"", "per = \"week\"", at + "36:7", "\"session\" or \"day\""},
        {"duration = \"10 min\"", "duration = 10", at + "34:12", "duration in quotes"},
        {"wears = [\"foam\"]\nworn", "wears = [\"fome\"]\nworn", at + "37:10",
         "nearest known is \"foam\""},
        {"worn = 0.9", "worn = 9", at + "38:8", "from 0 to 1"},
        {"\"as-rated\"", "\"good\"", at + "39:7", "\"poor\""},
        {"[[person]]\nid = \"nurse\"",
         "[[position]]\nid = \"prep\"\ndifference_dB = 0\n[[person]]\nid = \"nurse\"",
         "site/rooms.toml:14:6", "first at plan.toml:23:1"},
        {"role = \"staff\"", "role = \"staff\"\nvisits = 0", at + "26:10", "from 1 to"},
        {"role = \"staff\"", "role = \"staff\"\ndays_per_week = 8", at + "26:17", "from 0.01 to 7"},
    };
    std::set<std::string> messages;
    for (const Mistake& mistake : mistakes) {
        Texts spoiled = texts();
        spoiled.plan = with(spoiled.plan, mistake.old, mistake.fresh);
        check_refused(run(spoiled), mistake, messages);
    }
    CHECK(messages.size() == mistakes.size());
}

TEST_CASE("a sequence that the timeline does not run needs a duration") {
    StudyText study;
    Texts spoiled = texts();
    spoiled.plan = with(spoiled.plan, "sequence = \"epi\"\nduration = \"8 min\"\nrepeat = 2",
                        "rest = \"8 min\"");
    spoiled.plan = with(spoiled.plan, "duration = \"10 min\"\n", "");
    std::set<std::string> messages;
    check_refused(run(spoiled), {"", "", "plan.toml:31:10", "which the timeline does not run"},
                  messages);
}

TEST_CASE("differences by band alone need a card with bands, and say so at the position") {
    Texts spoiled = texts();
    spoiled.site =
        with(spoiled.site, "difference_dB = -30.0\n", "[position.octave]\n\"125\" = -25.0\n");
    std::set<std::string> messages;
    check_refused(run(spoiled), {"", "", "site/rooms.toml:13:1", "no level for \"epi\""}, messages);
}
