#pragma once

#include <stdexcept>
#include <string>

#include "files/error_list.hpp"

namespace earbudget::cli {

/// A command line that asks for what cannot be: one line that says why and what is accepted.
class UsageProblem : public std::runtime_error {
  public:
    using std::runtime_error::runtime_error;
};

/// One line on standard error. Names and texts come from outside: control characters of theirs do
/// not reach the terminal.
void say(const std::string& message);

/// Mistakes, one line each, up to twenty, and how many more there are.
void say_errors(const files::InputErrors& errors);

}  // namespace earbudget::cli
