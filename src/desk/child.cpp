#include "desk/child.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <csignal>
#include <cstdint>
#include <system_error>
#include <thread>

#include <fcntl.h>
#include <poll.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

namespace earbudget::desk {

namespace {

using Clock = std::chrono::steady_clock;

class Pipe {
  public:
    Pipe() {
        if (::pipe2(ends_.data(), O_CLOEXEC) != 0)
            throw std::system_error(errno, std::generic_category(), "no pipe to a process");
    }
    Pipe(const Pipe&) = delete;
    Pipe& operator=(const Pipe&) = delete;
    ~Pipe() {
        close_end(0);
        close_end(1);
    }
    [[nodiscard]] int reads() const { return ends_[0]; }
    [[nodiscard]] int writes() const { return ends_[1]; }
    void close_end(std::size_t which) {
        if (ends_.at(which) >= 0) ::close(ends_.at(which));
        ends_.at(which) = -1;
    }

  private:
    std::array<int, 2> ends_{-1, -1};
};

void limit(int what, rlim_t most) {
    const rlimit both{most, most};
    static_cast<void>(::setrlimit(static_cast<__rlimit_resource_t>(what), &both));
}

/// Between fork and exec nothing but system calls may be made: other threads may have held locks.
[[noreturn]] void become(const char* const* arguments, const char* folder, int output, int errors,
                         pid_t desk, const ChildLimits& limits) {
    constexpr int could_not = 127;
    const int nothing = ::open("/dev/null", O_RDONLY);
    ::dup2(nothing, STDIN_FILENO);
    ::dup2(output, STDOUT_FILENO);
    ::dup2(errors, STDERR_FILENO);
    static_cast<void>(::close_range(STDERR_FILENO + 1, ~0U, 0));
    // The desk waits for signals in one thread and blocks them; the child ends by them, and with
    // the desk, and gains no rights by what it may start.
    sigset_t none;
    ::sigemptyset(&none);
    ::sigprocmask(SIG_SETMASK, &none, nullptr);
    ::prctl(PR_SET_PDEATHSIG, SIGKILL);
    ::prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0);
    if (::getppid() != desk) ::_exit(could_not);  // it ended in between
    limit(RLIMIT_CPU, static_cast<rlim_t>(limits.longest.count()));
    limit(RLIMIT_FSIZE, limits.written_file_bytes);
    limit(RLIMIT_CORE, 0);
#ifndef __SANITIZE_ADDRESS__  // whose shadow needs far more addresses than memory
    limit(RLIMIT_AS, limits.memory_bytes);
#endif
    if (::chdir(folder) != 0) ::_exit(could_not);
    // NOLINTNEXTLINE(cppcoreguidelines-pro-type-const-cast): exec changes no argument.
    ::execv(arguments[0], const_cast<char* const*>(arguments));
    ::_exit(could_not);
}

/// Takes what is there; false once the other side has closed.
bool take(int from, std::string& into, std::size_t most) {
    std::array<char, 16384> bytes{};
    const ssize_t got = ::read(from, bytes.data(), bytes.size());
    if (got < 0) return errno == EINTR;
    if (got == 0) return false;
    // What is more than anybody reads is taken, so that the child can end, and forgotten.
    if (into.size() + static_cast<std::size_t>(got) <= most)
        into.append(bytes.data(), static_cast<std::size_t>(got));
    return true;
}

/// So often a child that is to end before its time is thought of. Own choice.
constexpr std::int64_t look_again_ms = 200;

/// Reads both until they end; false when the time is over before.
bool read_all(Pipe& output, Pipe& errors, ChildAnswer& answer, Clock::time_point until,
              const ChildLimits& limits) {
    bool more_output = true, more_errors = true;
    while (more_output || more_errors) {
        const auto left =
            std::chrono::duration_cast<std::chrono::milliseconds>(until - Clock::now()).count();
        if (left <= 0 || (limits.ends && *limits.ends)) return false;
        std::array<pollfd, 2> watched = {{{more_output ? output.reads() : -1, POLLIN, 0},
                                          {more_errors ? errors.reads() : -1, POLLIN, 0}}};
        const std::int64_t longest = limits.ends ? std::min(left, look_again_ms) : left;
        const int ready = ::poll(watched.data(), watched.size(), static_cast<int>(longest));
        if (ready < 0 && errno != EINTR) return false;
        if (ready <= 0) continue;
        if (watched[0].revents != 0)
            more_output = take(output.reads(), answer.output, limits.output_bytes);
        if (watched[1].revents != 0)
            more_errors = take(errors.reads(), answer.errors, limits.output_bytes);
    }
    return true;
}

/// Waits for a child that has closed what it writes to, which does not say that it ends.
bool has_ended(pid_t child, int& status, Clock::time_point until) {
    constexpr std::chrono::milliseconds until_next_look{5};
    for (;;) {
        const pid_t ended = ::waitpid(child, &status, WNOHANG);
        if (ended == child) return true;
        if ((ended < 0 && errno != EINTR) || Clock::now() >= until) return false;
        std::this_thread::sleep_for(until_next_look);
    }
}

}  // namespace

ChildAnswer run_child(const std::string& program, const std::vector<std::string>& arguments,
                      const std::string& folder, const ChildLimits& limits) {
    std::vector<const char*> words = {program.c_str()};
    for (const std::string& argument : arguments)
        words.push_back(argument.c_str());
    words.push_back(nullptr);
    Pipe output, errors;
    const auto until = Clock::now() + limits.longest;
    const pid_t desk = ::getpid();
    const pid_t child = ::fork();
    if (child < 0) throw std::system_error(errno, std::generic_category(), "no process");
    if (child == 0)
        become(words.data(), folder.c_str(), output.writes(), errors.writes(), desk, limits);
    output.close_end(1);
    errors.close_end(1);
    ChildAnswer answer;
    answer.too_long = !read_all(output, errors, answer, until, limits);
    int status = 0;
    if (!answer.too_long) answer.too_long = !has_ended(child, status, until);
    if (answer.too_long) {
        ::kill(child, SIGKILL);
        while (::waitpid(child, &status, 0) < 0 && errno == EINTR) {
        }
    }
    if (WIFEXITED(status)) answer.status = WEXITSTATUS(status);
    return answer;
}

}  // namespace earbudget::desk
