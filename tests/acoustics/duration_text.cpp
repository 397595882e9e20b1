#include <doctest/doctest.h>

#include "earbudget/acoustics/number_text.hpp"

using namespace earbudget;

TEST_CASE("times are written as people write them, never longer than they are") {
    CHECK(text_of(Seconds(0.0)) == "0 s");
    CHECK(text_of(Seconds(0.0505)) == "50 ms");
    CHECK(text_of(Seconds(45.0)) == "45 s");
    CHECK(text_of(Seconds(45.58)) == "45.5 s");
    CHECK(text_of(Seconds(59.99)) == "59.9 s");
    CHECK(text_of(Seconds(60.0)) == "1 min");
    CHECK(text_of(Seconds(119.9)) == "1 min 59 s");
    CHECK(text_of(Seconds(480.0)) == "8 min");
    CHECK(text_of(Seconds(4205.0)) == "1 h 10 min 5 s");
    CHECK(text_of(Seconds(3600.0)) == "1 h");
    CHECK(text_of(Seconds(3605.0)) == "1 h 5 s");
}
