// Colour is the program's own; what texts of others hold is seen and does not act.
#include "report/text_style.hpp"

#include <string>

#include <doctest/doctest.h>

using namespace earbudget;
using namespace earbudget::report;

TEST_CASE("colour reaches the terminal, escape sequences of others do not") {
    const std::string hostile = "plan\x1b[2J\n\x1b[1;32mWithin";
    CHECK(printed(strong(hostile)) == "\x1b[1mplan\\x1b[2J\\x0a\\x1b[1;32mWithin\x1b[0m");
    CHECK(printed(coloured(Verdict::Over, "OVER") + '\n') == "\x1b[1;31mOVER\x1b[0m\n");
    CHECK(printed(without_marks(strong(hostile))) == "plan\\x1b[2J\\x0a\\x1b[1;32mWithin");
    CHECK(printed(hostile) == "plan\\x1b[2J\n\\x1b[1;32mWithin");
    CHECK(printed(std::string("a\0", 2)) == "a");
}

TEST_CASE("a sentence is broken by what is seen, coloured or not") {
    const std::string plain = wrapped("one two three \n four", 2, 4, 14);
    CHECK(plain == "  one two\n    three \\x0a\n    four\n");
    std::string coloured = printed(wrapped("one " + strong("two") + " three \n four", 2, 4, 14));
    for (const std::string sequence : {"\x1b[1m", "\x1b[0m"})
        coloured.erase(coloured.find(sequence), sequence.size());
    CHECK(coloured == plain);
    CHECK(width_of("a\x1b\u202e山") == 1 + 4 + 8 + 2);
}
