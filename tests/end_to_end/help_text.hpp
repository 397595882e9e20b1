#pragma once

#include <regex>
#include <set>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "support/holds.hpp"
#include "support/program.hpp"

namespace earbudget::test {

inline std::set<std::string> matches(const std::string& text, const std::string& pattern) {
    const std::regex expression(pattern);
    std::set<std::string> found;
    for (std::sregex_iterator match(text.begin(), text.end(), expression), end; match != end;
         ++match) {
        found.insert((*match)[1].str());
    }
    return found;
}

/// The commands that the program's help lists.
inline std::set<std::string> commands() {
    const std::string help = run_program({"--help"}).output;
    const auto found = matches(help.substr(help.find("Subcommands:")), "\n  ([a-z]+)  ");
    REQUIRE(found.size() >= 5);
    return found;
}

/// The options that a command's help lists at the beginning of its lines.
inline std::set<std::string> options(const std::string& command) {
    const std::string help = run_program({command, "--help"}).output;
    const auto found = matches(help, "\n  (?:-h,)?(--[a-z-]+)");
    REQUIRE(found.size() >= (command == "new" ? 1U : 5U));
    return found;
}

/// The commands of an example: a line that ends in a backslash goes on in the next.
inline std::vector<std::string> example_commands(const std::string& help) {
    std::vector<std::string> found;
    const std::regex command("\n +(earbudget (?:[^\n\\\\]|\\\\\n)*)");
    for (std::sregex_iterator match(help.begin(), help.end(), command), end; match != end; ++match)
        found.push_back((*match)[1].str());
    return found;
}

}  // namespace earbudget::test
