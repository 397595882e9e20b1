#include "earbudget/measuring/proposed_uncertainty.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <doctest/doctest.h>

#include "earbudget/measurement/findings/steadiness.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

constexpr UncertaintyFacts all_known{.instrument = InstrumentClass::One,
                                     .drift = LevelDifference(0.2),
                                     .steadiness = LevelDifference(0.1),
                                     .above_background = LevelDifference(20.0)};

double combined(const UncertaintyFacts& facts) {
    return propose_uncertainty(facts).combined().dB();
}

}  // namespace

TEST_CASE("Parts combine as the root of their squares") {
    const double expected =
        std::sqrt(0.7 * 0.7 + 1.0 + 0.25 * 0.25 / 3.0 + 0.2 * 0.2 / 3.0 + 0.1 * 0.1);
    CHECK(near(combined(all_known), expected, 1e-12, Because::Arithmetic));
    CHECK(propose_uncertainty(all_known).parts.size() == 5);
    for (const auto& part : propose_uncertainty(all_known).parts) {
        CHECK(!part.name.empty());
        CHECK(!part.source.empty());
    }
}

TEST_CASE("The calibrator's own level counts with the 0.25 dB of IEC 60942:2017, class 1") {
    const auto parts = propose_uncertainty({}).parts;
    const auto found = std::ranges::find_if(parts, [](const UncertaintyPart& part) {
        return part.source.find("IEC 60942:2017") != std::string::npos;
    });
    REQUIRE(found != parts.end());
    CHECK(near(found->standard.dB(), 0.25 / std::numbers::sqrt3, 1e-12, Because::Arithmetic));
    CHECK(!found->of_position);
}

TEST_CASE("Knowing less never makes a measurement better") {
    UncertaintyFacts facts = all_known;
    const double best = combined(facts);
    facts.instrument = InstrumentClass::Two;
    const double class_2 = combined(facts);
    CHECK(class_2 > best);
    facts.instrument = InstrumentClass::NotStated;
    CHECK(near(combined(facts), class_2, 1e-12, Because::Arithmetic));
    facts.drift.reset();
    const double unchecked = combined(facts);
    CHECK(unchecked > class_2);
    facts.steadiness.reset();
    CHECK(combined(facts) > unchecked);
}

TEST_CASE("A background counts by what one decibel of it changes") {
    // 10 dB below: 1 / (10 − 1) dB for 1 dB; from 15 dB on nothing was corrected.
    UncertaintyFacts facts = all_known;
    facts.above_background = LevelDifference(10.0);
    const auto parts = propose_uncertainty(facts).parts;
    REQUIRE(parts.size() == 6);
    CHECK(near(parts.back().standard.dB(), 1.0 / 9.0, 1e-12, Because::Arithmetic));
    facts.above_background = LevelDifference(15.0);
    CHECK(propose_uncertainty(facts).parts.size() == 5);
    double before = 0.0;
    for (double distance = 14.0; distance >= 3.0; distance -= 0.5) {
        facts.above_background = LevelDifference(distance);
        const double now = propose_uncertainty(facts).parts.back().standard.dB();
        CHECK(now > before);
        before = now;
    }
    CHECK(near(before, 1.0 / (std::pow(10.0, 0.3) - 1.0), 1e-12, Because::Arithmetic));
}

TEST_CASE("What a corrected level varies by counts more, the closer its background is") {
    // 1 / (1 − 10^(−ΔL/10)): 2.0 at 3 dB, 1.34 at 6, 1.11 at 10; not beyond 15 dB.
    struct Row {
        double above, factor;
    };
    std::size_t rows = 0;
    for (const Row row : {Row{3.0, 2.0}, Row{6.0, 1.335}, Row{10.0, 1.111}, Row{15.0, 1.0}}) {
        UncertaintyFacts facts = all_known;
        facts.above_background = LevelDifference(row.above);
        const auto parts = propose_uncertainty(facts).parts;
        CHECK(near(parts[4].standard.dB(), 0.1 * row.factor, 0.0005, Because::PrintedRounding));
        ++rows;
    }
    CHECK(rows == 4);
    UncertaintyFacts facts = all_known;
    facts.above_background = LevelDifference(10.0);
    facts.background_steadiness = LevelDifference(3.0);
    CHECK(near(propose_uncertainty(facts).parts.back().standard.dB(), 3.0 / 9.0, 1e-12,
               Because::Arithmetic));
}

