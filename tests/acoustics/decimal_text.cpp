// Numbers are printed as people write them.
#include <doctest/doctest.h>

#include "earbudget/acoustics/number_text.hpp"

using namespace earbudget;

TEST_CASE("a number that rounds to zero has no minus") {
    CHECK(decimal_text(-0.0, 1) == "0.0");
    CHECK(decimal_text(-0.04, 1) == "0.0");
    CHECK(decimal_text(-0.4, 0) == "0");
    CHECK(decimal_text(0.04, 1) == "0.0");
    CHECK(decimal_text(-0.06, 1) == "-0.1");
    CHECK(decimal_text(-10.0, 1) == "-10.0");
    CHECK(decimal_text(89.96, 1) == "90.0");
}
