// The loops over draws on every kind of processor, against plain ones.
#include <cmath>
#include <memory>
#include <random>
#include <vector>

#include <doctest/doctest.h>

#include "computing/vector/draws.hpp"
#include "support/each_target.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

using Numbers = std::vector<double>;

// Whole vectors of every width, with rests, and less than one.
constexpr std::size_t counts[] = {1, 2, 3, 7, 8, 16, 129, 300, 1024};

Numbers random_numbers(std::mt19937& random, std::size_t count, double low, double high) {
    std::uniform_real_distribution<double> among(low, high);
    Numbers numbers(count);
    for (double& number : numbers)
        number = among(random);
    return numbers;
}

/// Whether each value is what it should be to a part of itself; also that nothing was written
/// behind the last.
void check_near(const Numbers& values, const Numbers& right, double part) {
    REQUIRE(values.size() == right.size() + 1);
    CHECK(values.back() == -7.0);
    double worst = 0.0;
    for (std::size_t i = 0; i < right.size(); ++i)
        worst = std::fmax(worst,
                          std::abs(values[i] - right[i]) / std::fmax(std::abs(right[i]), 1e-300));
    CHECK(worst < part);
}

Numbers room_for(std::size_t count) {
    Numbers room(count, -1.0);
    room.push_back(-7.0);
    return room;
}

/// Every count on every kind of processor.
template <class Body>
void everywhere(const Body& body) {
    on_each_target([&](const char* target) {
        CAPTURE(target);
        std::mt19937 random(1);
        for (const std::size_t count : counts) {
            CAPTURE(count);
            body(random, count);
        }
    });
}

double factor_at(const double* factor, std::size_t i) { return factor ? factor[i] : 1.0; }

/// As docs/uncertainty.md has it.
double left_at(const vector::Left& left, std::size_t i) {
    double part = left.part;
    for (const double* factor : left.factors)
        part *= factor_at(factor, i);
    part = std::fmax(std::fmin(part, 1.0), left.least);
    const double reduced = left.sound.rate * factor_at(left.sound.factor, i) * part;
    const double rest = left.unreduced.rate * factor_at(left.unreduced.factor, i);
    if (rest == 0.0) return reduced;
    const double energy = std::pow(reduced, left.to_energy) + std::pow(rest, left.to_energy);
    return std::pow(energy, 1.0 / left.to_energy);
}

}  // namespace

TEST_CASE("exponentials of weighted sums are right on every kind of processor") {
    everywhere([](std::mt19937& random, std::size_t count) {
        for (const double reach : {0.01, 3.0, 200.0}) {
            const Numbers a = random_numbers(random, count, -reach, reach);
            const Numbers b = random_numbers(random, count, -reach, reach);
            Numbers values = room_for(count), right(count);
            vector::exponentials(std::vector<vector::Addend>{{0.7, a.data()}, {-1.1, b.data()}},
                                 {values.data(), count});
            for (std::size_t i = 0; i < count; ++i)
                right[i] = static_cast<double>(std::exp(0.7L * static_cast<long double>(a[i]) -
                                                        1.1L * static_cast<long double>(b[i])));
            // What rounds in the terms and the sum.
            check_near(values, right, 1e-15 + reach * 4.5e-16);
        }
        Numbers ones = room_for(count);
        vector::exponentials({}, {ones.data(), count});
        check_near(ones, Numbers(count, 1.0), 1e-300);
    });
}

TEST_CASE("what a protector leaves is held between its bounds, with energies added") {
    everywhere([](std::mt19937& random, std::size_t count) {
        const Numbers loud = random_numbers(random, count, 0.1, 10.0);
        const Numbers people = random_numbers(random, count, 0.01, 30.0);
        const Numbers fit = random_numbers(random, count, 0.2, 5.0);
        for (const double to_energy : {1.0, 0.6, 1.66}) {
            for (const double rest : {0.0, 2.0}) {
                for (const double least : {0.0, 0.1}) {
                    const vector::Left left{.sound = {3.0, loud.data()},
                                            .part = 0.05,
                                            .factors = {people.data(), nullptr, fit.data()},
                                            .least = least,
                                            .unreduced = {rest, rest > 0.0 ? fit.data() : nullptr},
                                            .to_energy = to_energy};
                    Numbers values = room_for(count), right(count);
                    vector::write_left(left, {values.data(), count});
                    for (std::size_t i = 0; i < count; ++i)
                        right[i] = left_at(left, i);
                    check_near(values, right, 1e-14);
                }
            }
        }
    });
}

