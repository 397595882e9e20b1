// Times, calendars, plans that change, and what is refused.
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "end_to_end/session_desk.hpp"
#include "records/session_recorder.hpp"
#include "support/near.hpp"
#include "support/study_folder.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

using Json = nlohmann::json;
constexpr Seconds one_hour{3600.0};

}  // namespace

TEST_CASE("across the end of summer time both the site's time and UTC are told") {
    SessionDesk desk("2024-10-27T00:10:00Z");
    desk.start(demo_plan, "pilot-a", "P-0417");
    desk.wait(Seconds(1200.0));
    desk.run_for("localiser", Seconds(20.0));
    desk.wait(one_hour - Seconds(20.0));
    desk.run_for("localiser", Seconds(20.0));
    const Json show = desk.ask({"show"});
    std::vector<std::string> local, utc;
    for (const Json& one : show.at("heard")) {
        if (one.at("kind") != "run") continue;
        local.push_back(one.at("from"));
        utc.push_back(one.at("from_UTC"));
    }
    CHECK(local ==
          std::vector<std::string>{"2024-10-27T02:30:00+02:00", "2024-10-27T02:30:00+01:00"});
    CHECK(utc == std::vector<std::string>{"2024-10-27T00:30:00Z", "2024-10-27T01:30:00Z"});
    const std::string text = desk.run_now({"show"}).output;
    CHECK(holds(text, "2024-10-27T02:30:00+01:00"));
    CHECK(holds(text, "2024-10-27T01:30:00Z"));
}

TEST_CASE(
    "a clock that was set back is told of, and what is told stands behind what was told before") {
    SessionDesk desk("2024-11-25T08:00:00+01:00");
    desk.start(demo_plan, "pilot-a", "P-0417");
    auto from = registers::Register::open(desk.file(), registers::Access::Read);
    records::SessionState state = records::state_of(from, 1);
    const auto calendar = records::calendar_of(from);
    std::vector<records::SessionNote> notes;
    records::note_clock(state, calendar, now(), notes);
    CHECK(notes.empty());
    const Instant an_hour_ago{now().ms - 3'600'000};
    records::note_clock(state, calendar, an_hour_ago, notes);
    REQUIRE(notes.size() == 1);
    CHECK(notes.front().code == records::SessionNoteCode::ClockSetBack);
    // Without a stated time: after what is to last into the future.
    const Outcome first = desk.run({"run", "gre-3d", "--for", "6 min", "--format", "json"});
    REQUIRE(first.status == 0);
    const Outcome second = desk.run({"run", "gre-3d", "--for", "6 min", "--format", "json"});
    REQUIRE(second.status == 0);
    const Json one = Json::parse(first.output), other = Json::parse(second.output);
    CHECK(other.at("entries")[0].at("from") == one.at("entries")[0].at("to"));
    CHECK(has_note(other, "begins-later"));
}

