#pragma once

#include <set>
#include <string>

#include <doctest/doctest.h>

#include "support/program.hpp"
#include "support/study_folder.hpp"

namespace earbudget::test {

/// A text of a file, what to put in its place, and what the refusal of that must say.
struct Mistake {
    std::string old;
    std::string fresh;
    std::string place;  // how the message begins
    std::string words;  // what it must say besides
};

/// One line that names the place, what is wrong and what is accepted; nothing computed.
inline void check_refused(const Outcome& outcome, const Mistake& mistake,
                          std::set<std::string>& messages) {
    CAPTURE(mistake.old);
    CAPTURE(mistake.fresh);
    CAPTURE(outcome.errors);
    CHECK(outcome.status == 2);
    CHECK(outcome.output.empty());
    CHECK(lines_of(outcome.errors) == 1);
    CHECK(outcome.errors.find(mistake.place + ": ") == 0);
    CHECK(outcome.errors.find(mistake.words) != std::string::npos);
    CHECK(outcome.errors.find("accepted") != std::string::npos);
    messages.insert(outcome.errors);
}

}  // namespace earbudget::test
