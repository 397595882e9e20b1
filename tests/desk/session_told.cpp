// What is told of a session wrongly or too early, and what the page says before anything runs.
#include <nlohmann/json.hpp>

#include "desk/session_support.hpp"
#include "desk/session_words.hpp"
#include "support/program.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

registers::Entry last_run(const SessionByForms& desk) {
    registers::Entry found;
    for (const auto& entry : desk.reg().of_session(desk.number))
        if (entry.kind == registers::EntryKind::Run && entry.as == "P-1") found = entry;
    return found;
}

}  // namespace

TEST_CASE("pain in a session without any run is told, and who had it is counted") {
    SessionByForms desk;
    desk.begin();
    desk.pressed("event", {{"what", "pain"}});
    const std::string page = desk.get("/register/person?as=P-1").body;
    CHECK_FALSE(holds(page, "No event is recorded"));
    CHECK(holds(page, "Events: 1 pain"));
    desk.begin("P-2");
    desk.pressed("done", {{"sequence", "gre-3d"}, {"for", "30 s"}});
    desk.pressed("end");
    desk.begin("P-3");
    const Outcome outcome = run_short({"register", "report", desk.path("r.register"), "--study",
                                       "Harbour pilots' night vision", "--format", "json"});
    const auto report = nlohmann::json::parse(outcome.output);
    REQUIRE(report.at("people").size() == 3);
    std::size_t events = 0, days = 0;
    for (const auto& person : report.at("people")) {
        events += person.at("events").size();
        days += person.at("days").size();
    }
    CHECK(events == 1);
    CHECK(days == 1);
    // Nothing was heard that could be over or unknown.
    CHECK(report.at("verdict") == report.at("people")[1].at("verdict"));
}

TEST_CASE("a run that would end in the future is refused with what to do") {
    SessionByForms desk;
    desk.begin();
    const std::int64_t then = desk.entries();
    const desk::Reply early = desk.press("done", {{"sequence", "gre-3d"}, {"for", "6 min"}});
    CHECK(early.status == 422);
    CHECK(holds(early.body, "still to come"));
    CHECK(holds(early.body, "accepted: Start"));
    const Outcome line = run_short(
        {"session", "run", "gre-3d", "--stopped", "6 min", "--register", desk.path("r.register")});
    CHECK(line.status == 2);
    CHECK(holds(line.errors, "still to come"));
    CHECK(desk.entries() == then);
    // So long as clocks may differ it is taken, and what follows is not lost in it.
    desk.pressed("done", {{"sequence", "gre-3d"}, {"minutes", "0,5"}});
    const auto first = last_run(desk);
    CHECK(first.to.ms - first.from.ms == 30'000);
    const std::string entry = std::to_string(first.n);
    CHECK(desk.press("lasted", {{"entry", entry}, {"minutes", "10"}}).status == 422);
    desk.pressed("start", {{"sequence", "epi-2mm"}});
    CHECK(desk.press("stopped-after", {{"minutes", "4"}}).status == 422);
    desk.pressed("stop");
    const auto second = last_run(desk);
    CHECK(second.n != first.n);
    CHECK(second.to > second.from);
}

TEST_CASE("a protector with metal is named as such, and nothing may be run with it") {
    SessionByForms desk;
    desk.begin();
    CHECK(holds(desk.page(), "not free of metal"));  // in the list
    CHECK(holds(desk.page(), "Yes, "));
    desk.pressed("wear", {{"as", "P-1"}, {"wears", "muff-wide"}});
    const std::string page = desk.page();
    CHECK(holds(page, "is not free of metal and must not enter the bore"));
    CHECK(holds(page, "No: what is worn is not free of metal"));
    CHECK_FALSE(holds(page, "Yes, "));
    const Outcome outcome =
        run_short({"session", "next", "--register", desk.path("r.register"), "--format", "json"});
    CHECK(outcome.status == 1);
    const auto next = nlohmann::json::parse(outcome.output);
    CHECK(next.at("sequences")[0].at("runs_left") == 0);
    CHECK(next.at("sequences")[0].at("limited_by") == "metal");
    const Outcome worn = run_short({"session", "wear", "muff-wide", "--register",
                                    desk.path("r.register"), "--format", "json"});
    CHECK(holds(worn.output, "metal-near-magnet"));
}

TEST_CASE("the page says what is counted until somebody tells what was put on") {
    SessionByForms desk;
    desk.begin();
    const std::string before = desk.page();
    CHECK(holds(before, "Counted as"));
    CHECK(holds(before, "nobody told that anything was put on"));
    std::size_t from = before.find("Hand out: ");
    REQUIRE(from != std::string::npos);
    from = before.find('>', from) + 1;  // strong
    const std::string out = before.substr(from, before.find('<', from) - from);
    CHECK_FALSE(out.empty());
    CHECK_MESSAGE(holds(before, "It is put on: " + out), out);
    CHECK(holds(before, "Both ears are not told to be checked and seated"));
    desk.pressed("wear", {{"as", "P-1"}, {"wears", "muff-slim"}});
    CHECK_FALSE(holds(desk.page(), "nobody told that anything was put on"));
    CHECK(holds(desk.page(), "Both ears are not told to be checked and seated"));
    desk.pressed("check", {{"as", "P-1"}, {"ear", "both"}, {"seated", "yes"}});
    CHECK_FALSE(holds(desk.page(), "not told to be checked"));
    desk.pressed("event", {{"what", "plug-loose"}});
    CHECK(holds(desk.page(), "Both ears are not told to be checked and seated"));
    CHECK(holds(desk.page(), "Left ear seated?"));
}

TEST_CASE("nobody clears their own pain, and that it was not so has a reason") {
    SessionByForms desk;
    desk.begin();
    desk.pressed("event", {{"what", "pain"}});
    std::string pain;
    for (const auto& entry : desk.reg().of_session(desk.number))
        if (entry.kind == registers::EntryKind::Event) pain = std::to_string(entry.n);
    const std::int64_t then = desk.entries();
    const desk::Reply own = desk.press("clear", {{"as", "P-1"}, {"cleared_by", "P-1"}});
    CHECK(own.status == 422);
    CHECK(holds(own.body, "a code of the person themselves"));
    CHECK(run_short(
              {"session", "event", "--cleared-by", "P-1", "--register", desk.path("r.register")})
              .status == 2);
    CHECK(desk.press("never", {{"entry", pain}}).status == 422);
    CHECK(run_short({"session", "correct", pain, "--never", "--why", "told by mistake",
                     "--register", desk.path("r.register")})
              .status == 2);
    CHECK(desk.entries() == then);
    desk.pressed("never", {{"entry", pain}, {"why", "the wrong button"}});
    CHECK_FALSE(holds(desk.page(), "STOP: P-1"));
}

TEST_CASE("a press is answered with who tells it while nobody is named") {
    SessionByForms desk;
    desk.begin();
    desk.by.clear();
    const std::int64_t then = desk.entries();
    const desk::Reply reply = desk.press("start", {{"sequence", "gre-3d"}});
    CHECK(reply.status == 422);
    CHECK(holds(reply.body, "Who tells it?"));
    CHECK(holds(reply.body, "name=\"back\" value=\"" + desk.address() + "\""));
    CHECK(desk.entries() == then);
}

TEST_CASE("how long is left is not told as all where more fits than is counted") {
    using desk::at_session::time_left;
    sessions::RunsLeft left{.id = "epi", .time = Seconds(360.0), .runs = 42};
    CHECK(time_left(left) == "more than 252 min");
    left.runs = 3;
    CHECK(time_left(left) == "18 min");
}