TEST_CASE(
    "a plan that is changed between: what was recorded stays, what follows is by it as it is") {
    StudyText study;
    SessionDesk desk("2024-11-25T08:00:00+01:00");
    const auto write = [&] {
        static_cast<void>(desk.folder().write("cards/epi.toml", study.card));
        static_cast<void>(desk.folder().write("protectors.toml", study.protectors));
        return desk.folder().write("plan.toml", study.plan);
    };
    const std::string plan = write();
    desk.start(plan, "participant", "P-0417");
    const Json before = desk.ask({"run", "epi", "--for", "8 min"});
    CHECK(!has_note(before, "plan-changed"));
    desk.wait(Seconds(480.0));
    study.card.replace(study.card.find("108.0"), 5, "104.0");
    study.card.replace(study.card.find("109.5"), 5, "105.5");
    static_cast<void>(write());
    const Json after = desk.ask({"run", "epi", "--for", "8 min"});
    CHECK(has_note(after, "plan-changed"));
    const auto level = [](const Json& told) {
        return told.at("entries")[0].at("LAeq_dB").get<double>();
    };
    CHECK(near(level(before), 108.0, 1e-9, Because::Arithmetic));
    CHECK(near(level(after), 104.0, 1e-9, Because::Arithmetic));
    std::vector<double> heard;
    const Json show = desk.ask({"show"});
    for (const Json& one : show.at("heard"))
        if (one.at("kind") == "run") heard.push_back(one.at("LAeq_dB"));
    REQUIRE(heard.size() == 2);
    CHECK(near(heard[0], 108.0, 1e-9, Because::Arithmetic));
    CHECK(near(heard[1], 104.0, 1e-9, Because::Arithmetic));
    // Moved away: where it is can be told.
    std::filesystem::rename(plan, desk.folder().path("moved.toml"));
    CHECK(holds(desk.refused({"run", "epi", "--for", "8 min"}), "is not there any more"));
    desk.tell({"run", "epi", "--for", "8 min", "--plan", desk.folder().path("moved.toml")});
    // Without the person no level can be told.
    std::string text = content_of(desk.folder().path("moved.toml"));
    text.replace(text.find("id = \"participant\""), 18, "id = \"somebody\"");
    const std::string other = desk.folder().write("other.toml", text);
    CHECK(holds(desk.refused({"run", "epi", "--for", "8 min", "--plan", other}),
                "has no person \"participant\""));
}

TEST_CASE("what cannot be is refused with what is accepted, and nothing of it recorded") {
    SessionDesk desk("2024-11-25T08:00:00+01:00");
    const auto start = [](const std::string& person, const std::string& as) {
        return std::vector<std::string>{"start", demo_plan, "--person", person, "--as", as};
    };
    CHECK(holds(desk.refused(start("pilot-x", "P-0417")),
                "has no person \"pilot-x\", the nearest known is \"pilot-a\"; accepted: pilot-a, "
                "pilot-b, companion, operator"));
    CHECK(holds(desk.refused(start("pilot-a", " P-0417")), "a blank at an end"));
    CHECK(desk.entries() == 0);
    // Several mistakes, one list.
    auto words = start("pilot-x", "P-0417");
    words.insert(words.end(), {"--at", "2999-01-01T00:00:00Z", "--by", "S\t3"});
    const std::string several = desk.refusal(desk.run(words));
    CHECK(lines_of(several) == 3);
    CHECK(holds(several, "is in the future"));
    words = start("pilot-a", "P-0417");
    words.insert(words.end(), {"--at", "yesterday"});
    CHECK(holds(desk.refusal(desk.run(words)), "--at is \"yesterday\"; accepted: --at TIME"));
    words = start("pilot-a", "P-0417");
    words.insert(words.end(), {"--present", "pilot-b=P-0418"});
    CHECK(holds(desk.refused(words), "\"pilot-b\" is a participant"));
    CHECK(desk.entries() == 0);
    CHECK(holds(desk.refused({"next"}), "has no open session; accepted: earbudget session start"));

    desk.tell(start("pilot-a", "P-0417"));
    CHECK(holds(desk.refused(start("pilot-b", "P-0417")), "session 1 of P-0417 has not ended"));
    CHECK(holds(desk.refused({"wear", "foam"}), "has no protector \"foam\""));
    CHECK(holds(desk.refused({"wear"}), "no protector is named"));
    CHECK(holds(desk.refused({"checked", "middle"}), "accepted: left, right, both"));
    CHECK(holds(desk.refused({"event", "boredom"}), "accepted: plug-loose, squeeze-ball"));
    CHECK(holds(desk.refused({"event"}), "EVENT"));
    CHECK(holds(desk.refused({"run", "epi-3mm"}), "the nearest known is \"epi-2mm\""));
    CHECK(holds(desk.refused({"run", "epi-2mm", "--for", "0 s"}), "--for is \"0 s\""));
    CHECK(holds(desk.refused({"run", "epi-2mm", "--for", "1 min", "--stopped", "2 min"}),
                "--stopped"));
    CHECK(holds(desk.refused({"wear", "formable", "--session", "7"}), "has no session 7"));
    CHECK(
        holds(desk.refused({"wear", "formable", "--as", "P-0418"}), "nobody's code in session 1"));
    CHECK(holds(desk.refusal(desk.run(
                    {"run", "epi-2mm", "--for", "1 min", "--at", "2024-11-25T07:00:00+01:00"})),
                "is before session 1 began"));
    CHECK(holds(desk.refusal(desk.run({"correct", "99", "--never", "--why", "x"})),
                "has no entry 99 of a session"));
    CHECK(holds(desk.refusal(desk.run({"correct", "1", "--never", "--why", "x"})),
                "entry 1 cannot be corrected so"));
    CHECK(holds(desk.refusal(desk.run({"correct", "1", "--why", "x"})), "what is right is not"));
    CHECK(
        holds(desk.refusal(desk.run({"correct", "x", "--never", "--why", "x"})), "ENTRY is \"x\""));
    CHECK(desk.entries() == 1);

    desk.start(demo_plan, "pilot-b", "P-0418");
    CHECK(holds(desk.refused({"next"}),
                "has 2 open sessions; accepted: --session 1 (P-0417 as pilot-a"));
    desk.tell({"end", "--session", "2"});
    desk.wait(Seconds(60.0));
    CHECK(holds(desk.refused({"wear", "formable", "--session", "2", "--by", "S-1"}),
                "session 2 ended at"));
    CHECK(desk.run_now({"next"}).status == 0);
}

