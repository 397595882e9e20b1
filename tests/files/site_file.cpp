// Rooms and tasks as files state them; a site file is shared by plans.
#include <algorithm>
#include <string>

#include <doctest/doctest.h>

#include "earbudget/day/exposure_row.hpp"
#include "files/study_files.hpp"
#include "support/near.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

std::string card(const std::string& id, double LAeq) {
    return "kind = \"sequence\"\nformat = 1\nid = \"" + id +
           "\"\n[levels]\nLAeq = " + std::to_string(LAeq) +
           "\n[levels.octave]\n\"125\" = " + std::to_string(LAeq - 10.0) +
           "\n\"1000\" = " + std::to_string(LAeq) + "\n[origin]\nhow = \"entered\"\n";
}

const std::string site =
    "kind = \"site\"\nformat = 1\ntitle = \"Rooms\"\n"
    "[background]\nLAeq = 61.0\n"
    "[[position]]\nid = \"control\"\ndifference_dB = -40.0\nuncertainty = 1.5\n"
    "sequences = \"control-cards\"\n"
    "[position.octave]\n\"125\" = -25.0\n\"1000\" = -45.0\n"
    "[position.background]\nLAeq = 45.0\n"
    "[position.door_open]\ndifference_dB = -20.0\n";

const std::string plan_begin =
    "kind = \"plan\"\nformat = 1\ntitle = \"T\"\nsequences = \"cards\"\n"
    "site = \"../site/rooms.toml\"\n";

const std::string timeline =
    "[[timeline]]\nsequence = \"a\"\nduration = \"5 min\"\nrepeat = 2\n"
    "[[timeline]]\nrest = \"1 min\"\n"
    "[[timeline]]\nsequence = \"b\"\nduration = \"3 min\"\n"
    "[[timeline]]\nsequence = \"a\"\nduration = \"1 min\"\n";

std::string nurse(const std::string& task) {
    return "[[person]]\nid = \"nurse\"\nrole = \"staff\"\n[[person.task]]\n" + task;
}

// A site with rooms beside two studies, each with cards of their own.
class Facility {
  public:
    Facility() {
        write("site/rooms.toml", site);
        write("site/control-cards/a.toml", card("a", 57.0));
        write("site/control-cards/of-another-study.toml", card("z", 50.0));
        for (const std::string study : {"one", "two"}) {
            write(study + "/cards/a.toml", card("a", 100.0));
            write(study + "/cards/b.toml", card("b", 95.0));
        }
    }
    void write(const std::string& name, const std::string& text) const {
        static_cast<void>(folder_.write(name, text));
    }
    [[nodiscard]] files::LoadedPlan read(const std::string& study, const std::string& rest) const {
        return files::read_plan(folder_.write(study + "/plan.toml", plan_begin + rest));
    }

  private:
    TemporaryFolder folder_;
};

Task task_of(const Facility& facility, const std::string& task) {
    return facility.read("one", timeline + nurse(task)).plan.people.front().tasks.front();
}

}  // namespace

TEST_CASE("two plans share the rooms of a site file") {
    const Facility facility;
    for (const std::string study : {"one", "two"}) {
        const auto loaded = facility.read(
            study, timeline + nurse("position = \"control\"\nduring = \"timeline\"\n"));
        const Plan& plan = loaded.plan;
        REQUIRE(plan.positions.size() == 1);
        const Position& control = plan.positions.front();
        CHECK(control.id == "control");
        CHECK(control.door_shut.difference->dB() == -40.0);
        CHECK(control.door_shut.uncertainty->dB() == 1.5);
        CHECK(control.door_shut.octave_difference.size() == 2);
        CHECK(control.door_shut.octave_difference.at(OctaveBand::Hz1000).dB() == -45.0);
        CHECK(control.door_shut.background->LAeq.dB() == 45.0);
        REQUIRE(control.door_open.has_value());
        CHECK(control.door_open->difference->dB() == -20.0);
        CHECK(control.door_open->measured.empty());
        CHECK(plan.background->LAeq.dB() == 61.0);
        // The card measured there holds for "a"; that of a sequence of another study is passed
        // over.
        REQUIRE(control.door_shut.measured.size() == 1);
        CHECK(control.door_shut.measured.at(0).LAeq.dB() == 57.0);
        const auto rows = unprotected_rows(plan, plan.people.front()).or_throw();
        CHECK(rows[0].outside()->dB() == 57.0);
        CHECK(rows[1].outside()->dB() == 45.0);
    }
}

