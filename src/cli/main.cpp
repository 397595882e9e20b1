#include <csignal>
#include <exception>
#include <new>
#include <string>

#include <fcntl.h>
#ifdef __GLIBC__
#include <malloc.h>
#endif
#include <unistd.h>

#include "cli/messages.hpp"
#include "cli/parse_command_line.hpp"
#include "earbudget/study/input_error.hpp"
#include "report/words/words.hpp"

namespace {

using namespace earbudget;

/// A file must not be given the number of a standard stream that was closed by whoever started the
/// program, and then be written into.
void occupy_standard_streams() {
    for (int stream = STDIN_FILENO; stream <= STDERR_FILENO; ++stream) {
        if (::fcntl(stream, F_GETFD) >= 0) continue;
        // Opened for the other direction, so that using it is the fault that it was.
        static_cast<void>(::open("/dev/null", stream == STDIN_FILENO ? O_WRONLY : O_RDONLY));
    }
}

/// Before the first object of the program is made, which may need memory.
[[gnu::constructor(101)]] void begin() { cli::install_last_resorts(); }

/// Draws are made and forgotten thousands of times: memory given back to the system each time costs
/// as much as the draws.
void keep_memory() {
#ifdef __GLIBC__
    constexpr int of_one_piece = 32 << 20, in_all = 64 << 20;
    ::mallopt(M_MMAP_THRESHOLD, of_one_piece);
    ::mallopt(M_TRIM_THRESHOLD, in_all);
#endif
}

}  // namespace

int main(int count, char** arguments) {
    // A closed pipe and a size limit are errors of writing like any other, not a silent end.
    std::signal(SIGPIPE, SIG_IGN);
    std::signal(SIGXFSZ, SIG_IGN);
    occupy_standard_streams();
    keep_memory();
    try {
        return cli::run_command_line(count, arguments);
    } catch (const files::InputErrors& errors) {
        cli::say_errors(errors);
        return cli::bad_input;
    } catch (const InputError& error) {
        cli::say(error.what());
        return cli::bad_input;
    } catch (const Obstacle& obstacle) {
        cli::say(text_of(obstacle));
        return cli::bad_input;
    } catch (const cli::UsageProblem& problem) {
        cli::say(problem.what());
        for (const std::string& line : problem.help())
            cli::say(line);
        return cli::bad_input;
    } catch (const std::bad_alloc&) {
        cli::say_no_memory();
    } catch (const std::exception& error) {
        cli::say(std::string("earbudget: ") + error.what());
    } catch (...) {
        cli::say("earbudget: unknown fault");
    }
    return cli::fault;
}
