#include "files/interrupts_wait.hpp"

#include <algorithm>
#include <climits>
#include <csignal>

#include <poll.h>

namespace earbudget::files {

namespace {

constexpr int interrupts[] = {SIGINT, SIGTERM, SIGHUP, SIGQUIT};

thread_local unsigned reasons_to_wait = 0;
thread_local sigset_t before_waiting = {};

/// One that is ignored, as by nohup, ends nothing and need not wait.
bool is_ignored(int interrupt) {
    struct sigaction action = {};
    return ::sigaction(interrupt, nullptr, &action) == 0 && action.sa_handler == SIG_IGN;
}

bool one_has_come() {
    sigset_t come;
    sigemptyset(&come);
    if (::sigpending(&come) != 0) return false;
    return std::ranges::any_of(interrupts, [&come](int interrupt) {
        return sigismember(&come, interrupt) == 1 && sigismember(&before_waiting, interrupt) == 0;
    });
}

}  // namespace

InterruptsWait::InterruptsWait() {
    if (reasons_to_wait++ > 0) return;
    sigset_t waiting;
    sigemptyset(&waiting);
    for (const int interrupt : interrupts)
        if (!is_ignored(interrupt)) sigaddset(&waiting, interrupt);
    ::pthread_sigmask(SIG_BLOCK, &waiting, &before_waiting);
}

InterruptsWait::~InterruptsWait() {
    if (--reasons_to_wait == 0) ::pthread_sigmask(SIG_SETMASK, &before_waiting, nullptr);
}

unsigned long await_room(int descriptor, unsigned long wanted) {
    if (reasons_to_wait == 0) return wanted;
    constexpr int milliseconds = 100;
    pollfd room{.fd = descriptor, .events = POLLOUT, .revents = 0};
    int found = 0;
    do {
        if (one_has_come()) throw Interrupted();
        found = ::poll(&room, 1, milliseconds);
    } while (found == 0);
    // A pipe that has room has it for so much (POSIX, write).
    return std::min<unsigned long>(wanted, PIPE_BUF);
}

}  // namespace earbudget::files
