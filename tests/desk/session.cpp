// A session that is run from the desk.
#include <nlohmann/json.hpp>

#include "desk/session_support.hpp"
#include "support/program.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

using Json = nlohmann::json;
using Words = std::vector<std::string>;

/// Entries as both ways must leave them: all but when they were, and the plan's own place.
Json told_in(const std::string& file) {
    Json all = Json::array();
    const auto from = registers::Register::open(file, registers::Access::Read);
    for (std::int64_t n = 1; n <= from.head().n; ++n) {
        const registers::Entry entry = from.history(n).front();
        Json body = Json::parse(entry.body);
        if (body.contains("plan")) body["plan"].erase("file");
        all.push_back(
            {{"kind", registers::entry_kinds[entry.kind].name},
             {"as", entry.as.value_or("")},
             {"by", entry.by.value_or("")},
             {"session", entry.session.value_or(0)},
             {"ms", entry.kind == registers::EntryKind::Run ? entry.to.ms - entry.from.ms : 0},
             {"corrects", entry.corrects.value_or(0)},
             {"body", body}});
    }
    return all;
}

}  // namespace

TEST_CASE("a whole session by forms is in the register what the command line tells it") {
    SessionByForms desk;
    const std::string other = desk.path("other.register");
    registers::Register::create(other, {.time_zone = "Europe/Berlin"});
    const auto line = [&](Words words) {
        words.insert(words.begin(), "session");
        words.insert(words.end(), {"--register", other, "--by", "S-1"});
        const Outcome outcome = run_short(words);
        CHECK_MESSAGE(outcome.status == 0, outcome.errors);
    };
    const std::string plan = desk.path("studies/plan.toml");
    desk.begin("P-1", {{"present-operator", "S-1"}});
    line({"start", plan, "--person", "pilot-a", "--as", "P-1", "--present", "operator=S-1"});
    desk.pressed("wear", {{"as", "P-1"}, {"wears", "muff-slim"}});
    line({"wear", "muff-slim"});
    desk.pressed("check", {{"as", "P-1"}, {"ear", "left"}, {"seated", "yes"}});
    line({"checked", "left"});
    desk.pressed("check", {{"as", "P-1"}, {"ear", "right"}, {"seated", "yes"}});
    line({"checked", "right"});
    // Nothing of it may end in the future: both last no longer than clocks may differ.
    desk.pressed("done", {{"sequence", "gre-3d"}, {"for", "20 s"}});
    line({"run", "gre-3d", "--stopped", "20 s"});
    desk.pressed("event", {{"what", "squeeze-ball"}});
    line({"event", "squeeze-ball"});
    desk.pressed("done", {{"sequence", "epi-2mm"}, {"for", "30 s"}});
    line({"run", "epi-2mm", "--stopped", "30 s"});
    const auto last = [&] {
        std::int64_t found = 0;
        for (const auto& entry : desk.reg().of_session(desk.number))
            if (entry.kind == registers::EntryKind::Run && entry.as == "P-1") found = entry.n;
        return std::to_string(found);
    }();
    desk.pressed("lasted", {{"entry", last}, {"minutes", "0,25"}, {"why", "broken off"}});
    line({"correct", last, "--for", "15 s", "--why", "broken off"});
    desk.pressed("end");
    line({"end"});
    CHECK(told_in(desk.path("r.register")) == told_in(other));

    const auto show = [&](const std::string& file) {
        const Outcome outcome =
            run_short({"session", "show", "--register", file, "--format", "json"});
        return Json::parse(outcome.output);
    };
    const Json by_forms = show(desk.path("r.register")), by_line = show(other);
    CHECK(by_forms.at("verdict") == by_line.at("verdict"));
    REQUIRE(by_forms.at("criteria").size() == by_line.at("criteria").size());
    for (std::size_t n = 0; n < by_forms.at("criteria").size(); ++n) {
        // Rests between what is told last milliseconds that no two tellings have alike.
        const double one = by_forms.at("criteria")[n].at("value").get<double>();
        const double two = by_line.at("criteria")[n].at("value").get<double>();
        CHECK(std::abs(one - two) < 1e-3);
    }
    // After the end the page tells what session show tells.
    const std::string page = desk.page();
    CHECK(holds(page, "ended at"));
    CHECK(holds(page, "Heard in it"));
    CHECK(holds(page, "Begin another session"));
}

