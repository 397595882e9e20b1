#pragma once

#include <regex>
#include <set>
#include <sstream>
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

/// A command's words: "register", "create".
inline std::vector<std::string> words_of(const std::string& command) {
    const std::size_t space = command.find(' ');
    if (space == std::string::npos) return {command};
    return {command.substr(0, space), command.substr(space + 1)};
}

inline std::string help_of(const std::string& command) {
    std::vector<std::string> words =
        command.empty() ? std::vector<std::string>() : words_of(command);
    words.emplace_back("--help");
    return run_program(words).output;
}

/// What the help of the program, or of a group of commands, lists; nothing for a command.
inline std::set<std::string> subcommands(const std::string& of = "") {
    const std::string help = help_of(of);
    const std::size_t start = help.find("Subcommands:");
    if (start == std::string::npos) return {};
    return matches(help.substr(start), "\n  ([a-z]+)  ");
}

/// The commands and groups of commands that the program's help lists.
inline std::set<std::string> first_words() {
    const auto found = subcommands();
    REQUIRE(found.size() >= 5);
    return found;
}

/// All commands, those of groups by their two words.
inline std::set<std::string> commands() {
    std::set<std::string> all;
    for (const std::string& first : first_words()) {
        const auto below = subcommands(first);
        if (below.empty()) all.insert(first);
        for (const std::string& one : below)
            all.insert(first + " " + one);
    }
    return all;
}

/// The options that a command's help lists at the beginning of its lines.
inline std::set<std::string> options(const std::string& command) {
    const auto found = matches(help_of(command), "\n  (?:-h,)?(--[A-Za-z-]+)");
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
