// Without threads, or with fewer than asked for, every command prints the same bytes.
#include <cstdlib>
#include <functional>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <grp.h>
#include <sndfile.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include "support/program.hpp"
#include "support/temporary_folder.hpp"

// Sanitizers need a thread of their own, and no library before theirs.
#ifndef EARBUDGET_SANITIZED

using namespace earbudget::test;

namespace {

using Words = std::vector<std::string>;

const std::string saltmarsh = EARBUDGET_SOURCE_DIR "/sequences/saltmarsh/";
const std::string recordings = EARBUDGET_SOURCE_DIR "/recordings/";

/// Four channels, so that several threads would share them.
void write_four_channels(const std::string& path) {
    SF_INFO info{0, 16000, 4, SF_FORMAT_WAV | SF_FORMAT_PCM_16, 0, 0};
    SNDFILE* file = sf_open(path.c_str(), SFM_WRITE, &info);
    REQUIRE(file);
    std::vector<short> frames(4 * 32000);
    for (std::size_t n = 0; n < frames.size(); ++n)
        frames[n] = static_cast<short>((n * 7919) % 20011 - 10000);
    REQUIRE(sf_writef_short(file, frames.data(), 32000) == 32000);
    sf_close(file);
}

/// Every command, with several people, files or channels.
std::vector<Words> commands(const std::string& four_channels) {
    const Words date = {"--date", "2026-01-31"};
    std::vector<Words> all = {
        {"assess", saltmarsh + "plan.toml"},
        {"assess", saltmarsh + "plan.toml", "--format", "json", "--working"},
        {"assess", saltmarsh + "plan.toml", "--format", "html"},
        {"choose", saltmarsh + "plan.toml", "--format", "json"},
        {"ratings", saltmarsh + "protectors.toml"},
        {"review", saltmarsh + "cards/epi-2mm.toml", saltmarsh + "cards/gre-3d.toml",
         "--protectors", saltmarsh + "protectors.toml"},
        {"predict", saltmarsh + "waveforms/epi-2mm.seq", "--format", "json"},
        {"measure", recordings + "localiser.flac", recordings + "gre-3d.flac", "--full-scale-level",
         "130", "--format", "json"},
        {"measure", four_channels, "--full-scale-level", "130", "--format", "json"}};
    for (Words& words : all)
        words.insert(words.end(), date.begin(), date.end());
    return all;
}

void check_same(const Outcome& outcome, const Outcome& expected) {
    CHECK(outcome.status == expected.status);
    CHECK(outcome.output == expected.output);
    CHECK(outcome.errors == expected.errors);
}

}  // namespace

TEST_CASE("threads that cannot be started, all or later ones, change no byte of any report") {
    const TemporaryFolder folder;
    const std::string four_channels = folder.path("four.wav");
    write_four_channels(four_channels);
    bool asked_for_threads = ::sysconf(_SC_NPROCESSORS_ONLN) == 1;
    for (const Words& words : commands(four_channels)) {
        const auto run = [&](const std::string& failing) {
            return run_restricted(
                [&] {
                    ::setenv("LD_PRELOAD", EARBUDGET_FAIL_CALLS, 1);
                    ::setenv("EARBUDGET_FAIL", failing.c_str(), 1);
                    ::setenv("EARBUDGET_FAIL_COUNT", folder.path("count").c_str(), 1);
                },
                EARBUDGET_PROGRAM, words, "/");
        };
        const Outcome expected = run("thread:0");
        CAPTURE(words.front());
        REQUIRE(expected.output.size() > 100);
        asked_for_threads = asked_for_threads || content_of(folder.path("count")) != "0";
        for (const std::string failing : {"thread:1+", "thread:2+", "thread:1"}) {
            CAPTURE(failing);
            check_same(run(failing), expected);
        }
    }
    CHECK(asked_for_threads);
}

TEST_CASE("a user who may have no more processes gets the same reports") {
    const TemporaryFolder folder;
    const std::string four_channels = folder.path("four.wav");
    write_four_channels(four_channels);
    REQUIRE(::chmod(folder.path("").c_str(), 0755) == 0);
    // The limit does not hold for the administrator.
    const auto become_limited = [] {
        constexpr rlimit one{1, 1};
        constexpr unsigned nobody_else = 54'321;
        if (::setrlimit(RLIMIT_NPROC, &one) != 0) ::_exit(125);
        if (::geteuid() == 0 && (::setgroups(0, nullptr) != 0 || ::setgid(nobody_else) != 0 ||
                                 ::setuid(nobody_else) != 0))
            ::_exit(125);
    };
    const auto all = commands(four_channels);
    for (const Words& words : {all[0], all[6], all[7]}) {
        CAPTURE(words.front());
        const Outcome limited = run_restricted(become_limited, EARBUDGET_PROGRAM, words, "/");
        if (limited.status == 127) {
            MESSAGE("the program lies where no other user may run it; the case above tries all");
            return;
        }
        check_same(limited, run_program(words));
    }
}

#endif
