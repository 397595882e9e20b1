// Years of sessions: what is asked while a session runs does not look through all of them.
#include <algorithm>
#include <cstdlib>
#include <ctime>

#include "support/big_register.hpp"
#include "support/register_file.hpp"

using namespace earbudget;
using namespace earbudget::registers;
using namespace earbudget::test;

namespace {

/// The least processor time of some runs: what else the machine does is in the others.
template <class Work>
double least_ms(int runs, Work&& work) {
    double least = 1e9;
    for (int n = 0; n < runs; ++n) {
        const std::clock_t begin = std::clock();
        work();
        least = std::min(least, static_cast<double>(std::clock() - begin) * 1e3 / CLOCKS_PER_SEC);
    }
    return least;
}

}  // namespace

TEST_CASE("a person's week, a session and the end are found without looking through all") {
    const QuickFolder folder;
    const std::string path = folder.path("r");
    const bool whole = std::getenv("EARBUDGET_NIGHTLY") != nullptr;
    const BigRegister big{.sessions = whole ? 100'000 : 3'000, .people = whole ? 25'000 : 750};
    big.make(path);
    constexpr std::int64_t day = 24LL * 3600 * 1000;
    const std::int64_t session = big.sessions / 2;
    const Instant from{big.start_of(session) - 6 * day}, to{big.start_of(session) + day};
    CHECK(least_ms(20, [&] { static_cast<void>(Register::open(path, Access::Read).head()); }) <
          5.0);
    auto target = Register::open(path, Access::Write);
    std::size_t told = 0;
    // Some 0.1 ms and 60 ms; a look through all would take 6 µs for each entry.
    CHECK(least_ms(20, [&] { told = target.of_person(big.code_of(session), from, to).size(); }) <
          5.0);
    CHECK(told >= 10);
    CHECK(least_ms(20, [&] { told = target.of_session(session + 1).size(); }) < 5.0);
    CHECK(told == 10);
    CHECK(least_ms(20, [&] { static_cast<void>(target.next_session()); }) < 5.0);
    CHECK(least_ms(20, [&] { static_cast<void>(target.newest_session()); }) < 5.0);
    CHECK(least_ms(20, [&] { static_cast<void>(target.backups()); }) < 5.0);
    told = 0;
    const Instant month_end{big.start_of(session) + 30 * day};
    CHECK(least_ms(1, [&] {
              target.each({big.start_of(session)}, month_end, [&](const Entry&) { ++told; });
          }) < 300.0);
    CHECK(told == static_cast<std::size_t>(
                      std::min<std::int64_t>(big.sessions - session,
                                             30 * day / BigRegister::between_sessions_ms) *
                      10));
    CHECK(target.verify().is_intact());
}
