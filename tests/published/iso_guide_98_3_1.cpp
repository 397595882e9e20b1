// ISO/IEC Guide 98-3/Suppl.1:2008 (JCGM 101), Propagation of distributions using a Monte Carlo
// method; the values are from memory.
#include <algorithm>
#include <cmath>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/acoustics/normal_distribution.hpp"
#include "earbudget/exposure/random_draws.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

constexpr std::size_t draws = 25 * 8192;

double quantile(Eigen::ArrayXd values, double p) {
    std::sort(values.begin(), values.end());
    return values[static_cast<Eigen::Index>(p * static_cast<double>(values.size()))];
}

Eigen::ArrayXd normal(const char* name) { return normal_draws(98, stream_named(name), draws); }

// Of standard deviation 1, like each input of 9.2.
Eigen::ArrayXd rectangular(const char* name) {
    return std::sqrt(3.0) *
           normal(name).unaryExpr([](double z) { return 2.0 * normal_probability(z) - 1.0; });
}

}  // namespace

TEST_CASE("supplement 1, 9.2.2: four normal inputs give u = 2.0 and ±3.92") {
    const Eigen::ArrayXd y = normal("1") + normal("2") + normal("3") + normal("4");
    // A quantile at 97.5 % strays by 0.012 with 204,800 draws, a mean and deviation by less.
    CHECK(near(y.mean(), 0.0, 1e-9, Because::Arithmetic));
    CHECK(near(std::sqrt(y.square().mean()), 2.0, 0.01, Because::SeededRandomness));
    CHECK(near(quantile(y, 0.975), 3.92, 0.03, Because::SeededRandomness));
    CHECK(near(quantile(y, 0.025), -3.92, 0.03, Because::SeededRandomness));
}

TEST_CASE("supplement 1, 9.2.3: four rectangular inputs give u = 2.0 and ±3.88") {
    const Eigen::ArrayXd y =
        rectangular("1") + rectangular("2") + rectangular("3") + rectangular("4");
    CHECK(near(std::sqrt(y.square().mean()), 2.0, 0.01, Because::SeededRandomness));
    CHECK(near(quantile(y, 0.975), 3.88, 0.025, Because::SeededRandomness));
    CHECK(near(quantile(y, 0.025), -3.88, 0.025, Because::SeededRandomness));
}

TEST_CASE("supplement 1, 9.2.4: one rectangular input ten times the others gives ±17.0") {
    const Eigen::ArrayXd y =
        rectangular("1") + rectangular("2") + rectangular("3") + 10.0 * rectangular("4");
    CHECK(near(std::sqrt(y.square().mean()), std::sqrt(103.0), 0.03, Because::SeededRandomness));
    CHECK(near(quantile(y, 0.975), 17.0, 0.06, Because::PrintedRounding));
}
