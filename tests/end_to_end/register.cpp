// A register from the command line, from its making to its erasing.
#include "register/register.hpp"

#include <filesystem>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "files/study_files.hpp"
#include "support/holds.hpp"
#include "support/near.hpp"
#include "support/program.hpp"
#include "support/session_log.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget;
using namespace earbudget::test;
using nlohmann::json;

namespace {

const std::string plan_of_demo = EARBUDGET_SOURCE_DIR "/sequences/saltmarsh/plan.toml";

const Person& person_of(const Plan& plan, const std::string& id) {
    return *std::ranges::find(plan.people, id, &Person::id);
}

/// A register with two days of a participant and of staff as the demo plans them.
class FilledRegister {
  public:
    FilledRegister() {
        const Outcome made = run_program({"register", "create", path(), "--time-zone",
                                          "Europe/Berlin", "--retention-days", "30"});
        REQUIRE(made.status == 0);
        const Plan plan = files::read_plan(plan_of_demo).plan;
        fill(plan, "pilot-a", "P-0417", "2026-11-03T09:00:00+01:00");
        fill(plan, "pilot-b", "P-0418", "2026-11-04T09:00:00+01:00");
        fill(plan, "operator", "S-0001", "2026-11-03T09:00:00+01:00");
    }
    [[nodiscard]] std::string path() const { return folder_.path("unit.register"); }
    [[nodiscard]] std::string path(const std::string& name) const { return folder_.path(name); }

    [[nodiscard]] Outcome run(std::vector<std::string> words) const {
        words.insert(words.begin(), "register");
        words.insert(words.begin() + 2, path());
        return run_program(words);
    }
    [[nodiscard]] json answer(std::vector<std::string> words) const {
        words.insert(words.end(), {"--format", "json"});
        const Outcome outcome = run(std::move(words));
        CAPTURE(outcome.errors);
        REQUIRE(outcome.status <= 1);
        return json::parse(outcome.output);
    }

  private:
    void fill(const Plan& plan, const std::string& id, const std::string& code, const char* begin) {
        SessionLog log(at(begin), code);
        log.run_day_as_planned(plan, person_of(plan, id));
        auto target = registers::Register::open(path(), registers::Access::Write);
        target.in_one([&] {
            const std::int64_t first = target.next_session();
            for (registers::NewEntry entry : log.entries()) {
                entry.session = first + *entry.session - 1;
                entry.offset_minutes = 60;
                target.append(entry);
            }
        });
    }

    TemporaryFolder folder_;
};

const json& person_in(const json& totals, const std::string& as) {
    for (const json& person : totals["people"])
        if (person["as"] == as) return person;
    FAIL("nobody has that code");
    return totals;
}

}  // namespace

TEST_CASE("totals of who ran as planned are those of the plan, with where they come from") {
    const FilledRegister filled;
    const json totals = filled.answer({"totals"});
    const json plan = json::parse(run_program({"assess", plan_of_demo, "--format", "json"}).output);
    REQUIRE(totals["people"].size() == 3);
    CHECK(totals["register"]["time_zone"] == "Europe/Berlin");
    CHECK(totals["verdict"] == "over");  // pilot-b
    for (const auto& [as, id] : {std::pair{"P-0417", "pilot-a"}, std::pair{"P-0418", "pilot-b"},
                                 std::pair{"S-0001", "operator"}}) {
        CAPTURE(as);
        const json& heard = person_in(totals, as);
        json planned;
        for (const json& person : plan["people"])
            if (person["id"] == id) planned = person;
        CHECK(heard["role"] == planned["role"]);
        REQUIRE(heard["days"].size() == 1);
        const json& day = heard["days"][0];
        CHECK(day["date"] == (std::string(as) == "P-0418" ? "2026-11-04" : "2026-11-03"));
        CHECK(near(day["LEX_8h_dB"], planned["exposure"]["LEX_8h_dB"], 1e-9, Because::Arithmetic));
        CHECK(near(day["at_ear_LEX_8h_dB"], planned["exposure"]["at_ear_LEX_8h_dB"], 1e-9,
                   Because::Arithmetic));
        CHECK(!day["entries"].empty());
        CHECK(day["missing"]["unconfirmed"].empty());
        CHECK(!day.contains("lower_bound"));
        // The card that SessionLog names behind each run.
        REQUIRE(heard["files"].size() == 1);
        CHECK(heard["files"][0]["sha256"] == "00ff");
        CHECK(!heard["files"][0]["entries"].empty());
        for (const json& week : heard["weeks"])
            CHECK(week["from"] == "2026-11-02");
    }
    CHECK(filled.run({"totals"}).status == 1);
    CHECK(filled.run({"totals", "--as", "P-0417"}).status == 0);
    const json staff = filled.answer({"totals", "--role", "staff"});
    REQUIRE(staff["people"].size() == 1);
    CHECK(staff["people"][0]["as"] == "S-0001");
    REQUIRE(staff["roles"].size() == 1);
    CHECK(staff["roles"][0]["months"][0]["days"] == 1);
    const json later = filled.answer({"totals", "--from", "2026-11-04", "--to", "2026-11-04"});
    REQUIRE(later["people"].size() == 1);
    CHECK(later["people"][0]["as"] == "P-0418");
    CHECK(later["from"] == "2026-11-04");
}

