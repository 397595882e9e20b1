#include "cli/last_resort.hpp"

#include <atomic>
#include <exception>
#include <new>
#include <string_view>

#include <unistd.h>

#include "cli/exit_status.hpp"

namespace earbudget::cli {

namespace {

using namespace std::string_view_literals;

constexpr std::string_view no_memory = "earbudget: the machine has not enough memory\n";

void write_line(std::string_view line) {
    // There is nobody to tell of a line that cannot be written.
    static_cast<void>(!::write(STDERR_FILENO, line.data(), line.size()));
}

/// Several threads may come here at once: the first speaks, and ends all.
[[noreturn]] void end_with(std::string_view line) {
    static std::atomic_flag is_ending = ATOMIC_FLAG_INIT;
    while (is_ending.test_and_set())
        ::pause();
    write_line(line);
    ::_exit(fault);
}

}  // namespace

void install_last_resorts() {
    std::set_new_handler([] { end_with(no_memory); });
    std::set_terminate(
        [] { end_with("earbudget: a fault of the program, or no memory to tell which\n"sv); });
}

void say_no_memory() { write_line(no_memory); }

}  // namespace earbudget::cli
