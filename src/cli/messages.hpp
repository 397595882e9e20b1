#pragma once

#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "files/error_list.hpp"

namespace earbudget::cli {

/// What the program's exit status says.
enum ExitStatus : int {
    computed = 0,         ///< and nobody over a limit
    over_or_unknown = 1,  ///< computed: somebody is over a limit, or it cannot be decided
    bad_input = 2,        ///< or bad usage; nothing was written
    fault = 3             ///< of the program or the machine
};

/// A command line that asks for what cannot be: one line that says why and what is accepted, and
/// possibly more lines that help.
class UsageProblem : public std::runtime_error {
  public:
    explicit UsageProblem(const std::string& problem, std::vector<std::string> help = {})
        : std::runtime_error(problem), help_(std::move(help)) {}

    [[nodiscard]] const std::vector<std::string>& help() const { return help_; }

    /// Throws where there is any problem, with a line for each.
    static void throw_if_any(std::vector<std::string> problems) {
        if (problems.empty()) return;
        const std::string first = problems.front();
        problems.erase(problems.begin());
        throw UsageProblem(first, std::move(problems));
    }

  private:
    std::vector<std::string> help_;
};

/// One line on standard error, as visible_text: names and texts come from outside.
void say(const std::string& message);

/// On a terminal: in the place of the last line on standard error, until something else is said;
/// nothing where the text is empty. Texts of the program alone.
void say_passing(const std::string& message);

/// Mistakes, one line each, up to twenty, and how many more there are.
void say_errors(const files::InputErrors& errors);

/// Where nothing can be allocated any more no exception is of use: it may be thrown where none may
/// pass, or while another is handled. From here on the program ends with one fixed line and the
/// status for a fault at the first allocation of C++ that fails, and where it would be aborted for
/// an exception that nobody catches. Files that are being written have handlers of their own.
void install_last_resorts();

/// Writes the fixed line for a want of memory, without allocating any.
void say_no_memory();

}  // namespace earbudget::cli
