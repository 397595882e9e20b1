#include <optional>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/acoustics/normal_distribution.hpp"
#include "earbudget/limits/judge.hpp"
#include "support/near.hpp"
#include "support/simple_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

Criterion limited_to(double dB, PeakLimit::Weighting weighting) {
    Criterion criterion = published_criteria().front();
    criterion.peak = PeakLimit{pressure_of(PeakLevelC(dB)), weighting};
    return criterion;
}

const Criterion C_140 = limited_to(140.0, PeakLimit::Weighting::C);
const Criterion Z_140 = limited_to(140.0, PeakLimit::Weighting::None);

std::optional<CriterionResult> judged(const Criterion& criterion,
                                      const std::vector<SoundLevels>& sounds) {
    Plan plan = simple_plan(100.0, 1.0, 0.0);
    plan.sequences.clear();
    plan.timeline.clear();
    for (const SoundLevels& levels : sounds) {
        plan.timeline.push_back({.sequence = plan.sequences.size(), .duration = Seconds(60)});
        plan.sequences.push_back({.id = "s", .title = "S", .levels = levels});
    }
    plan.people.front().policy.peak_at_most_above_LAeq = std::nullopt;  // peak_bound.cpp has it
    static std::vector<Warning> warnings;
    const ExposureDay day = day_exposure(plan, plan.people.front());
    return judge_peak(criterion, plan, plan.people.front(), day, warnings);
}

SoundLevels sound(std::optional<double> C, std::optional<double> Z = std::nullopt,
                  std::optional<double> uncertainty = 0.0) {
    SoundLevels levels{.LAeq = LevelA(100.0)};
    if (C) levels.LCpeak = PeakLevelC(*C);
    if (Z) levels.LZpeak = PeakLevelZ(*Z);
    if (uncertainty) levels.uncertainty = LevelDifference(*uncertainty);
    return levels;
}

}  // namespace

TEST_CASE("the highest peak counts, 140.0 dB is within and 140.1 dB is over") {
    CHECK(judged(C_140, {sound(130.0), sound(140.0), sound(120.0)})->verdict == Verdict::Within);
    CHECK(judged(C_140, {sound(130.0), sound(140.1), sound(120.0)})->verdict == Verdict::Over);
    CHECK(judged(C_140, {sound(130.0), sound(135.0)})->value == 135.0);
    CHECK(near(judged(C_140, {sound(135.0)})->margin->dB(), 5.0, 1e-9, Because::Arithmetic));
}

TEST_CASE("an unweighted limit takes LZpeak, or LCpeak where that is higher") {
    CHECK(judged(Z_140, {sound(130.0, 139.0)})->value == 139.0);
    CHECK(judged(Z_140, {sound(139.0, 130.0)})->value == 139.0);
    CHECK(judged(C_140, {sound(130.0, 150.0)})->verdict == Verdict::Within);
}

TEST_CASE("LCpeak alone cannot show that an unweighted peak is within when it is near the limit") {
    CHECK(judged(Z_140, {sound(136.9)})->verdict == Verdict::Within);
    CHECK(judged(Z_140, {sound(137.1)})->verdict == Verdict::Unknown);
    CHECK(judged(Z_140, {sound(140.1)})->verdict == Verdict::Over);
    CHECK(judged(Z_140, {sound(137.1, 138.0)})->verdict == Verdict::Within);
}

TEST_CASE("a peak that is not known leaves the limit undecided unless another is over") {
    CHECK(judged(C_140, {sound(130.0), sound(std::nullopt)})->verdict == Verdict::Unknown);
    CHECK(judged(C_140, {sound(141.0), sound(std::nullopt)})->verdict == Verdict::Over);
    const auto result = judged(C_140, {sound(std::nullopt)});
    REQUIRE(result);
    CHECK(result->verdict == Verdict::Unknown);
    CHECK(!result->value);
    CHECK(!result->margin);
    CHECK(!result->probability_over);
}

TEST_CASE("an unweighted peak alone decides a C-weighted limit but for the 3 dB of the weighting") {
    CHECK(judged(C_140, {sound(std::nullopt, 140.0)})->verdict == Verdict::Within);
    CHECK(judged(C_140, {sound(std::nullopt, 140.1)})->verdict == Verdict::Unknown);
    CHECK(judged(C_140, {sound(std::nullopt, 143.0)})->verdict == Verdict::Unknown);
    CHECK(judged(C_140, {sound(std::nullopt, 143.1)})->verdict == Verdict::Over);
}

TEST_CASE("the card's uncertainty makes a peak close to its limit close") {
    const auto near_limit = judged(Z_140, {sound(std::nullopt, 139.0, 1.5)});
    CHECK(near_limit->verdict == Verdict::Close);
    CHECK(near(*near_limit->probability_over, normal_probability(-1.0 / 1.5), 1e-9,
               Because::Arithmetic));
    CHECK(judged(Z_140, {sound(std::nullopt, 137.0, 1.5)})->verdict == Verdict::Within);
}