TEST_CASE("totals as text begin with the verdict and end with the head; CSV has a row a limit") {
    const FilledRegister filled;
    const Outcome text = run_short({"register", "totals", filled.path()});
    CHECK(text.output.starts_with("OVER A LIMIT: P-0418, participant, 1 day: 2026-11-04\n"));
    CHECK(holds(text.output, "Tightest: 2026-11-04, niosh-rel, dose at the ear"));
    CHECK(holds(text.output, "(entries "));
    const json totals = filled.answer({"totals"});
    CHECK(holds(text.output, std::string(totals["register"]["head"]).substr(0, 40)));
    const Outcome csv = filled.run({"totals", "--format", "csv"});
    CHECK(csv.output.starts_with("as,role,period,from,to,"));
    std::size_t rows = 0;
    for (const json& person : totals["people"]) {
        for (const char* period : {"days", "weeks"})
            for (const json& one : person[period])
                rows += one["criteria"].size();
    }
    CHECK(std::ranges::count(csv.output, '\n') == static_cast<std::ptrdiff_t>(rows + 1));
    const Outcome page = filled.run({"totals", "--format", "html"});
    CHECK(holds(page.output, "<svg"));
    CHECK(holds(page.output, std::string(totals["register"]["head"])));
}

TEST_CASE("verify proves what a head of an earlier time proves, and says what it cannot") {
    const FilledRegister filled;
    const json before = filled.answer({"verify"});
    CHECK(before["verification"]["intact"] == true);
    CHECK(before["verification"]["proven_until"] == 0);
    CHECK(before["verification"]["not_proven"].size() == 1);
    const std::string head = before["register"]["head"];
    CHECK(filled.run({"link", "P-0417", "S-0001"}).status == 0);
    const json after = filled.answer({"verify", "--head", head});
    CHECK(after["verification"]["intact"] == true);
    CHECK(after["verification"]["entries"] ==
          before["verification"]["entries"].get<std::int64_t>() + 1);
    CHECK(after["verification"]["proven_until"] == before["verification"]["entries"]);
    std::string other = head;
    other.back() = other.back() == '0' ? '1' : '0';
    const Outcome wrong = filled.run({"verify", "--head", other});
    CHECK(wrong.status == 1);
    CHECK(wrong.output.starts_with("NOT AS IT WAS RECORDED"));
    CHECK(filled.run({"verify", "--head", "17"}).status == 2);
}

TEST_CASE("two codes of one person are one in totals once they are linked") {
    const FilledRegister filled;
    const json link = filled.answer({"link", "P-0417", "S-0001", "--by", "S-0001"});
    CHECK(link["link"]["codes"] == json::array({"P-0417", "S-0001"}));
    const json totals = filled.answer({"totals"});
    std::size_t as_one = 0;
    for (const json& person : totals["people"])
        as_one += person["codes"].size() == 2 ? 1U : 0U;
    CHECK(as_one == 2);  // one person in two roles
    CHECK(filled.answer({"totals", "--as", "S-0001"})["people"].size() == 2);
    CHECK(filled.run({"link", "P-0417", "P-9999"}).status == 2);
}

