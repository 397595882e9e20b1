// Times and memory of a register with many sessions: benchmark_register FOLDER [SESSIONS
// [BODY_BYTES]]
#include "register/register.hpp"

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>

#include "support/big_register.hpp"

using namespace earbudget;
using namespace earbudget::registers;

namespace {

template <class Work>
double milliseconds(Work&& work) {
    const auto start = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start)
        .count();
}

template <class Work>
void report(const char* what, int times, Work&& work) {
    const double all = milliseconds([&] {
        for (int n = 0; n < times; ++n)
            work(n);
    });
    std::printf("%-46s %10.3f ms\n", what, all / times);
}

long peak_MB() {
    std::ifstream status("/proc/self/status");
    for (std::string line; std::getline(status, line);)
        if (line.starts_with("VmHWM:")) return std::atol(line.c_str() + 6) / 1024;
    return 0;
}

}  // namespace

int main(int count, char** words) {
    if (count < 2) return 2;
    const std::string path = std::string(words[1]) + "/benchmark.register";
    test::BigRegister big{.sessions = 100'000, .people = 25'000};
    if (count > 2) big.sessions = std::atol(words[2]);
    big.people = big.sessions / 4 + 1;
    if (count > 3) big.body_bytes = static_cast<std::size_t>(std::atol(words[3]));
    if (!std::filesystem::exists(path)) report("making it", 1, [&](int) { big.make(path); });
    std::printf("%-46s %10ju MB\n", "its file", std::filesystem::file_size(path) >> 20U);
    constexpr std::int64_t day = 24LL * 3600 * 1000;
    const std::int64_t middle = big.start_of(big.sessions / 2);
    report("opening, reading one head", 20,
           [&](int) { static_cast<void>(Register::open(path, Access::Read).head()); });
    {
        auto target = Register::open(path, Access::Write);
        std::size_t entries = 0;
        report("of_person, a week", 200, [&](int n) {
            const std::int64_t session = big.sessions / 2 + n * 37;
            const std::int64_t at = big.start_of(session % big.sessions);
            entries += target.of_person(big.code_of(session), {at - 6 * day}, {at + day}).size();
        });
        std::printf("%-46s %10zu\n", "  entries told, in all", entries);
        report("of_session", 200, [&](int n) { static_cast<void>(target.of_session(n * 41 + 1)); });
        report("appending, each stored", 50,
               [&](int n) { target.append(big.run(big.sessions, n)); });
        report("next_session", 20, [&](int) { static_cast<void>(target.next_session()); });
        std::size_t told = 0;
        report("each, a month", 3, [&](int) {
            target.each({middle}, {middle + 30 * day}, [&](const Entry&) { ++told; });
        });
        std::printf("%-46s %10zu\n", "  entries told, each time", told / 3);
        report("backups", 20, [&](int) { static_cast<void>(target.backups()); });
        report("codes", 1, [&](int) { static_cast<void>(target.codes()); });
        std::printf("%-46s %10ld MB\n", "peak of memory until here", peak_MB());
        report("each, all", 1, [&](int) { target.each({0}, {1LL << 50}, [](const Entry&) {}); });
        std::printf("%-46s %10ld MB\n", "peak of memory until here", peak_MB());
        report("verify", 1, [&](int) { static_cast<void>(target.verify()); });
        report("backup", 1, [&](int) {
            std::filesystem::remove(path + ".copy");
            static_cast<void>(target.backup(path + ".copy"));
        });
        report("erase", 1, [&](int) { static_cast<void>(target.erase(big.code_of(5))); });
    }
    std::printf("%-46s %10ld MB\n", "peak of memory in all", peak_MB());
    return 0;
}
