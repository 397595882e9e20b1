#include <algorithm>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/measurement/spectrum/tones.hpp"
#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

struct Numbered {
    std::vector<unsigned> numbers;
    std::optional<Frequency> fundamental;
};

Numbered numbered(std::vector<double> hertz) {
    std::sort(hertz.begin(), hertz.end());
    std::vector<Tone> tones;
    for (const double f : hertz)
        tones.push_back({Frequency(f), LevelFS(-20.0), LevelDifference(20.0)});
    Numbered result{{}, number_harmonics(tones)};
    for (const Tone& tone : tones)
        result.numbers.push_back(tone.harmonic);
    return result;
}

std::vector<double> multiples(double spacing, unsigned from, unsigned to, unsigned step = 1) {
    std::vector<double> hertz;
    for (unsigned h = from; h <= to; h += step)
        hertz.push_back(h * spacing);
    return hertz;
}

using Numbers = std::vector<unsigned>;

}  // namespace

TEST_CASE("Tones that are multiples of the lowest are its harmonics") {
    const auto result = numbered({440.0, 880.2, 1319.9, 2200.3});
    CHECK(result.numbers == Numbers{1, 2, 3, 5});
    REQUIRE(result.fundamental.has_value());
    CHECK(near(result.fundamental->Hz(), 440.0, 1e-9, Because::Arithmetic));
}

TEST_CASE("Tones beside a series keep the number 0") {
    CHECK(numbered({50, 100, 137, 150, 200, 333}).numbers == Numbers{1, 2, 0, 3, 4, 0});
}

TEST_CASE("Odd multiples alone make a series") {
    CHECK(numbered(multiples(100, 1, 9, 2)).numbers == Numbers{1, 3, 5, 7, 9});
}

TEST_CASE("The fundamental is neither halved nor doubled") {
    for (const double spacing : {20.0, 23.7, 50.0, 313.0, 1000.0}) {
        CAPTURE(spacing);
        const auto result = numbered(multiples(spacing, 1, 12));
        CHECK(result.numbers == Numbers{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12});
        REQUIRE(result.fundamental.has_value());
        CHECK(near(result.fundamental->Hz(), spacing, 1e-9, Because::Arithmetic));
    }
}

TEST_CASE("A high comb is numbered against its spacing and has no fundamental") {
    const auto result = numbered(multiples(20.03, 30, 60));
    REQUIRE(result.numbers.size() == 31);
    for (unsigned i = 0; i < 31; ++i)
        CHECK(result.numbers[i] == 30 + i);
    CHECK_FALSE(result.fundamental.has_value());
    CHECK(numbered({300, 400, 500, 600}).numbers == Numbers{3, 4, 5, 6});
}

TEST_CASE("A numbering that may as well be another is none") {
    // 600 to 660 Hz in steps of 20 Hz, read 1 Hz too high or low, may be 29 to 32 just as well.
    CHECK(numbered(multiples(20, 30, 33)).numbers == Numbers{0, 0, 0, 0});
}

TEST_CASE("Sidebands about a tone that is no multiple of their spacing are no harmonics") {
    std::vector<double> hertz;
    for (int side = -10; side <= 10; ++side)
        hertz.push_back(1007.0 + 20.0 * side);
    CHECK(numbered(hertz).numbers == Numbers(21, 0));
}

TEST_CASE("One tone, two tones and unrelated ones have no harmonics") {
    CHECK(numbered({}).numbers.empty());
    CHECK(numbered({1000}).numbers == Numbers{0});
    CHECK(numbered({1000, 2000}).numbers == Numbers{0, 0});
    CHECK(numbered({523, 1009, 1777, 2903}).numbers == Numbers{0, 0, 0, 0});
}

TEST_CASE("Tones at random hardly ever make a series") {
    int trials = 0;
    int series = 0;
    for (const std::size_t count : {3U, 5U, 10U, 20U, 30U, 50U}) {
        for (std::uint64_t seed = 1; seed <= 100; ++seed) {
            Signal hertz =
                white_noise(1950.0, static_cast<double>(count), 1.0, 1000 * count + seed);
            for (double& f : hertz)
                f += 2000.0;
            const auto numbers = numbered(hertz).numbers;
            series += std::any_of(numbers.begin(), numbers.end(), [](unsigned n) { return n > 0; });
            ++trials;
        }
    }
    CHECK(trials == 600);
    MESSAGE("series found by chance: ", series, " of ", trials);
    CHECK(series <= 6);
}
