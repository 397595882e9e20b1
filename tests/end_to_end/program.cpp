#include "support/program.hpp"

#include <algorithm>
#include <stdexcept>

#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

#include "support/temporary_folder.hpp"

namespace earbudget::test {

namespace {

[[noreturn]] void become_program(const std::function<void()>& restrict,
                                 std::vector<std::string> words, const std::string& folder,
                                 const std::string& output, const std::string& errors) {
    const int out = ::open(output.c_str(), O_WRONLY | O_CREAT, 0600);
    const int err = ::open(errors.c_str(), O_WRONLY | O_CREAT, 0600);
    if (::chdir(folder.c_str()) != 0 || ::dup2(out, STDOUT_FILENO) < 0 ||
        ::dup2(err, STDERR_FILENO) < 0) {
        ::_exit(126);
    }
    std::vector<char*> argv;
    for (std::string& word : words)
        argv.push_back(word.data());
    argv.push_back(nullptr);
    restrict();
    ::execvp(argv.front(), argv.data());
    ::_exit(127);
}

}  // namespace

namespace {

Outcome run(const std::function<void()>& restrict, const std::vector<std::string>& words,
            const std::string& folder) {
    const TemporaryFolder scratch;
    const std::string output = scratch.path("output");
    const std::string errors = scratch.path("errors");
    const pid_t child = ::fork();
    if (child < 0) throw std::runtime_error("cannot fork");
    if (child == 0) become_program(restrict, words, folder, output, errors);
    int status = 0;
    if (::waitpid(child, &status, 0) != child || !WIFEXITED(status)) {
        throw std::runtime_error("the program did not end by itself");
    }
    return {WEXITSTATUS(status), content_of(output), content_of(errors)};
}

/// Whether it answers in short where nothing else is asked for.
bool answers_in_short(const std::string& command) {
    return command == "assess" || command == "choose" || command == "review";
}

}  // namespace

Outcome run_restricted(const std::function<void()>& restrict, const std::string& program,
                       const std::vector<std::string>& arguments, const std::string& folder) {
    std::vector<std::string> words = {program};
    words.insert(words.end(), arguments.begin(), arguments.end());
    if (program == EARBUDGET_PROGRAM && !arguments.empty() && answers_in_short(arguments.front()))
        words.insert(words.begin() + 2, "--detail");
    return run(restrict, words, folder);
}

Outcome run_other(const std::string& program, const std::vector<std::string>& arguments,
                  const std::string& folder) {
    return run_restricted([] {}, program, arguments, folder);
}

Outcome run_program(const std::vector<std::string>& arguments, const std::string& folder) {
    return run_other(EARBUDGET_PROGRAM, arguments, folder);
}

Outcome run_short(const std::vector<std::string>& arguments, const std::string& folder) {
    std::vector<std::string> words = {EARBUDGET_PROGRAM};
    words.insert(words.end(), arguments.begin(), arguments.end());
    return run([] {}, words, folder);
}

int lines_of(const std::string& text) {
    const auto breaks = std::count(text.begin(), text.end(), '\n');
    return static_cast<int>(breaks) + (!text.empty() && text.back() != '\n' ? 1 : 0);
}

}  // namespace earbudget::test