TEST_CASE("a backup holds who is erased later, is named then, and nothing else does") {
    const FilledRegister filled;
    const std::string copy = filled.path("copy.register");
    const json backup = filled.answer({"backup", copy});
    CHECK(std::filesystem::equivalent(std::string(backup["backup"]["file"]), copy));
    CHECK(filled.run({"backup", copy}).status == 2);
    const Outcome refused = filled.run({"erase", "--as", "P-0418"});
    CHECK(refused.status == 2);
    CHECK(holds(refused.errors, "--confirm P-0418"));
    CHECK(filled.run({"erase", "--as", "P-0418", "--confirm", "P-0417"}).status == 2);
    CHECK(filled.answer({"totals"})["people"].size() == 3);
    const json erased = filled.answer({"erase", "--as", "P-0418", "--confirm", "P-0418"});
    CHECK(erased["erased"]["codes"] == json::array({"P-0418"}));
    REQUIRE(erased["erased"]["backups"].size() == 1);
    CHECK(erased["erased"]["backups"][0]["file"] == backup["backup"]["file"]);
    CHECK(filled.answer({"totals"})["people"].size() == 2);
    CHECK(filled.run({"totals", "--as", "P-0418"}).status == 2);
    const json verified = filled.answer({"verify", "--head", backup["backup"]["head"]});
    CHECK(verified["verification"]["intact"] == true);
    CHECK(verified["verification"]["erased"] == erased["erased"]["entries"]);
    CHECK(!holds(content_of(filled.path()), "P-0418"));
    const Outcome text = filled.run({"erase", "--as", "P-0417", "--yes"});
    CHECK(text.status == 0);
    CHECK(holds(text.output, "still holds the person"));
}

TEST_CASE("a copy for one person has every entry as it was recorded, of nobody else") {
    const FilledRegister filled;
    const json copy = filled.answer({"export", "--as", "P-0417"});
    CHECK(copy["codes"] == json::array({"P-0417"}));
    REQUIRE(!copy["entries"].empty());
    bool any_run = false;
    for (const json& entry : copy["entries"]) {
        CHECK(entry["as"] == "P-0417");
        if (entry["kind"] != "run") continue;
        any_run = true;
        CHECK(entry["from"].get<std::string>().ends_with("+01:00"));
        CHECK(entry["body"]["exposure"]["rows"][0].contains("at_ear_dB"));
    }
    CHECK(any_run);
    CHECK(!holds(copy.dump(), "P-0418"));
    const Outcome page = filled.run({"export", "--as", "P-0417", "--format", "html"});
    CHECK(holds(page.output, "dB(A) at the ear"));
    CHECK(filled.run({"export", "--as", "P-9999"}).status == 2);
}

TEST_CASE("whose time has come is listed and not erased; nothing goes over anything") {
    const FilledRegister filled;
    const json due = filled.answer({"due"});
    for (const json& one : due["due"])
        CHECK(one["entries"] > 0);
    CHECK(filled.answer({"totals"})["people"].size() == 3);
    const std::string before = content_of(filled.path());
    CHECK(run_program({"register", "create", filled.path(), "--time-zone", "UTC"}).status == 2);
    CHECK(filled.run({"totals", "--output", filled.path(), "--format", "text", "--force"}).status ==
          2);
    CHECK(content_of(filled.path()) == before);
    for (const char* command : {"verify", "totals", "due", "export"}) {
        CAPTURE(command);
        const std::string nowhere = filled.path("nowhere.register");
        std::vector<std::string> words = {"register", command, nowhere};
        if (std::string(command) == "export") words.insert(words.end(), {"--as", "P-0417"});
        CHECK(run_program(words).status == 2);
        CHECK(!std::filesystem::exists(nowhere));
    }
    CHECK(filled.run({"totals", "--from", "2026-11-05", "--to", "2026-11-04"}).status == 2);
    CHECK(run_program({"register", "create", filled.path("other"), "--time-zone", "Europe/Berln"})
              .status == 2);
    CHECK(!std::filesystem::exists(filled.path("other")));
}
