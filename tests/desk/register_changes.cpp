// What forms of the register's pages change, and what they refuse.
#include <fstream>

#include "desk/register_recorded.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

DeskFixture::Fields correction(std::int64_t entry, std::int64_t newest,
                               const std::string& lasted = "3 min") {
    return {{"entry", std::to_string(entry)},
            {"how", "lasted"},
            {"lasted", lasted},
            {"why", "the operator broke it off"},
            {"newest", std::to_string(newest)},
            {"as", "P-0417"}};
}

std::vector<registers::Entry> entries_of(const RecordedDesk& desk, const std::string& code) {
    return registers::Register::open(desk.path("r.register"), registers::Access::Read)
        .copy_of(code)
        .entries;
}

}  // namespace

TEST_CASE("a correction by form is the entry that session correct makes") {
    const RecordedDesk by_form, by_command;
    const desk::Reply reply =
        by_form.post("/register/correct", correction(by_form.first_run, by_form.newest()));
    CHECK(reply.status == 303);
    const std::string next = DeskFixture::leads_to(reply);
    CHECK(next.starts_with("/register/session/1?as=P-0417&done="));
    check_holds(by_form.get(next), "the operator broke it off");
    check_holds(by_form.get(next), "told by operator-1");
    check_holds(by_form.get("/register/person?as=P-0417"), "the operator broke it off");

    static_cast<void>(
        by_command.command({"session", "correct", std::to_string(by_command.first_run), "--for",
                            "3 min", "--why", "the operator broke it off", "--by", "operator-1",
                            "--register", by_command.path("r.register")}));
    for (const char* code : {"P-0417", "S-1"}) {
        const auto formed = entries_of(by_form, code), told = entries_of(by_command, code);
        REQUIRE(formed.size() == told.size());
        const registers::Entry& one = formed.back();
        const registers::Entry& other = told.back();
        CHECK(one.kind == registers::EntryKind::Correction);
        CHECK(one.n == other.n);
        CHECK(one.from == other.from);
        CHECK(one.to == other.to);
        CHECK(one.by == other.by);
        CHECK(one.corrects == other.corrects);
        CHECK(nlohmann::json::parse(one.body)["why"] == nlohmann::json::parse(other.body)["why"]);
        CHECK(nlohmann::json::parse(one.body)["exposure"]["day"] ==
              nlohmann::json::parse(other.body)["exposure"]["day"]);
    }
}

