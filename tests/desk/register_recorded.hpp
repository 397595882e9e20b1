#pragma once

#include <memory>
#include <string>

#include <nlohmann/json.hpp>

#include "desk/child.hpp"
#include "records/session_recorder.hpp"
#include "support/desk_fixture.hpp"

namespace earbudget::test {

/// A desk with a session of P-0417, beside whom S-1 stands, on a day of March 2024.
class RecordedDesk : public DeskFixture {
  public:
    RecordedDesk() {
        tell("2024-03-05T09:00:00+01:00", [this](records::SessionRecorder& recorder) {
            return recorder.start(
                {path("studies/plan.toml"), "pilot-a", "P-0417", {{"operator", "S-1"}}});
        });
        run("2024-03-05T09:05:00+01:00", "gre-3d", 240.0);
        first_run = newest() - 1;  // of two: P-0417 and S-1 hear it
        run("2024-03-05T09:20:00+01:00", "epi-fast", 360.0);
        tell("2024-03-05T09:40:00+01:00",
             [](records::SessionRecorder& recorder) { return recorder.end(); });
    }

    template <class Tell>
    records::SessionDone tell(const char* at, const Tell& what) const {
        auto into = registers::Register::open(path("r.register"), registers::Access::Write);
        records::SessionAsked asked{.by = "operator-1", .at = parse_rfc3339(at)};
        if (newest() > 0) asked.session = 1;
        records::SessionRecorder recorder(into, asked, "2024-03-05");
        return what(recorder);
    }
    void run(const char* at, const std::string& sequence, double seconds) const {
        tell(at, [&](records::SessionRecorder& recorder) {
            return recorder.run({.sequence = sequence, .lasting = Seconds(seconds)});
        });
    }
    [[nodiscard]] std::int64_t newest() const {
        return registers::Register::open(path("r.register"), registers::Access::Read).head().n;
    }
    /// What the command line answers.
    [[nodiscard]] nlohmann::json command(std::vector<std::string> words) const {
        words.insert(words.end(), {"--format", "json"});
        const desk::ChildAnswer answer = desk::run_child(EARBUDGET_PROGRAM, words, path("studies"));
        CAPTURE(answer.errors);
        REQUIRE((answer.status == 0 || answer.status == 1));
        return nlohmann::json::parse(answer.output);
    }

    std::int64_t first_run = 0;
};

inline void check_holds(const desk::Reply& reply, const std::string& words) {
    CHECK_MESSAGE(reply.body.find(words) != std::string::npos, words);
}
inline void check_lacks(const desk::Reply& reply, const std::string& words) {
    CHECK_MESSAGE(reply.body.find(words) == std::string::npos, words);
}

}  // namespace earbudget::test