TEST_CASE("On a card all but the position is the instrument's: shared by the measurement") {
    UncertaintyFacts facts{.instrument = InstrumentClass::Two,
                           .drift = LevelDifference(0.3),
                           .steadiness = LevelDifference(0.6),
                           .above_background = LevelDifference(6.0)};
    for (const bool corrected : {true, false}) {
        if (!corrected) facts.above_background.reset();
        const ProposedUncertainty proposed = propose_uncertainty(facts);
        const UncertaintyParts parts = proposed.parts_of_card();
        // 6 dB above its background the level's own error counts by 1 / (1 − 10^(−0.6)), that of
        // the background by 1 / (10^0.6 − 1).
        const double factor = corrected ? 1.0 / (1.0 - std::pow(10.0, -0.6)) : 1.0;
        const double background = corrected ? 1.0 / (std::pow(10.0, 0.6) - 1.0) : 0.0;
        const double instrument = std::sqrt(1.5 * 1.5 + 0.25 * 0.25 / 3.0 + 0.3 * 0.3 / 3.0 +
                                            std::pow(0.6 * factor, 2.0) + background * background);
        CHECK(near(parts.instrument.dB(), instrument, 1e-12, Because::Arithmetic));
        CHECK(near(parts.position.dB(), 1.0, 1e-12, Because::Arithmetic));
        CHECK(parts.run.dB() == 0.0);
        CHECK(near(parts.combined().dB(), proposed.combined().dB(), 1e-12, Because::Arithmetic));
    }
}

TEST_CASE("A drift of nothing has no sign of less") {
    std::size_t rows = 0;
    for (const auto& [drift, text] :
         {std::pair{-0.003, "drift of +0.00 dB"}, std::pair{0.003, "drift of +0.00 dB"},
          std::pair{-0.2, "drift of -0.20 dB"}, std::pair{0.2, "drift of +0.20 dB"}}) {
        UncertaintyFacts facts = all_known;
        facts.drift = LevelDifference(drift);
        CHECK(propose_uncertainty(facts).parts[3].name == std::string("calibration, ") + text);
        ++rows;
    }
    CHECK(rows == 4);
}

TEST_CASE("Each recording's loss counts for itself, as LAeq changes with its level") {
    // c = 1 / (1 − 10^(−d/10)) and 1 / (10^(d/10) − 1): 1.335 and 0.335 at 6 dB; nothing is taken
    // off at 15 dB, nor below 3, where the background counts as at 3 dB (1.005).
    struct Row {
        double above, recording, background;
    };
    std::size_t rows = 0;
    for (const Row row : {Row{6.0, 1.3354, 0.3354}, Row{3.0, 2.0048, 1.0048}, Row{15.0, 1.0, 0.0},
                          Row{2.0, 1.0, 1.0048}}) {
        CAPTURE(row.above);
        UncertaintyFacts facts = all_known;
        facts.above_background = LevelDifference(row.above);
        const double without = combined(facts);
        facts.loss = LevelDifference(0.5);
        facts.background_loss = LevelDifference(1.5);
        facts.calibration_loss = LevelDifference(4.0);
        const double expected =
            std::pow(0.5 * row.recording, 2) + std::pow(1.5 * row.background, 2) + std::pow(4.0, 2);
        CHECK(near(std::pow(combined(facts), 2) - std::pow(without, 2), expected / 3.0, 1e-3,
                   Because::PrintedRounding));
        ++rows;
    }
    CHECK(rows == 4);
    UncertaintyFacts facts = all_known;
    facts.loss = facts.calibration_loss = LevelDifference(0.5);
    CHECK(near(std::pow(combined(facts), 2) - std::pow(combined(all_known), 2), 0.5 / 3.0, 1e-9,
               Because::Arithmetic));
}

TEST_CASE("A lossy recording adds its rectangular part, a speech coder's the larger one") {
    for (const LevelDifference loss :
         {change_by_companding, change_by_lossy_compression, change_by_speech_compression}) {
        UncertaintyFacts facts = all_known;
        facts.loss = loss;
        const double more = std::pow(combined(facts), 2) - std::pow(combined(all_known), 2);
        CHECK(near(more, loss.dB() * loss.dB() / 3.0, 1e-9, Because::Arithmetic));
    }
}
