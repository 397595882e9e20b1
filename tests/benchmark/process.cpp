#include "benchmark/process.hpp"

#include <chrono>
#include <csignal>
#include <stdexcept>

#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

namespace earbudget::benchmark {

namespace {

volatile std::sig_atomic_t interrupted = 0;

[[noreturn]] void become(char* const* arguments) {
    const int nowhere = ::open("/dev/null", O_WRONLY);
    ::dup2(nowhere, STDOUT_FILENO);
    ::execv(arguments[0], arguments);
    ::_exit(127);
}

double seconds(const timeval& time) {
    return static_cast<double>(time.tv_sec) + 1e-6 * static_cast<double>(time.tv_usec);
}

}  // namespace

double CPU_seconds(const rusage& used) { return seconds(used.ru_utime) + seconds(used.ru_stime); }

Cost cost_of(const Command& command) {
    throw_if_interrupted();
    std::vector<char*> arguments;
    for (const std::string& word : command)
        arguments.push_back(const_cast<char*>(word.c_str()));
    arguments.push_back(nullptr);

    const auto start = std::chrono::steady_clock::now();
    const pid_t child = ::fork();
    if (child < 0) throw std::runtime_error("cannot start a process");
    if (child == 0) become(arguments.data());
    int status = 0;
    rusage used{};
    const pid_t ended = ::wait4(child, &status, 0, &used);
    const std::chrono::duration<double> wall = std::chrono::steady_clock::now() - start;

    throw_if_interrupted();
    if (ended != child || !WIFEXITED(status) || WEXITSTATUS(status) != 0) {
        throw std::runtime_error("failed: " + command.front());
    }
    // Linux counts in KiB. The fork's own few MB before it becomes the program count too: what
    // runs this must stay smaller than what it measures.
    return {wall.count(), CPU_seconds(used), static_cast<double>(used.ru_maxrss) * 1024e-6};
}

void end_in_order_when_interrupted() {
    for (const int signal : {SIGINT, SIGTERM})
        std::signal(signal, [](int) { interrupted = 1; });
}

void throw_if_interrupted() {
    if (interrupted) throw std::runtime_error("interrupted");
}

}  // namespace earbudget::benchmark
