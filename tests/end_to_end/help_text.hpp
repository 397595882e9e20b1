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

/// The words of a command with what follows it: "session start" has two.
inline std::vector<std::string> words_of(const std::string& command,
                                         const std::vector<std::string>& more) {
    std::vector<std::string> words;
    std::istringstream stream(command);
    for (std::string word; stream >> word;)
        words.push_back(word);
    words.insert(words.end(), more.begin(), more.end());
    return words;
}

inline std::set<std::string> listed_in(const std::string& help) {
    const std::size_t list = help.find("Subcommands:");
    return list == std::string::npos ? std::set<std::string>()
                                     : matches(help.substr(list), "\n  ([a-z]+)  ");
}

/// What the program's help lists: commands, and groups of them by one word.
inline std::set<std::string> first_words() {
    const auto found = listed_in(run_program({"--help"}).output);
    REQUIRE(found.size() >= 5);
    return found;
}

/// Every command: of a group those that its help lists, "session start".
inline std::set<std::string> commands() {
    std::set<std::string> all;
    for (const std::string& word : first_words()) {
        const auto group = listed_in(run_program({word, "--help"}).output);
        if (group.empty()) all.insert(word);
        for (const std::string& name : group)
            all.insert(word + " " + name);
    }
    return all;
}

/// The options that a command's help lists at the beginning of its lines.
inline std::set<std::string> options(const std::string& command) {
    const std::string help = run_program(words_of(command, {"--help"})).output;
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