TEST_CASE("what is wrong with a correction stands beside its field, and what was typed stays") {
    const RecordedDesk desk;
    const std::int64_t before = desk.newest();
    const desk::Reply reply =
        desk.post("/register/correct", correction(desk.first_run, before, "\"><b>soon"));
    CHECK(reply.status == 422);
    check_holds(reply, "aria-invalid=\"true\"");
    check_holds(reply, "&quot;&gt;&lt;b&gt;soon");
    check_holds(reply, "the operator broke it off");
    // Of something else than a run or a task, or of nothing.
    CHECK(desk.post("/register/correct", correction(1, before)).status == 422);
    CHECK(desk.post("/register/correct", correction(9'999, before)).status == 422);
    CHECK(desk.post("/register/correct", {}).status == 422);
    CHECK(desk.newest() == before);
}

TEST_CASE("of two who correct at once the second is told what happened") {
    const RecordedDesk desk;
    const std::int64_t seen = desk.newest();
    CHECK(desk.post("/register/correct", correction(desk.first_run, seen)).status == 303);
    const std::int64_t after = desk.newest();
    const desk::Reply second =
        desk.post("/register/correct", correction(desk.first_run + 2, seen, "5 min"));
    CHECK(second.status == 409);
    check_holds(second, "the operator broke it off");
    check_holds(second, "told by operator-1");
    check_holds(second, "name=\"newest\" value=\"" + std::to_string(after) + "\"");
    CHECK(desk.newest() == after);
    // Seen, it can be told.
    CHECK(desk.post("/register/correct", correction(desk.first_run + 2, after, "5 min")).status ==
          303);
}

TEST_CASE("what is recorded of others meanwhile is in nobody's way") {
    const RecordedDesk desk;
    const std::int64_t seen = desk.newest();
    {
        auto into = registers::Register::open(desk.path("r.register"), registers::Access::Write);
        into.append(some_run("P-0900", 1, 7));
    }
    CHECK(desk.post("/register/correct", correction(desk.first_run, seen)).status == 303);
}

TEST_CASE("a correction on a person's page changes nobody else's record") {
    const RecordedDesk desk;
    {
        auto into = registers::Register::open(desk.path("r.register"), registers::Access::Write);
        into.append(some_run("P-0900", 1, 7));
    }
    const std::int64_t before = desk.newest();
    auto fields = correction(desk.first_run, before);
    fields.back().second = "P-0900";
    const desk::Reply reply = desk.post("/register/correct", fields);
    CHECK(reply.status == 422);
    check_holds(reply, "is not of P-0900, nor of a session of theirs");
    check_lacks(reply, "P-0417");
    CHECK(desk.newest() == before);
    // Of a session in which somebody stood beside it is theirs too.
    fields.back().second = "S-1";
    CHECK(desk.post("/register/correct", fields).status == 303);
}

TEST_CASE("nothing is recorded while nobody is named who tells it") {
    RecordedDesk desk;
    desk.by.clear();
    const std::int64_t before = desk.newest();
    for (const auto& [address, fields] :
         {std::pair("/register/correct", correction(desk.first_run, before)),
          {"/register/link", {{"one", "P-0417"}, {"other_code", "S-1"}}},
          {"/register/backup", {}},
          {"/register/erase", {{"as", "P-0417"}, {"confirm", "P-0417"}}}}) {
        const desk::Reply reply = desk.post(address, fields);
        CHECK_MESSAGE(reply.status == 422, address);
        check_holds(reply, "Who tells it?");
    }
    CHECK(desk.newest() == before);
}

TEST_CASE("two codes become one person's, once") {
    const RecordedDesk desk;
    {
        auto into = registers::Register::open(desk.path("r.register"), registers::Access::Write);
        into.append(some_run("P-0900", 1, 7));
    }
    const DeskFixture::Fields fields = {
        {"one", "P-0417"}, {"other_code", "P-0900"}, {"newest", std::to_string(desk.newest())}};
    const desk::Reply reply = desk.post("/register/link", fields);
    CHECK(reply.status == 303);
    check_holds(desk.get(DeskFixture::leads_to(reply)), "P-0417, P-0900");
    CHECK(desk.post("/register/link", fields).status == 409);
    CHECK(desk.post("/register/link", {{"one", "P-0417"},
                                       {"other_code", "nobody"},
                                       {"newest", std::to_string(desk.newest())}})
              .status == 422);
}

TEST_CASE("a head that was noted is verified, and one that is none is refused") {
    const RecordedDesk desk;
    const std::string head =
        registers::Register::open(desk.path("r.register"), registers::Access::Read).head().text();
    check_holds(desk.post("/register/verify", {{"head", head}}), "Proven until entry");
    check_holds(desk.post("/register/verify", {}), "Not proven");
    CHECK(desk.post("/register/verify", {{"head", "12:abc"}}).status == 422);
    std::string other = head;
    other.back() = other.back() == '0' ? '1' : '0';
    check_holds(desk.post("/register/verify", {{"head", other}}), "NOT AS IT WAS RECORDED");
}

TEST_CASE("a backup lies beside the register and can be kept elsewhere") {
    const RecordedDesk desk;
    const desk::Reply reply = desk.post("/register/backup", {});
    CHECK(reply.status == 303);
    const std::string made = DeskFixture::leads_to(reply);
    check_holds(desk.get(made), "r-backup-");
    const std::string entry = made.substr(made.find("entry="));
    const desk::Reply copy = desk.get("/register/copy?" + entry);
    CHECK(copy.status == 200);
    std::ofstream(desk.path("copy.register"), std::ios::binary) << copy.body;
    const auto opened =
        registers::Register::open(desk.path("copy.register"), registers::Access::Verify);
    CHECK(opened.verify().is_intact());
    CHECK(desk.get("/register/copy?entry=1").status == 422);
    CHECK(desk.get("/register/copy?entry=../r.register").status == 422);
}

TEST_CASE("a backup that was made elsewhere is not handed out") {
    const RecordedDesk desk;
    std::int64_t entry = 0;
    {
        auto from = registers::Register::open(desk.path("r.register"), registers::Access::Write);
        entry = from.backup(desk.path("studies/elsewhere.register")).n;
    }
    CHECK(desk.get("/register/copy?entry=" + std::to_string(entry)).status == 422);
}

TEST_CASE("erasing says what it does and needs the code once more") {
    const RecordedDesk desk;
    const desk::Reply page = desk.get("/register/erase?as=P-0417");
    CHECK(page.status == 200);
    check_holds(page, "deleted for good");
    const std::int64_t before = desk.newest();
    CHECK(desk.post("/register/erase", {{"as", "P-0417"}, {"confirm", "P-0418"}}).status == 422);
    CHECK(desk.post("/register/erase", {{"as", "P-0417"}}).status == 422);
    CHECK(desk.post("/register/erase", {}).status == 422);
    CHECK(desk.newest() == before);
    const desk::Reply erased =
        desk.post("/register/erase", {{"as", "P-0417"}, {"confirm", "P-0417"}});
    CHECK(erased.status == 200);
    check_holds(erased, "Erased for good");
    CHECK(desk.get("/register/person?as=P-0417").status == 422);
}
