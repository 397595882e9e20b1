// What the register's pages show: what the command line answers, and nothing of it as markup.
#include <fstream>

#include "desk/register_recorded.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

/// Without the moment until which what goes on counts.
nlohmann::json without_now(nlohmann::json answer) {
    answer.erase("now");
    answer.erase("date");
    return answer;
}

}  // namespace

TEST_CASE("without a register each page of it says how to make one") {
    DeskFixture desk;
    desk.opened.in_register.reset();
    for (const char* page :
         {"/register", "/register/person?as=P-0417", "/register/staff", "/register/study?title=x",
          "/register/download?of=totals&format=csv"}) {
        const desk::Reply reply = desk.get(page);
        CHECK(reply.status == 200);
        check_holds(reply, "earbudget register create");
    }
    check_holds(desk.post("/register/backup", {}), "earbudget register create");
}

TEST_CASE("the register's page says what it is and finds a person by a part of the code") {
    const RecordedDesk desk;
    const desk::Reply reply = desk.get("/register");
    CHECK(reply.status == 200);
    CHECK(reply.body.size() < 150'000);
    const auto from = registers::Register::open(desk.path("r.register"), registers::Access::Read);
    for (const std::string& words :
         {from.head().text(), std::string("Europe/Berlin"), std::string("none was made"),
          std::string("Harbour pilots&#39; night vision")})
        check_holds(reply, words);
    check_holds(desk.get("/register?code=04"), "/register/person?as=P-0417");
    check_lacks(desk.get("/register?code=04"), "/register/person?as=S-1");
    CHECK(DeskFixture::leads_to(desk.get("/register?code=P-0417")) == "/register/person?as=P-0417");
    check_holds(desk.get("/register?code=%3Cb%3E"), "&lt;b&gt;");
}

TEST_CASE("a person's page has each day, its sessions and what can be done") {
    const RecordedDesk desk;
    const desk::Reply reply = desk.get("/register/person?as=P-0417");
    CHECK(reply.status == 200);
    CHECK(reply.body.size() < 150'000);
    for (const char* words : {"2024-03-05", "/register/session/1?as=P-0417", "2024-03</a>",
                              "of=export", "/register/erase?as=P-0417", "name=\"newest\""})
        check_holds(reply, words);
    CHECK(desk.get("/register/person?as=nobody").status == 422);
    CHECK(desk.get("/register/person?as=P-0417&month=2024-13").status == 422);
    check_holds(desk.get("/register/person?as=P-0417&month=2024-04"), "P-0417, 2024-04");
}

TEST_CASE("files of the desk have the figures of the command line") {
    const RecordedDesk desk;
    const std::string file = desk.path("r.register");
    const auto kept = [&](const std::string& address) {
        return without_now(nlohmann::json::parse(desk.get(address + "&format=json").body));
    };
    const auto told = [&](const std::vector<std::string>& words) {
        return without_now(desk.command(words));
    };
    CHECK(kept("/register/download?of=totals") == told({"register", "totals", file}));
    CHECK(kept("/register/download?of=totals&as=P-0417&from=2024-03-01&to=2024-03-31") ==
          told({"register", "totals", file, "--as", "P-0417", "--from", "2024-03-01", "--to",
                "2024-03-31"}));
    CHECK(kept("/register/download?of=person&as=P-0417") ==
          told({"register", "report", file, "--as", "P-0417"}));
    CHECK(kept("/register/download?of=staff&month=2024-03") ==
          told({"register", "report", file, "--staff-month", "2024-03"}));
    CHECK(kept("/register/download?of=study&title=Harbour%20pilots%27%20night%20vision") ==
          told({"register", "report", file, "--study", "Harbour pilots' night vision"}));
    CHECK(kept("/register/download?of=export&as=P-0417") ==
          told({"register", "export", file, "--as", "P-0417"}));
    const desk::Reply table = desk.get("/register/download?of=totals&format=csv");
    CHECK(table.type.starts_with("text/csv"));
    check_holds(table, "P-0417,");
    CHECK(desk.get("/register/download?of=export&as=P-0417&format=csv").status == 422);
    CHECK(desk.get("/register/download?of=../plan.toml&format=json").status == 422);
}

TEST_CASE("a month of staff and a study's report lead to each person") {
    const RecordedDesk desk;
    const desk::Reply staff = desk.get("/register/staff?month=2024-03");
    CHECK(staff.status == 200);
    check_holds(staff, "/register/person?as=S-1&amp;month=2024-03");
    check_lacks(staff, "P-0417");
    const desk::Reply study =
        desk.get("/register/study?title=Harbour%20pilots%27%20night%20vision");
    CHECK(study.status == 200);
    check_holds(study, "/register/person?as=P-0417");
    check_holds(study, "/register/session/1?as=P-0417");
    const desk::Reply unknown = desk.get("/register/study?title=%3Cscript%3E");
    CHECK(unknown.status == 422);
    check_holds(unknown, "&lt;script&gt;");
}

TEST_CASE("an ended session is shown as the command line shows it") {
    const RecordedDesk desk;
    const desk::Reply reply = desk.get("/register/session/1?as=P-0417");
    CHECK(reply.status == 200);
    const auto shown =
        desk.command({"session", "show", "--register", desk.path("r.register"), "--session", "1"});
    for (const auto& entry : shown["entries"]) {
        check_holds(reply, "entry " + std::to_string(entry["entry"].get<int>()));
    }
    check_holds(reply, "/register/session/1?as=S-1");
    CHECK(desk.get("/register/session/2").status == 422);
    CHECK(desk.get("/register/session/%2e%2e").status == 422);
}

TEST_CASE("what is typed as a note is never markup") {
    const RecordedDesk desk;
    desk.tell("2024-03-05T09:41:00+01:00", [](records::SessionRecorder& recorder) {
        return recorder.event(
            sessions::EventBody{sessions::EventKind::Other, "<img src=x onerror=alert(1)>"});
    });
    for (const char* page : {"/register/session/1?as=P-0417", "/register/person?as=P-0417"}) {
        const desk::Reply reply = desk.get(page);
        CHECK(reply.status == 200);
        check_lacks(reply, "<img");
    }
    check_holds(desk.get("/register/session/1?as=P-0417"), "&lt;img");
}

TEST_CASE("a damaged entry is named by the pages and by verifying") {
    const RecordedDesk desk;
    tamper(desk.path("r.register"),
           "UPDATE content SET body = replace(body, 'gre-3d', 'gre-3e') WHERE n = " +
               std::to_string(desk.first_run));
    const std::string entry = "entry " + std::to_string(desk.first_run);
    const desk::Reply person = desk.get("/register/person?as=P-0417");
    CHECK(person.status == 422);
    check_holds(person, entry);
    const desk::Reply verified = desk.post("/register/verify", {});
    CHECK(verified.status == 200);
    check_holds(verified, "NOT AS IT WAS RECORDED");
    check_holds(verified, entry + ": its content is not what was recorded");
}
