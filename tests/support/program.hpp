#pragma once

#include <functional>
#include <string>
#include <vector>

namespace earbudget::test {

/// What one run of the program left behind.
struct Outcome {
    int status = -1;
    std::string output;  ///< standard output
    std::string errors;  ///< standard error
};

/// Runs the program with these arguments in a folder and waits for it; what answers in short by
/// default is asked for everything.
[[nodiscard]] Outcome run_program(const std::vector<std::string>& arguments,
                                  const std::string& folder = "/");

/// The same with the arguments as they are.
[[nodiscard]] Outcome run_short(const std::vector<std::string>& arguments,
                                const std::string& folder = "/");

/// Runs another program, found as a shell finds it; status 127 where there is none.
[[nodiscard]] Outcome run_other(const std::string& program,
                                const std::vector<std::string>& arguments,
                                const std::string& folder = "/");

/// The same, after `restrict` was called in its process; of this program everything, as above.
[[nodiscard]] Outcome run_restricted(const std::function<void()>& restrict,
                                     const std::string& program,
                                     const std::vector<std::string>& arguments,
                                     const std::string& folder);

/// Number of lines in a text; the last may lack its line break.
[[nodiscard]] int lines_of(const std::string& text);

}  // namespace earbudget::test
