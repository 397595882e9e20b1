#pragma once

#include <cmath>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "earbudget/acoustics/units.hpp"
#include "earbudget/computing/instant.hpp"
#include "files/study_files.hpp"
#include "register/register.hpp"
#include "support/holds.hpp"
#include "support/program.hpp"
#include "support/temporary_folder.hpp"

namespace earbudget::test {

/// A register in a folder of its own, told by the program what happens, and the clock of who tells.
class SessionDesk {
  public:
    using Words = std::vector<std::string>;
    using Json = nlohmann::json;

    explicit SessionDesk(const std::string& begin, const std::string& zone = "Europe/Berlin")
        : clock_(parse_rfc3339(begin).value().at) {
        registers::Register::create(file(), {.title = "test", .time_zone = zone});
    }

    [[nodiscard]] std::string file() const { return folder_.path("sessions.register"); }
    [[nodiscard]] const TemporaryFolder& folder() const { return folder_; }
    [[nodiscard]] std::string clock() const { return rfc3339({clock_, 0}); }
    void wait(Seconds time) { clock_.ms += std::llround(time.count() * 1000.0); }

    /// "session", the words, the register.
    [[nodiscard]] Outcome run(Words words) const {
        words.insert(words.begin(), "session");
        words.insert(words.end(), {"--register", file()});
        return run_short(words);
    }
    [[nodiscard]] Outcome run_now(Words words) const {
        words.insert(words.end(), {"--at", clock()});
        return run(std::move(words));
    }
    /// What must be recorded.
    std::string tell(Words words) const {
        const Outcome outcome = run_now(std::move(words));
        CAPTURE(outcome.errors);
        CHECK(outcome.status == 0);
        return outcome.output;
    }
    [[nodiscard]] Json ask(Words words) const {
        words.insert(words.end(), {"--format", "json"});
        const Outcome outcome = run_now(std::move(words));
        CAPTURE(outcome.errors);
        REQUIRE((outcome.status == 0 || outcome.status == 1));
        return Json::parse(outcome.output);
    }
    /// What must be refused, with nothing recorded.
    [[nodiscard]] std::string refused(Words words) const {
        return refusal(run_now(std::move(words)));
    }
    [[nodiscard]] std::string refusal(const Outcome& outcome) const {
        CHECK(outcome.status == 2);
        CHECK(outcome.output.empty());
        return outcome.errors;
    }

    void start(const std::string& plan, const std::string& person, const std::string& as,
               const Words& more = {}) const {
        Words words = {"start", plan, "--person", person, "--as", as};
        words.insert(words.end(), more.begin(), more.end());
        tell(words);
    }
    void run_for(const std::string& sequence, Seconds time) {
        tell({"run", sequence, "--for", std::to_string(std::llround(time.count())) + " s"});
        wait(time);
    }
    /// The timeline as it stands.
    void run_as_planned(const Plan& plan) {
        for (const TimelineRow& row : plan.timeline) {
            for (unsigned n = 0; n < row.repeat; ++n) {
                if (row.sequence) {
                    run_for(plan.sequences[*row.sequence].id, row.duration);
                } else {
                    wait(row.duration);
                }
            }
        }
    }

    /// Entries until now.
    [[nodiscard]] std::int64_t entries() const {
        return registers::Register::open(file(), registers::Access::Read).head().n;
    }

  private:
    TemporaryFolder folder_;
    Instant clock_;
};

inline const std::string demo_plan = EARBUDGET_SOURCE_DIR "/sequences/saltmarsh/plan.toml";

/// Whether an answer has a note of this code.
inline bool has_note(const nlohmann::json& answer, const std::string& code) {
    for (const auto& note : answer.at("notes"))
        if (note.at("code") == code) return true;
    return false;
}

/// The runs left of a sequence in an answer of session next.
inline nlohmann::json left_of(const nlohmann::json& next, const std::string& sequence) {
    for (const auto& left : next.at("sequences"))
        if (left.at("id") == sequence) return left;
    return nullptr;
}

}  // namespace earbudget::test
