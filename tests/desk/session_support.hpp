#pragma once

#include <charconv>
#include <string>

#include "desk/desk.hpp"
#include "records/session_recorder.hpp"
#include "records/session_show.hpp"
#include "support/desk_fixture.hpp"
#include "support/holds.hpp"

namespace earbudget::test {

/// A session that is run by forms alone, as a browser would send them.
class SessionByForms : public DeskFixture {
  public:
    /// Begins one and gives its number.
    std::int64_t begin(const std::string& as = "P-1", const Fields& more = {}) {
        Fields fields = {{"plan", "plan.toml"}, {"person", "pilot-a"}, {"as", as}, {"by", "S-1"}};
        fields.insert(fields.end(), more.begin(), more.end());
        desk::Reply reply = post("/session", fields);
        if (leads_to(reply).empty()) {  // what was heard before is read first
            fields.emplace_back("read", value_of(reply.body, "read"));
            reply = post("/session", fields);
        }
        REQUIRE_MESSAGE(reply.status == 303, reply.body);
        number = std::stoll(leads_to(reply).substr(std::string("/session/").size()));
        by = "S-1";
        return number;
    }

    [[nodiscard]] std::string address() const { return "/session/" + std::to_string(number); }
    [[nodiscard]] std::string page() const {
        const desk::Reply reply = get(address());
        CHECK(reply.status == 200);
        return reply.body;
    }

    /// Presses a button of the page as it is now.
    desk::Reply press(const std::string& act, const Fields& more = {}) const {
        return press_of(page(), act, more);
    }
    /// The same of a page that was made before.
    desk::Reply press_of(const std::string& of_page, const std::string& act,
                         const Fields& more = {}) const {
        Fields fields = {{"seen", value_of(of_page, "seen")}, {"act", act}};
        fields.insert(fields.end(), more.begin(), more.end());
        return post(address(), fields);
    }
    void pressed(const std::string& act, const Fields& more = {}) const {
        const desk::Reply reply = press(act, more);
        CHECK_MESSAGE(reply.status == 303, reply.body);
    }

    /// The first hidden field of that name.
    [[nodiscard]] static std::string value_of(const std::string& page, const std::string& name) {
        const std::string begin = "name=\"" + name + "\" value=\"";
        const std::size_t at = page.find(begin);
        if (at == std::string::npos) return "";
        const std::size_t from = at + begin.size();
        return page.substr(from, page.find('"', from) - from);
    }

    [[nodiscard]] registers::Register reg(
        registers::Access access = registers::Access::Read) const {
        return registers::Register::open(path("r.register"), access);
    }
    [[nodiscard]] std::int64_t entries() const { return reg().head().n; }

    /// Tells of a moment in the past, as the command line does with --at.
    [[nodiscard]] records::SessionRecorder recorder(registers::Register& into, Seconds ago) const {
        const Instant at{now().ms - static_cast<std::int64_t>(ago.count() * 1000.0)};
        return {into,
                {.session = number > 0 ? std::optional(number) : std::nullopt,
                 .by = "S-1",
                 .at = StatedInstant{at, 60}},
                "2026-11-29"};
    }
    /// A session that began so long ago.
    void began(Seconds ago, const std::string& as = "P-1") {
        auto into = reg(registers::Access::Write);
        number = recorder(into, ago)
                     .start({.plan = path("studies/plan.toml"), .person = "pilot-a", .as = as})
                     .session;
        by = "S-1";
    }

    std::int64_t number = 0;
};

}  // namespace earbudget::test