TEST_CASE("a sound far below what is added unreduced leaves that alone") {
    everywhere([](std::mt19937&, std::size_t count) {
        const vector::Left left{.sound = {1e-300, nullptr},
                                .part = 1e-20,
                                .unreduced = {5.0, nullptr},
                                .to_energy = 0.6};
        Numbers values = room_for(count);
        vector::write_left(left, {values.data(), count});
        check_near(values, Numbers(count, 5.0), 1e-14);
    });
}

TEST_CASE("times with and without a protector are mixed, what is below a threshold left out") {
    everywhere([](std::mt19937& random, std::size_t count) {
        const Numbers worn = random_numbers(random, count, 0.0, 2.0);
        const Numbers outside = random_numbers(random, count, 0.0, 2.0);
        const Numbers fractions = random_numbers(random, count, 0.0, 1.0);
        for (const double* const varying :
             {static_cast<const double*>(nullptr), fractions.data()}) {
            Numbers values = room_for(count), right(count);
            vector::write_mixture({worn.data(), outside.data(), 0.9, 0.3, varying},
                                  {values.data(), count});
            for (std::size_t i = 0; i < count; ++i) {
                const double fraction = varying ? varying[i] : 0.3;
                right[i] = fraction * (worn[i] >= 0.9 ? worn[i] : 0.0) +
                           (1.0 - fraction) * (outside[i] >= 0.9 ? outside[i] : 0.0);
            }
            check_near(values, right, 1e-14);
        }
        Numbers alone = room_for(count), right(count);
        vector::write_mixture({.worn = worn.data(), .least = 0.9}, {alone.data(), count});
        for (std::size_t i = 0; i < count; ++i)
            right[i] = worn[i] >= 0.9 ? worn[i] : 0.0;
        check_near(alone, right, 1e-300);
    });
}

TEST_CASE("draws above a level are marked where some of the time is spent so") {
    everywhere([](std::mt19937& random, std::size_t count) {
        const Numbers rates = random_numbers(random, count, 0.0, 1.0);
        Numbers fractions(count);
        for (double& fraction : fractions)
            fraction = static_cast<double>(random() % 3) / 2.0;
        for (const bool is_worn : {false, true}) {
            const auto marks = std::make_unique<bool[]>(count + 1);
            marks[0] = true;  // stays
            vector::mark_above(rates, 0.6, {fractions.data(), is_worn}, marks.get());
            for (std::size_t i = 0; i < count; ++i) {
                const bool there = is_worn ? fractions[i] > 0.0 : fractions[i] < 1.0;
                CHECK(marks[i] == (i == 0 || (rates[i] > 0.6 && there)));
            }
            CHECK_FALSE(marks[count]);
        }
    });
}

TEST_CASE("cubics are looked up by piece, beyond their ends as there") {
    everywhere([](std::mt19937& random, std::size_t count) {
        const std::vector<std::array<double, 4>> cubics = {
            {1.0, 0.5, -0.2, 0.1}, {1.4, 0.4, 0.3, 0.2}, {2.3, -1.0, 0.0, 0.7}};
        Numbers x = random_numbers(random, count, -2.0, 1.5);
        for (std::size_t i = 0; i < count; i += 5)
            x[i] = std::round(4.0 * x[i]) / 4.0;  // at the ends of pieces
        Numbers values = room_for(count), right(count);
        vector::interpolate({cubics, -1.0, 2.0}, x, values.data());
        for (std::size_t i = 0; i < count; ++i) {
            const double place = std::fmin(std::fmax((x[i] + 1.0) * 2.0, 0.0), 3.0);
            const double piece = std::fmin(std::floor(place), 2.0);
            const double t = place - piece;
            const auto& cubic = cubics[static_cast<std::size_t>(piece)];
            right[i] = cubic[0] + t * (cubic[1] + t * (cubic[2] + t * cubic[3]));
        }
        check_near(values, right, 1e-14);
    });
}

TEST_CASE("scaled numbers are added to sums") {
    everywhere([](std::mt19937& random, std::size_t count) {
        const Numbers x = random_numbers(random, count, 0.0, 1.0);
        Numbers sums = room_for(count), right(count);
        for (std::size_t i = 0; i < count; ++i)
            right[i] = -1.0 + 3.0 * x[i] + 0.0;
        vector::add_scaled(3.0, x, sums.data());
        // The sum may be a small difference: to the last place of what is added.
        for (std::size_t i = 0; i < count; ++i)
            CHECK(std::abs(sums[i] - right[i]) < 1e-15);
        CHECK(sums.back() == -7.0);
    });
}
