#include "cli/messages.hpp"

#include <algorithm>
#include <atomic>
#include <cstdio>
#include <exception>
#include <new>
#include <string_view>

#include <fmt/format.h>
#include <unistd.h>

#include "earbudget/study/visible_text.hpp"

namespace earbudget::cli {

namespace {

/// Texts of users may be of any length: of those too long for a message its ends are shown, where
/// it says where, and what is accepted.
std::string of_bearable_length(const std::string& message) {
    constexpr std::size_t longest = 4000;
    constexpr std::size_t shown_of_end = 500;
    if (message.size() <= longest) return message;
    std::size_t begin = longest - shown_of_end;
    std::size_t end = message.size() - shown_of_end;
    // Characters have at most four bytes.
    const auto continues = [&message](std::size_t at) { return (message[at] & 0xC0) == 0x80; };
    for (int n = 0; n < 3 && continues(begin); ++n)
        --begin;
    for (int n = 0; n < 3 && continues(end); ++n)
        ++end;
    return message.substr(0, begin) + " … " + message.substr(end);
}

}  // namespace

void say(const std::string& message) {
    std::fprintf(stderr, "%s\n", of_bearable_length(visible_text(message)).c_str());
}

void say_passing(const std::string& message) {
    // To the line's begin, and the rest of it erased (ECMA-48: CR, EL).
    std::fprintf(stderr, "\r%s\x1b[K", message.c_str());
    std::fflush(stderr);
}

void say_errors(const files::InputErrors& errors) {
    constexpr std::size_t most_said = 20;
    const auto& all = errors.all();
    for (std::size_t n = 0; n < std::min(all.size(), most_said); ++n)
        say(all[n].what());
    const std::size_t more = errors.unlisted() + all.size() - std::min(all.size(), most_said);
    if (more > 0) say(fmt::format("earbudget: and {} more", more));
}

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
