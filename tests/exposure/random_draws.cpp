#include "earbudget/exposure/random_draws.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <doctest/doctest.h>

#include "earbudget/acoustics/normal_distribution.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("the normal quantile is the inverse of the normal probability") {
    for (const double p : {1e-300, 1e-12, 1e-6, 1e-3, 0.02, 0.074, 0.076, 0.3, 0.5, 0.9, 0.9999}) {
        CAPTURE(p);
        const double z = standard_normal_quantile(p);
        CHECK(near(z, normal_quantile(p), 1e-12 * std::max(1.0, std::abs(z)), Because::Arithmetic));
    }
    // Guide 98-3, table G.1 and tables of the normal distribution (memory).
    CHECK(near(standard_normal_quantile(0.975), 1.959964, 5e-7, Because::PrintedRounding));
    CHECK(near(standard_normal_quantile(0.95), 1.644854, 5e-7, Because::PrintedRounding));
}

TEST_CASE("every draw is one of the middles of equally likely intervals, each once") {
    for (const std::size_t count : {1U, 2U, 3U, 100U, 1000U, 4096U, 8192U}) {
        CAPTURE(count);
        Eigen::ArrayXd draws = normal_draws(7, stream_named("a"), count);
        std::sort(draws.begin(), draws.end());
        for (Eigen::Index i = 0; i < draws.size(); ++i) {
            const double p = (static_cast<double>(i) + 0.5) / static_cast<double>(count);
            CHECK(near(draws[i], normal_quantile(p), 1e-11, Because::Arithmetic));
        }
    }
}

TEST_CASE("draws in pieces are the draws as a whole, and the same on every machine") {
    const NormalDraws draws(3, 5000);
    const Eigen::ArrayXd whole = normal_draws(3, stream_named("x"), 5000);
    for (const Eigen::Index first : {0, 1, 1024, 4999}) {
        Eigen::ArrayXd piece(std::min<Eigen::Index>(77, 5000 - first));
        draws.write(stream_named("x"), static_cast<std::size_t>(first), piece);
        CHECK((piece == whole.segment(first, piece.size())).all());
    }
    CHECK((whole == normal_draws(3, stream_named("x"), 5000)).all());
    CHECK_FALSE((whole == normal_draws(4, stream_named("x"), 5000)).all());
}

TEST_CASE("streams are independent: products, neighbours and halves show nothing") {
    constexpr std::size_t count = 8192;
    // A mean of products of independent variables strays by 1/sqrt(count): 4.5 of those in 2000.
    const double most = 4.5 / std::sqrt(static_cast<double>(count));
    double squares = 0.0;
    int pairs = 0;
    for (std::uint64_t seed = 1; seed <= 8; ++seed) {
        std::vector<Eigen::ArrayXd> streams;
        for (int i = 0; i < 12; ++i)
            streams.push_back(normal_draws(seed, stream_named("s" + std::to_string(i)), count));
        for (std::size_t i = 0; i < streams.size(); ++i) {
            const auto& a = streams[i];
            const auto last = static_cast<Eigen::Index>(count) - 1;
            CHECK(std::abs((a.head(last) * a.tail(last)).mean()) < most);
            CHECK(std::abs(a.head(4096).mean()) < most);
            for (std::size_t k = 0; k < i; ++k) {
                const double product = (a * streams[k]).mean();
                CHECK(std::abs(product) < most);
                CHECK(std::abs(((a.square() - 1.0) * (streams[k].square() - 1.0)).mean() / 2.0) <
                      most * 1.5);
                squares += product * product * static_cast<double>(count);
                ++pairs;
            }
        }
    }
    // Neither more alike nor more unlike than independent ones: the mean of a χ² over its number
    // strays by sqrt(2/528) = 0.06.
    CHECK(near(squares / pairs, 1.0, 0.25, Because::SeededRandomness));
}

TEST_CASE("a lattice has every middle once along each direction, whatever the seed") {
    for (const std::uint64_t seed : {1U, 2U}) {
        const LatticeDraws lattice(seed);
        for (const std::size_t direction : {0U, 1U, 17U, 63U}) {
            Eigen::ArrayXd draws(static_cast<Eigen::Index>(lattice_size));
            lattice.write(stream_named("a"), direction, 0, draws);
            Eigen::ArrayXd piece(50);
            lattice.write(stream_named("a"), direction, 60000, piece);
            CHECK((piece == draws.segment(60000, 50)).all());
            std::sort(draws.begin(), draws.end());
            for (Eigen::Index i = 0; i < draws.size(); i += 997) {
                const double p = (static_cast<double>(i) + 0.5) / static_cast<double>(lattice_size);
                CHECK(near(draws[i], normal_quantile(p), 1e-11, Because::Arithmetic));
            }
            CHECK((draws.tail(draws.size() - 1) > draws.head(draws.size() - 1)).all());
        }
    }
}

TEST_CASE("a lattice fills the square of any two directions evenly") {
    // The share of draws in which both are above their 95 % quantile is 0.0025, from which that of
    // independent draws strays by sqrt(0.0025/65536) = 0.0002 (k = 1); of a lattice by less than
    // half.
    const auto strays = [](const auto& write) {
        std::vector<Eigen::ArrayXd> all(16,
                                        Eigen::ArrayXd(static_cast<Eigen::Index>(lattice_size)));
        for (std::size_t n = 0; n < all.size(); ++n)
            write(stream_named("s" + std::to_string(n)), n, all[n]);
        const double high = standard_normal_quantile(0.95);
        double squares = 0.0;
        int pairs = 0;
        for (std::size_t a = 0; a < all.size(); ++a) {
            for (std::size_t b = 0; b < a; ++b, ++pairs) {
                const auto both = static_cast<double>((all[a] > high && all[b] > high).count());
                squares += std::pow(both / static_cast<double>(lattice_size) - 0.0025, 2.0);
            }
        }
        return std::sqrt(squares / pairs);
    };
    const LatticeDraws lattice(1);
    const double of_lattice =
        strays([&](std::uint64_t stream, std::size_t direction, Eigen::ArrayXd& draws) {
            lattice.write(stream, direction, 0, draws);
        });
    const NormalDraws apart(1, lattice_size);
    const double of_orders_apart =
        strays([&](std::uint64_t stream, std::size_t, Eigen::ArrayXd& draws) {
            apart.write(stream, 0, draws);
        });
    MESSAGE("a lattice strays by ", of_lattice, ", orders apart by ", of_orders_apart);
    CHECK(of_lattice < 0.5 * of_orders_apart);
}
