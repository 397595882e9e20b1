// A register that is too long to be read as a whole while a browser waits.
#include <chrono>
#include <thread>

#include "desk/jobs.hpp"
#include "desk/register_recorded.hpp"
#include "support/big_register.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

/// A desk on a register of a little more than what is read at once.
class LongDesk : public DeskFixture {
  public:
    LongDesk() {
        const BigRegister big{.sessions = 2'001, .people = 50, .body_bytes = 100};
        big.make(path("long.register"));
        opened.in_register = path("long.register");
    }
    /// The page of a job once it has ended.
    [[nodiscard]] desk::Reply ended(const desk::Reply& begun) const {
        REQUIRE(begun.status == 303);
        const std::string page = leads_to(begun);
        REQUIRE(page.starts_with("/register/job/"));
        constexpr std::chrono::milliseconds step(20);
        constexpr int most_steps = 3'000;
        desk::Reply reply = get(page);
        for (int n = 0; n < most_steps; ++n) {
            if (reply.body.find("data-live") == std::string::npos) break;
            std::this_thread::sleep_for(step);
            reply = get(page);
        }
        return reply;
    }
};

}  // namespace

TEST_CASE("a long register is verified, copied and added up beside the pages") {
    const LongDesk desk;
    CHECK(desk.get("/register").status == 200);
    check_holds(desk.get("/register"), "/register/due");
    const desk::Reply verified = desk.ended(desk.post("/register/verify", {}));
    check_holds(verified, "Nothing was changed, removed or moved");
    check_holds(verified, "20010 entries");
    check_lacks(verified, "Read with care</h2>");

    check_holds(desk.ended(desk.post("/register/backup", {})), "Copied: all until entry 20010");

    const desk::Reply begun = desk.get("/register/download?of=totals&format=csv");
    const desk::Reply totals = desk.ended(begun);
    check_holds(totals, "Keep the file");
    const desk::Reply table = desk.get(DeskFixture::leads_to(begun) + "/file");
    CHECK(table.type.starts_with("text/csv"));
    check_holds(table, "as,");

    const desk::Reply refused = desk.ended(desk.get("/register/study?title=%3Cb%3Eno"));
    check_holds(refused, "That could not be done");
    check_holds(refused, "&lt;b&gt;no");
    CHECK(desk.get("/register/job/0123456789abcdef").status == 422);
}

TEST_CASE("damage of a long register is named on the page of its verification") {
    const LongDesk desk;
    tamper(desk.path("long.register"),
           "UPDATE content SET body = replace(body, 'epi', 'gre') WHERE n = 777");
    const desk::Reply verified = desk.ended(desk.post("/register/verify", {}));
    check_holds(verified, "NOT AS IT WAS RECORDED");
    check_holds(verified, "entry 777: its content is not what was recorded");
}
