#pragma once

#include <algorithm>
#include <cstdint>
#include <string>

#include "register/register.hpp"

namespace earbudget::test {

/// A register as a busy site has it after years: sessions that follow each other, each with ten
/// runs of a person who comes back now and then.
struct BigRegister {
    std::int64_t sessions = 1000;
    std::int64_t people = 250;
    std::size_t body_bytes = 600;

    static constexpr int runs_a_session = 10;
    static constexpr std::int64_t begin_ms = 1'500'000'000'000;
    static constexpr std::int64_t between_sessions_ms = 45 * 60'000;

    [[nodiscard]] std::string code_of(std::int64_t session) const {
        return "P-" + std::to_string(session * 7919 % people);
    }
    [[nodiscard]] static std::int64_t start_of(std::int64_t session) {
        return begin_ms + session * between_sessions_ms;
    }
    [[nodiscard]] std::int64_t end_ms() const { return start_of(sessions); }

    [[nodiscard]] registers::NewEntry run(std::int64_t session, int n) const {
        constexpr std::int64_t minute = 60'000;
        const std::int64_t from = start_of(session) + n * 4 * minute;
        std::string body =
            "{\"sequence\":\"epi\",\"run\":" + std::to_string(n) + ",\"exposure\":\"";
        body.append(std::max<std::size_t>(body.size() + 2, body_bytes) - body.size() - 2, 'x');
        return {.kind = registers::EntryKind::Run,
                .as = code_of(session),
                .by = "operator-1",
                .session = session + 1,
                .from = {from},
                .to = {from + 3 * minute},
                .body = body + "\"}",
                .offset_minutes = 60};
    }

    /// Makes it, a thousand sessions at once.
    void make(const std::string& path) const {
        registers::Register::create(path, {.title = "Saltmarsh", .time_zone = "UTC"});
        auto target = registers::Register::open(path, registers::Access::Write);
        constexpr std::int64_t at_once = 1000;
        for (std::int64_t first = 0; first < sessions; first += at_once) {
            target.in_one([&] {
                for (std::int64_t n = first; n < std::min(first + at_once, sessions); ++n)
                    for (int k = 0; k < runs_a_session; ++k)
                        target.append(run(n, k));
            });
        }
    }
};

}  // namespace earbudget::test
