#include "files/output.hpp"

#include <algorithm>
#include <cerrno>
#include <climits>
#include <csignal>
#include <stdexcept>
#include <system_error>

#include <fmt/format.h>
#include <poll.h>
#include <unistd.h>

#include "earbudget/study/input_error.hpp"

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

OutputFiles::OutputFiles(const std::vector<OutputFile>& files, bool force) : force_(force) {
    for (const OutputFile& file : files) {
        check_can_write(file.path, force);
        drafts_.push_back(std::make_unique<DraftFile>(file.path, file.content));
    }
}

OutputFiles::~OutputFiles() = default;

void OutputFiles::move_one(std::size_t n) {
    DraftFile& draft = *drafts_[n];
    for (std::size_t k = 0; k < n; ++k) {
        // Some file systems take names for one that differ in small and capital letters.
        if (!drafts_[k]->stands_at(draft.place())) continue;
        throw InputError(
            {draft.place()},
            fmt::format("this is the same file as \"{}\"; accepted: a name for each output",
                        drafts_[k]->place()));
    }
    // After the last there is nothing that could still fail.
    const bool is_last = n + 1 == drafts_.size();
    draft.move_to_place(force_, !is_last);
}

std::string OutputFiles::left_behind_by_putting_back(std::size_t moved) {
    std::string left;
    while (moved-- > 0) {
        const DraftFile& draft = *drafts_[moved];
        if (drafts_[moved]->put_back()) continue;
        left += fmt::format("; \"{}\" is new and could not be put back{}", draft.place(),
                            draft.earlier().empty()
                                ? std::string()
                                : fmt::format(", what stood there is \"{}\"", draft.earlier()));
    }
    return left;
}

void OutputFiles::move_to_places() {
    const InterruptsWait between_two;
    std::size_t moved = 0;
    try {
        for (; moved < drafts_.size(); ++moved)
            move_one(moved);
    } catch (const std::exception& error) {
        const std::string left = left_behind_by_putting_back(moved);
        if (!left.empty()) throw std::runtime_error(error.what() + left);
        throw;
    }
}

void write_standard_output(std::string_view content) {
    while (!content.empty()) {
        const std::size_t room = await_room(STDOUT_FILENO, content.size());
        const ssize_t written = ::write(STDOUT_FILENO, content.data(), room);
        if (written < 0 && errno == EINTR) continue;
        if (written < 0) {
            throw std::system_error(errno, std::generic_category(), "cannot write standard output");
        }
        content.remove_prefix(static_cast<std::size_t>(written));
    }
}

}  // namespace earbudget::files
