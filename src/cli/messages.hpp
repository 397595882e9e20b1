#pragma once

#include <stdexcept>
#include <string>
#include <vector>

#include "files/error_list.hpp"

namespace earbudget::cli {

/// A command line that asks for what cannot be: one line that says why and what is accepted, and
/// possibly more lines that help.
class UsageProblem : public std::runtime_error {
  public:
    explicit UsageProblem(const std::string& problem, std::vector<std::string> help = {})
        : std::runtime_error(problem), help_(std::move(help)) {}

    [[nodiscard]] const std::vector<std::string>& help() const { return help_; }

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

}  // namespace earbudget::cli
