#include "earbudget/acoustics/normal_distribution.hpp"

#include <doctest/doctest.h>

#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("the normal quantile inverts the probability") {
    for (double z = -5.0; z <= 5.0; z += 0.25) {
        CHECK(near(normal_quantile(normal_probability(z)), z, 1e-6, Because::Arithmetic));
    }
}

TEST_CASE("printed values of the normal distribution") {
    // Any statistical table prints these four decimals.
    CHECK(near(normal_quantile(0.95), 1.6449, 0.00005, Because::PrintedRounding));
    CHECK(near(normal_quantile(0.975), 1.9600, 0.00005, Because::PrintedRounding));
    CHECK(near(normal_quantile(0.84), 0.9945, 0.00005, Because::PrintedRounding));
    CHECK(near(normal_probability(1.0), 0.8413, 0.00005, Because::PrintedRounding));
}
