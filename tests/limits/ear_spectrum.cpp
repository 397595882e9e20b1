// Bands at the ear must sum to the level at the ear, else a drawing tells another story than the
// verdict; and the range of a margin must hold the margin.
#include <cmath>
#include <random>

#include <doctest/doctest.h>

#include "earbudget/advice/assess.hpp"
#include "earbudget/exposure/criterion.hpp"
#include "earbudget/limits/day_course.hpp"
#include "support/random_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("octave bands at the ear sum to the level at the ear") {
    std::mt19937 random(3);
    int rows = 0;
    for (int round = 0; round < 40; ++round) {
        Plan plan = random_plan(random);
        plan.people.front().policy.rules.method = Method::Octave;
        if (round % 2 == 1) plan.people.front().policy.rules.derating.kind = Derating::Kind::Uk4dB;
        const Assessment assessment = assess(plan);
        for (const SegmentResult& segment : assessment.people.front().segments) {
            OctaveLevelsA at_ear;
            for (const EarBandLevel& band : ear_spectrum(segment.row)) {
                CHECK(band.at_ear.has_value() == band.attenuation.has_value());
                if (band.at_ear) at_ear.set(band.band, *band.at_ear);
            }
            if (at_ear.empty()) continue;
            ++rows;
            // Arithmetic alone, the same bands in the same order.
            CHECK(std::abs((*at_ear.sum() - *segment.row.while_worn).dB()) < 1e-9);
        }
    }
    CHECK(rows > 40);
}

TEST_CASE("no band is said to be at the ear where the method does not go by bands") {
    std::mt19937 random(4);
    Plan plan = random_plan(random);
    plan.people.front().policy.rules.method = Method::Snr;
    const Assessment assessment = assess(plan);
    const ExposureRow* row = row_with_most_energy(assessment.people.front());
    REQUIRE(row != nullptr);
    const auto spectrum = ear_spectrum(*row);
    CHECK(spectrum.size() > 5);
    for (const EarBandLevel& band : spectrum)
        CHECK_FALSE(band.at_ear.has_value());
}

TEST_CASE("the range of a margin holds the margin and is over at 5 % exactly at its low end") {
    std::mt19937 random(5);
    int ranges = 0;
    for (int round = 0; round < 40; ++round) {
        const Plan plan = random_plan(random);
        const Assessment assessment = assess(plan);
        const PersonResult& person = assessment.people.front();
        for (const CriterionResult& criterion : person.criteria) {
            const auto& range = criterion.margin_range;
            if (criterion.is_peak) CHECK_FALSE(range.has_value());
            if (!range || !criterion.margin) continue;
            ++ranges;
            CHECK(range->low < *criterion.margin);
            CHECK(range->high > *criterion.margin);
            if (criterion.verdict != Verdict::Over)
                CHECK((range->low.dB() < -1e-9) == is_above(*criterion.probability_over, 0.05));
        }
    }
    CHECK(ranges > 50);
}
