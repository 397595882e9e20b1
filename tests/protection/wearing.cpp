#include <doctest/doctest.h>

#include "earbudget/protection/worn.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

double acts_like(double reduction, double fraction) {
    const LevelA outside(110.0);
    return (outside -
            level_over_wearing_time(outside, outside - LevelDifference(reduction), fraction))
        .dB();
}

}  // namespace

TEST_CASE("30 dB worn 90 % of the time acts like 10 dB (derived)") {
    CHECK(near(acts_like(30.0, 0.9), 9.96, 0.005, Because::PrintedRounding));
}

TEST_CASE("25 dB not worn for 2 of 60 minutes acts like 14.4 dB, HSE L108 prints 14") {
    CHECK(near(acts_like(25.0, 58.0 / 60.0), 14.4, 0.05, Because::PrintedRounding));
}

TEST_CASE("worn always it is the whole reduction, worn never none") {
    CHECK(near(acts_like(25.0, 1.0), 25.0, 1e-9, Because::Arithmetic));
    CHECK(near(acts_like(25.0, 0.0), 0.0, 1e-9, Because::Arithmetic));
}

TEST_CASE("a poor fit gives 10 dB at most and no more than was predicted (common practice)") {
    CHECK(reduction_as_fitted(LevelDifference(30.0), true).dB() == 10.0);
    CHECK(reduction_as_fitted(LevelDifference(6.0), true).dB() == 6.0);
    CHECK(reduction_as_fitted(LevelDifference(30.0), false).dB() == 30.0);
}
