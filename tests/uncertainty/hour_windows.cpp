// The loudest hour of a course, by two ways of adding up, held against the search over a list of
// levels that the best estimate uses.
#include <cmath>
#include <random>

#include <doctest/doctest.h>

#include "earbudget/exposure/exposure_part.hpp"
#include "support/near.hpp"
#include "uncertainty/monte_carlo_limits.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

/// Levels of segments, in one draw a row.
Eigen::MatrixXd random_energies(std::mt19937& random, Eigen::Index draws, std::size_t segments) {
    std::uniform_real_distribution<double> level(60.0, 110.0);
    Eigen::MatrixXd energies(draws, static_cast<Eigen::Index>(segments));
    for (double& energy : energies.reshaped())
        energy = std::pow(10.0, 0.1 * level(random));
    return energies;
}

/// Parts of some of the segments or, where each is its own, of all in order; some are silent.
std::vector<CoursePart> random_course(std::mt19937& random, std::size_t parts,
                                      std::size_t segments) {
    std::uniform_real_distribution<double> seconds(1.0, 40000.0 / static_cast<double>(parts));
    std::vector<CoursePart> course;
    for (std::size_t n = 0; n < parts; ++n) {
        std::optional<std::size_t> segment = n % segments;
        if (random() % 7 == 0) segment = std::nullopt;
        course.push_back({segment, Seconds(seconds(random))});
    }
    return course;
}

double loudest_by_search(const std::vector<CoursePart>& course, const Eigen::MatrixXd& energies,
                         Eigen::Index draw) {
    std::vector<ExposurePart> parts;
    for (const CoursePart& part : course) {
        std::optional<LevelA> level;
        if (part.segment) {
            level =
                LevelA(10.0 * std::log10(energies(draw, static_cast<Eigen::Index>(*part.segment))));
        }
        parts.push_back({level, part.time});
    }
    const auto highest = highest_average(parts, Hours(1));
    return highest ? std::pow(10.0, 0.1 * highest->dB()) : 0.0;
}

}  // namespace

TEST_CASE("the loudest hour of few and of many segments is that of a search") {
    struct Row {
        std::size_t parts, segments;
    };
    std::mt19937 random(81);
    int compared = 0;
    for (const Row& row : {Row{1, 1}, Row{3, 2}, Row{20, 4}, Row{60, 60}, Row{400, 400},
                           Row{700, 30}, Row{900, 900}}) {
        CAPTURE(row.parts);
        const auto course = random_course(random, row.parts, row.segments);
        const auto energies = random_energies(random, 16, row.segments);
        const Eigen::ArrayXd loudest =
            HourWindows(course, row.segments, Hours(1)).loudest(energies);
        REQUIRE(loudest.size() == energies.rows());
        for (Eigen::Index draw = 0; draw < energies.rows(); ++draw) {
            const double expected = loudest_by_search(course, energies, draw);
            // Shares are rounded to 10^-12, levels go through a logarithm.
            CHECK(near(loudest[draw] / expected, 1.0, 1e-9, Because::Arithmetic));
            ++compared;
        }
    }
    CHECK(compared == 7 * 16);
}

TEST_CASE("a day that is silent, or shorter than an hour, has its loudest hour too") {
    const HourWindows short_day({{0, Seconds(900.0)}, {std::nullopt, Seconds(60.0)}}, 1, Hours(1));
    Eigen::MatrixXd energies(2, 1);
    energies << 4.0, 8.0;
    CHECK(near(short_day.loudest(energies)[0], 1.0, 1e-9, Because::Arithmetic));
    CHECK(near(short_day.loudest(energies)[1], 2.0, 1e-9, Because::Arithmetic));
    CHECK(HourWindows({{std::nullopt, Seconds(900.0)}}, 0, Hours(1)).empty());
    CHECK(HourWindows().empty());
}