TEST_CASE("the page answers before it is asked, by the figures of session next") {
    SessionByForms desk;
    desk.begin();
    const Outcome outcome =
        run_short({"session", "next", "--register", desk.path("r.register"), "--format", "json"});
    const Json next = Json::parse(outcome.output);
    const std::string page = desk.page();
    for (const Json& one : next.at("sequences")) {
        const auto runs = one.at("runs_left").get<unsigned>();
        const std::string words =
            runs > 20 ? "Yes, more than 20" : "Yes, " + std::to_string(runs) + " more";
        CHECK_MESSAGE(holds(page, words), one.dump());
    }
    for (const char* words : {"Hand out:", "Slim earmuff", "It is put on", "Plug or muff loose",
                              "Squeeze ball", "Stop everything",
                              "nothing was measured in this "
                              "room",
                              "Look again"})
        CHECK_MESSAGE(holds(page, words), words);
    CHECK(page.size() < 150'000);
}

TEST_CASE("two people who press on one session: the second is told what the first did") {
    SessionByForms desk;
    desk.begin();
    const std::string seen_by_both = desk.page();
    CHECK(desk.press_of(seen_by_both, "start", {{"sequence", "gre-3d"}}).status == 303);
    const std::int64_t then = desk.entries();
    desk.by = "S-2";
    const desk::Reply late = desk.press_of(seen_by_both, "start", {{"sequence", "epi-2mm"}});
    CHECK(late.status == 409);
    CHECK(holds(late.body, "Not done: something else was recorded"));
    CHECK(holds(late.body, "began: gre-3d"));
    CHECK(holds(late.body, "told by S-1"));
    CHECK(holds(late.body, "Stop: it is over now"));
    CHECK(desk.entries() == then);
    // What is pressed twice is done once.
    const std::string page = desk.page();
    CHECK(desk.press_of(page, "event", {{"what", "plug-loose"}}).status == 303);
    CHECK(desk.press_of(page, "event", {{"what", "plug-loose"}}).status == 409);
    // And what was put right is something else too.
    const std::string before = desk.page();
    const std::string event = std::to_string(desk.entries());
    CHECK(desk.press_of(before, "never", {{"entry", event}}).status == 303);
    CHECK(desk.press_of(before, "stop").status == 409);
}

TEST_CASE("a run that goes on is shown with its clock, by a desk that was made anew too") {
    SessionByForms desk;
    desk.began(Seconds(600.0));
    {
        auto into = desk.reg(registers::Access::Write);
        static_cast<void>(desk.recorder(into, Seconds(90.0)).run({.sequence = "epi-2mm"}));
    }
    desk.opened.studies = std::make_shared<desk::Studies>();
    const std::string page = desk.page();
    CHECK(holds(page, "Stop: it is over now"));
    CHECK(holds(page, "data-since="));
    CHECK((holds(page, ">1:30<") || holds(page, ">1:31<")));
    CHECK_FALSE(holds(page, "Is it over?"));
    CHECK(holds(page, "when this run ends as planned"));
    CHECK_FALSE(holds(page, "value=\"start\""));  // one at a time
    desk.pressed("stop");
    CHECK(holds(desk.page(), "Nothing is running."));
}

TEST_CASE("past its planned end a run asks whether it is over, and counts until that is said") {
    SessionByForms desk;
    desk.began(Seconds(3000.0));
    {
        auto into = desk.reg(registers::Access::Write);
        static_cast<void>(desk.recorder(into, Seconds(800.0)).run({.sequence = "epi-2mm"}));
    }
    const std::string page = desk.page();
    CHECK(holds(page, "Is it over?"));
    CHECK(holds(page, "It still runs"));
    // That it still runs silences the question for a while, and no address for longer.
    const std::string entry = SessionByForms::value_of(page, "seen");
    const auto still = [&](std::int64_t ms) {
        return desk.get(desk.address() + "?still=" + entry + "-" + std::to_string(now().ms + ms))
            .body;
    };
    CHECK_FALSE(holds(still(60'000), "Is it over?"));
    CHECK(holds(still(-1'000), "Is it over?"));
    SUBCASE("as planned") {
        desk.pressed("stopped-as-planned");
        const auto run = desk.reg().of_session(desk.number).back();
        CHECK(run.to.ms - run.from.ms == 12 * 60'000);
    }
    SUBCASE("after a time") {
        CHECK(desk.press("stopped-after", {{"minutes", "never"}}).status == 422);
        desk.pressed("stopped-after", {{"minutes", "4.5"}});
        const auto run = desk.reg().of_session(desk.number).back();
        CHECK(run.to.ms - run.from.ms == 270'000);
    }
    SUBCASE("closed by something else it stays unconfirmed until it is said") {
        desk.pressed("end");
        const std::string over = desk.page();
        CHECK(holds(over, "How long did"));
        const std::string of =
            SessionByForms::value_of(over.substr(over.find("How long did")), "entry");
        desk.pressed("lasted-as-counted", {{"entry", of}});
        CHECK_FALSE(holds(desk.page(), "How long did"));
    }
}

TEST_CASE("what stops ends the session, and nothing is run until somebody cleared it") {
    SessionByForms desk;
    desk.begin();
    desk.pressed("start", {{"sequence", "gre-3d"}});
    desk.pressed("event", {{"what", "ringing"}});
    const std::string over = desk.page();
    CHECK(holds(over, "STOP: P-1: Ringing"));
    CHECK(holds(over, "Take the person out"));
    CHECK(holds(over, "Ringing was not so"));
    CHECK_FALSE(holds(over, "seated?"));
    // A later session says so before it begins, and refuses runs.
    desk.begin();
    CHECK(holds(desk.page(), "STOP: P-1: Ringing"));
    CHECK(holds(desk.page(), "No: stopped"));
    const std::int64_t then = desk.entries();
    for (const desk::Reply& reply : {desk.press("start", {{"sequence", "gre-3d"}}),
                                     desk.press("done", {{"sequence", "gre-3d"}, {"for", "6 min"}}),
                                     desk.press("card-start", {{"card", "gre-3d"}})}) {
        CHECK(reply.status == 422);
        CHECK(holds(reply.body, "nobody is named who cleared it"));
    }
    CHECK(desk.entries() == then);
    CHECK(desk.press("clear", {{"cleared_by", ""}}).status == 422);
    desk.pressed("clear", {{"as", "P-1"}, {"cleared_by", "D-7"}});
    desk.pressed("start", {{"sequence", "gre-3d"}});
}

TEST_CASE("what somebody heard before is read before a session begins") {
    SessionByForms desk;
    desk.begin();
    desk.pressed("done", {{"sequence", "epi-2mm"}, {"for", "45 s"}});
    desk.pressed("end");
    const SessionByForms::Fields fields = {
        {"plan", "plan.toml"}, {"person", "pilot-b"}, {"as", "P-1"}, {"by", "S-1"}};
    const std::int64_t then = desk.entries();
    const desk::Reply read = desk.post("/session", fields);
    CHECK(read.status == 200);
    CHECK(holds(read.body, "Not begun yet"));
    CHECK(holds(read.body, "Heard before: 1 session today"));
    CHECK(desk.post("/session/before", fields).status == 200);
    CHECK(desk.entries() == then);
    auto with = fields;
    with.emplace_back("read", SessionByForms::value_of(read.body, "read"));
    const desk::Reply begun = desk.post("/session", with);
    CHECK(begun.status == 303);
    CHECK(begun.teller == "S-1");
    // A second open one of the same person is refused.
    with.back().second = SessionByForms::value_of(desk.post("/session", fields).body, "read");
    CHECK(desk.post("/session", with).status == 422);
}

TEST_CASE("hostile codes, titles and numbers change nothing and are escaped") {
    SessionByForms desk;
    const std::string hostile = "\"><script>alert(1)</script>";
    for (const SessionByForms::Fields& fields :
         {SessionByForms::Fields{
              {"plan", "plan.toml"}, {"person", hostile}, {"as", "P-1"}, {"by", "S-1"}},
          {{"plan", "plan.toml"}, {"person", "pilot-a"}, {"as", " "}, {"by", "S-1"}},
          {{"plan", "plan.toml"}, {"person", "pilot-a"}, {"as", "P-1"}, {"by", "a\xE2\x80\x8E"}},
          {{"plan", hostile}, {"person", "pilot-a"}, {"as", "P-1"}, {"by", "S-1"}}}) {
        const desk::Reply reply = desk.post("/session", fields);
        CHECK(reply.status == 422);
        CHECK_FALSE(holds(reply.body, "<script>alert"));
    }
    CHECK(desk.entries() == 0);
    // A code may be any text that can be seen; on pages it is text.
    desk.begin(hostile, {{"present-companion", "'><img/src=x>"}, {"present-operator", "<b>"}});
    desk.pressed("wear", {{"as", hostile}, {"wears", "formable"}});
    desk.pressed("event", {{"what", "plug-loose"}, {"note", "<i>note</i>"}});
    const std::string page = desk.page();
    for (const char* markup : {"<script>alert", "<img/src=x", "<i>note", "<b>"})
        CHECK_FALSE_MESSAGE(holds(page, markup), markup);
    CHECK(holds(page, "&lt;script&gt;alert"));
    const std::int64_t then = desk.entries();
    for (const SessionByForms::Fields& fields :
         {SessionByForms::Fields{{"act", hostile}},
          {{"act", "start"}, {"sequence", hostile}},
          {{"act", "card-start"}, {"card", "../../etc/passwd"}},
          {{"act", "check"}, {"ear", hostile}},
          {{"act", "event"}, {"what", hostile}},
          {{"act", "never"}, {"entry", "99"}},
          {{"act", "never"}, {"entry", hostile}},
          {{"act", "wear"}, {"wears", hostile}},
          {{"act", "check"}, {"ear", "left"}, {"as", "nobody"}}}) {
        auto with = fields;
        with.emplace_back("seen", SessionByForms::value_of(desk.page(), "seen"));
        const desk::Reply reply = desk.post(desk.address(), with);
        CHECK(reply.status == 422);
        CHECK_FALSE(holds(reply.body, "<script>alert"));
    }
    CHECK(desk.entries() == then);
    for (const char* address : {"/session/0", "/session/-1", "/session/99", "/session/1x",
                                "/session/99999999999999999999"})
        CHECK_MESSAGE(desk.get(address).status == 422, address);
    CHECK(desk.get(desk.address() + "/other?card=" + std::string("%3Cscript%3E")).status == 200);
    CHECK(SessionByForms::leads_to(
              desk.post("/teller", {{"by", "S-1"}, {"back", "//elsewhere"}})) == "/session");
}

TEST_CASE("a card of the folder that is not on the plan is answered and run") {
    SessionByForms desk;
    desk.begin();
    const desk::Reply offered = desk.get(desk.address() + "/other?card=epi-2mm&for=3");
    CHECK(offered.status == 200);
    CHECK(holds(offered.body, "It ran 3 min and is over"));
    CHECK(holds(offered.body, "Yes, "));
    desk.pressed("card-done", {{"card", "epi-2mm"}, {"minutes", "0.5"}});
    const auto run = desk.reg().of_session(desk.number).back();
    CHECK(run.to.ms - run.from.ms == 30'000);
}

TEST_CASE("without its plan a session is still stopped and ended") {
    SessionByForms desk;
    desk.begin();
    desk.pressed("start", {{"sequence", "gre-3d"}});
    std::filesystem::remove(desk.path("studies/plan.toml"));
    const std::string page = desk.page();
    CHECK(holds(page, "What may be run cannot be answered now"));
    CHECK(holds(page, "Stop: it is over now"));
    desk.pressed("event", {{"what", "squeeze-ball"}});
    desk.pressed("stop");
    desk.pressed("end");
    CHECK(holds(desk.page(), "ended at"));
}

TEST_CASE("what is handed out instead, and its spare, come from where the sheet has them") {
    SessionByForms desk;
    desk.begin("P-2", {{"present-companion", "C-1"}});
    const std::string page = desk.page();
    CHECK(holds(page, "C-1 (companion)"));
    CHECK(holds(page, "roll the plug thin"));
    desk.pressed("wear", {{"as", "P-2"}, {"wears", "formable"}});
    CHECK(holds(desk.page(), "Left ear seated?"));
    desk.pressed("check", {{"as", "P-2"}, {"ear", "both"}, {"seated", "no"}});
    CHECK(holds(desk.page(), "Take the spare: "));
    desk.pressed("wear", {{"as", "P-2"}, {"wears", "formable"}, {"poor_fit", "yes"}});
    CHECK(holds(desk.page(), "poorly seated"));
    desk.pressed("stop-all");
    CHECK(holds(desk.page(), "Everything is stopped"));
    const auto entries = desk.reg().of_session(desk.number);
    CHECK(entries.back().kind == registers::EntryKind::Event);
}