TEST_CASE("a site with another time zone than the register's is refused") {
    StudyText study;
    SessionDesk desk("2024-11-25T08:00:00+01:00", "Europe/Berlin");
    static_cast<void>(desk.folder().write("cards/epi.toml", study.card));
    static_cast<void>(desk.folder().write("protectors.toml", study.protectors));
    const auto site = [&](const std::string& zone) {
        static_cast<void>(desk.folder().write(
            "site.toml", "kind = \"site\"\nformat = 1\ntime_zone = \"" + zone + "\"\n"));
    };
    study.plan.replace(study.plan.find("[policy]"), 0, "site = \"site.toml\"\n");
    const std::string plan = desk.folder().write("plan.toml", study.plan);
    site("America/Chicago");
    CHECK(holds(desk.refused({"start", plan, "--person", "participant", "--as", "P-1"}),
                "site.toml:3:13: time_zone is \"America/Chicago\""));
    site("Europe/Berlin");
    desk.start(plan, "participant", "P-1");
}

TEST_CASE("a session over midnight is shown by the worse of its days, and counts once in a month") {
    SessionDesk desk("2024-11-25T22:30:00+01:00");
    desk.start(demo_plan, "pilot-b", "P-0418");
    for (int n = 0; n < 5; ++n)
        desk.run_for("epi-2mm", Seconds(720.0));
    desk.wait(Seconds(3600.0));
    desk.run_for("localiser", Seconds(20.0));
    desk.tell({"end"});
    const nlohmann::json show = desk.ask({"show"});
    CHECK(show.at("verdict") == "over");
    CHECK(has_note(show, "over-midnight"));
    CHECK(holds(show.at("notes").dump(), "2024-11-25"));
    const Outcome outcome = run_short({"register", "totals", desk.file(), "--format", "json"});
    const nlohmann::json totals = nlohmann::json::parse(outcome.output);
    const nlohmann::json& person = totals.at("people").at(0);
    CHECK(person.at("verdict") == show.at("verdict"));
    REQUIRE(person.at("days").size() == 2);
    CHECK(person.at("months").at(0).at("sessions") == 1);
    CHECK(person.at("months").at(0).at("runs") == 6);
}