TEST_CASE("every file of a plan is known by its path, the site and its cards too") {
    const Facility facility;
    const auto loaded =
        facility.read("one", timeline + nurse("position = \"control\"\nduring = \"timeline\"\n"));
    const auto counts = [&](const std::string& name) {
        return std::ranges::count_if(loaded.files,
                                     [&](const std::string& path) { return path.ends_with(name); });
    };
    CHECK(counts("one/plan.toml") == 1);
    CHECK(counts("rooms.toml") == 1);
    CHECK(counts("control-cards/a.toml") == 1);
    CHECK(counts("of-another-study.toml") == 0);
    CHECK(counts("one/cards/b.toml") == 1);
}

TEST_CASE("what the plan states stays beside what its site says") {
    const Facility facility;
    const auto loaded = facility.read(
        "one", "[background]\nLAeq = 70.0\n[[position]]\nid = \"bore\"\ndifference_dB = 0\n" +
                   timeline + nurse("position = \"bore\"\nduring = \"timeline\"\n"));
    CHECK(loaded.plan.background->LAeq.dB() == 70.0);
    REQUIRE(loaded.plan.positions.size() == 2);
    CHECK(loaded.plan.positions[0].id == "bore");
    CHECK(loaded.plan.positions[1].id == "control");
    CHECK(loaded.plan.people.front().tasks.front().position == 0U);
}

TEST_CASE("a task during a sequence lasts as long as the timeline runs it, or as long as it says") {
    const Facility facility;
    const auto rows = [&](const std::string& during) {
        const auto loaded =
            facility.read("one", timeline + nurse("position = \"control\"\nduring = " + during));
        return unprotected_rows(loaded.plan, loaded.plan.people.front()).or_throw();
    };
    // Each row of the timeline that runs it: who changes the row changes this too.
    const auto of_a = rows("\"a\"\n");
    REQUIRE(of_a.size() == 2);
    CHECK(of_a[0].time == Seconds(600));
    CHECK(of_a[0].repeat == 2);
    CHECK(of_a[0].timeline_row == 0U);
    CHECK(of_a[1].time == Seconds(60));
    CHECK(of_a[1].timeline_row == 3U);
    REQUIRE(rows("\"b\"\n").size() == 1);
    CHECK(rows("\"b\"\n")[0].time == Seconds(180));
    CHECK(rows("\"b\"\n")[0].sequence == 1U);
    REQUIRE(rows("\"b\"\nduration = \"20 s\"\n").size() == 1);
    CHECK(rows("\"b\"\nduration = \"20 s\"\n")[0].time == Seconds(20));
    CHECK(!rows("\"b\"\nduration = \"20 s\"\n")[0].timeline_row);
    CHECK(rows("\"timeline\"\n").size() == 4);
    const Task setting_up = task_of(facility, "position = \"control\"\nduration = \"10 min\"\n");
    CHECK(!setting_up.sequence);
    CHECK(setting_up.duration == Seconds(600));
}

TEST_CASE("a task is read whole: title, door, how often, what is worn and how") {
    const Facility facility;
    facility.write("one/protectors.toml",
                   "kind = \"protectors\"\nformat = 1\n[[protector]]\nid = \"muff\"\n"
                   "type = \"earmuff\"\nSNR = 25\n");
    const auto loaded = facility.read(
        "one", "protectors = \"protectors.toml\"\n" + timeline +
                   nurse("title = \"handover\"\nposition = \"control\"\nduration = \"10 min\"\n"
                         "door = \"open\"\nper = \"day\"\nwears = [\"muff\"]\nworn = 0.75\n"
                         "fit = \"poor\"\n"
                         "[[person.task]]\nduration = \"2 h\"\nwears = []\n"
                         "[person.task.levels]\nLAeq = 82.0\n"));
    const auto& tasks = loaded.plan.people.front().tasks;
    REQUIRE(tasks.size() == 2);
    CHECK(tasks[0].title == "handover");
    CHECK(tasks[0].door_open);
    CHECK(tasks[0].once_a_day);
    CHECK(tasks[0].wears == std::vector<std::string>{"muff"});
    CHECK(tasks[0].wearing.fraction_of_time == 0.75);
    CHECK(tasks[0].wearing.poor_fit);
    CHECK(!tasks[1].once_a_day);
    CHECK(!tasks[1].position);
    CHECK(tasks[1].levels->LAeq.dB() == 82.0);
    REQUIRE(tasks[1].wears.has_value());  // nothing at all, whatever the person wears
    CHECK(tasks[1].wears->empty());
}
