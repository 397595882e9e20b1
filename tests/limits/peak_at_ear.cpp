// Limits on the peak at the ear: by what one protector leaves of LCpeak, else by the peak outside.
#include <algorithm>
#include <optional>
#include <string>

#include <doctest/doctest.h>

#include "earbudget/advice/assess.hpp"
#include "earbudget/choice/choose.hpp"
#include "earbudget/limits/judge.hpp"
#include "earbudget/review/review.hpp"
#include "report/words/words.hpp"
#include "support/near.hpp"
#include "support/simple_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

Protector labelled(std::string id, ProtectorType type, double M, double L) {
    Protector protector{.id = std::move(id), .title = "P", .type = type};
    protector.metal_free = true;
    protector.ratings = {.SNR = LevelDifference(M + 3.0),
                         .H = LevelDifference(M + 6.0),
                         .M = LevelDifference(M),
                         .L = LevelDifference(L)};
    return protector;
}

/// Staff at the scanner in a sound of that peak, two plugs and an earmuff to be had.
Plan loud_peak(double LCpeak, std::vector<std::string> wears, std::optional<bool> low_frequency) {
    Plan plan = simple_plan(95.0, 10.0, 0.0);
    SoundLevels& levels = plan.sequences.front().levels;
    levels.LCeq = LevelC(96.0);
    levels.LCpeak = PeakLevelC(LCpeak);
    levels.LZpeak = PeakLevelZ(LCpeak);
    levels.low_frequency = low_frequency;
    plan.catalogue.protectors = {{labelled("foam", ProtectorType::FoamPlug, 24.0, 20.0)},
                                 {labelled("custom", ProtectorType::CustomPlug, 20.0, 18.0)},
                                 {labelled("muff", ProtectorType::Earmuff, 26.0, 18.0)}};
    Person& person = plan.people.front();
    person.role = Role::Staff;
    person.wears = std::move(wears);
    person.tasks.emplace_back();  // hears the timeline at the ear position
    person.policy.criteria = {*find_published_criterion("eu-limit")};
    return plan;
}

CriterionResult peak_in(const Plan& plan) {
    const Assessment assessment = assess(plan);
    CriterionResult peak =
        *std::ranges::find(assessment.people.front().criteria, true, &CriterionResult::is_peak);
    peak.criterion = nullptr;  // of the assessment's plan
    return peak;
}

bool is(const CriterionResult& peak, double dB) {
    return near(peak.value.value(), dB, 1e-9, Because::Arithmetic);
}

}  // namespace

TEST_CASE("a limit that counts protectors looks at the peak under one") {
    // 24 − 9 = 15 dB, in low-frequency noise 20 − 9 − 5 = 6 dB, not stated the smaller.
    const CriterionResult usual = peak_in(loud_peak(150.0, {"foam"}, false));
    CHECK(is(usual, 135.0));
    CHECK(usual.at_ear);
    CHECK(usual.verdict == Verdict::Within);
    CHECK(text_of(usual.remarks, "; ").find("DGUV Information 212-024") != std::string::npos);
    CHECK(is(peak_in(loud_peak(150.0, {"foam"}, true)), 144.0));
    CHECK(is(peak_in(loud_peak(150.0, {"foam"}, std::nullopt)), 144.0));
    CHECK(peak_in(loud_peak(150.0, {"foam"}, std::nullopt)).verdict == Verdict::Over);
    CHECK(is(peak_in(loud_peak(150.0, {"muff"}, true)), 142.0));
    const CriterionResult bare = peak_in(loud_peak(150.0, {}, false));
    CHECK(is(bare, 150.0));
    CHECK(bare.verdict == Verdict::Over);
}

TEST_CASE("the peak outside counts where a protector is poorly seated, taken off, or one of two") {
    const auto outside = [](const auto& change) {
        Plan plan = loud_peak(150.0, {"foam"}, false);
        change(plan.people.front());
        const CriterionResult peak = peak_in(plan);
        CHECK(!peak.at_ear);
        CHECK(is(peak, 150.0));
        CHECK(peak.verdict == Verdict::Over);
    };
    outside([](Person& person) { person.wearing.poor_fit = true; });
    outside([](Person& person) { person.wearing.fraction_of_time = 0.99; });
    outside([](Person& person) {
        person.wears = {"foam", "muff"};
        person.policy.rules.method = Method::Snr;
    });
    // Well seated within, poorly seated over, with the peak that counts then.
    const CriterionResult seated = peak_in(loud_peak(150.0, {"foam"}, false));
    CHECK(seated.with_poor_fit == Verdict::Over);
    CHECK(seated.value_with_poor_fit == 150.0);
}

TEST_CASE("Ks is the practice deduction whatever the derating, a worse fit test counts") {
    Plan plan = loud_peak(150.0, {"foam"}, false);
    for (const Derating::Kind kind :
         {Derating::Kind::None, Derating::Kind::Uk4dB, Derating::Kind::Trlv}) {
        plan.people.front().policy.rules.derating = {.kind = kind};
        CHECK(is(peak_in(plan), 135.0));
    }
    plan.people.front().policy.rules.derating = {};
    plan.people.front().PAR = LevelDifference(12.0);
    CHECK(is(peak_in(plan), 138.0));
    plan.people.front().PAR = LevelDifference(22.0);
    CHECK(is(peak_in(plan), 135.0));
}

TEST_CASE("limits on the unprotected peak stay as they are") {
    Plan plan = loud_peak(150.0, {"foam"}, false);
    for (const char* id : {"osha-pel", "eu-upper-action", "eu-lower-action"}) {
        CAPTURE(id);
        plan.people.front().policy.criteria = {*find_published_criterion(id)};
        const CriterionResult peak = peak_in(plan);
        CHECK(is(peak, 150.0));
        CHECK(!peak.at_ear);
    }
    for (const Criterion& criterion : published_criteria()) {
        if (!criterion.peak) continue;
        CAPTURE(criterion.id);
        CHECK(criterion.peak->at_ear ==
              (criterion.with_protection && criterion.peak->weighting == PeakLimit::Weighting::C));
    }
}

TEST_CASE("behind a wall nothing is stated to lack low frequencies") {
    Plan plan = loud_peak(180.0, {"foam"}, false);
    Position room{.id = "room"};
    room.door_shut.difference = LevelDifference(-30.0);
    plan.positions.push_back(room);
    plan.people.front().tasks.front().position = 0;
    CHECK(is(peak_in(plan), 144.0));  // 180 − 30 − (20 − 9 − 5)
}

TEST_CASE("choose and the advice take the peak at the ear into account") {
    Plan plan = loud_peak(150.0, {}, false);
    const PersonChoice choice = choose(plan).front();
    CHECK(!choice.peak);  // no limit here is on the peak outside
    CHECK(choice.unprotected.verdict == Verdict::Over);
    for (const RankedChoice& ranked : choice.ranking) {
        CAPTURE(ranked.wears);
        const bool single = ranked.wears.size() == 1;
        CHECK(ranked.peak_at_ear == (single ? Verdict::Within : Verdict::Over));
        CHECK(ranked.verdict == (single ? Verdict::Within : Verdict::Over));
        if (single) CHECK(ranked.with_poor_fit == Verdict::Over);
    }
    REQUIRE(choice.has_answer());
    const Assessment assessment = assess(plan);
    const PersonResult& person = assessment.people.front();
    CHECK(person.verdict == Verdict::Over);
    CHECK(advises(person, "add-protection"));
    CHECK(!advises(person, "measure-again"));
    // Above what anything leaves: 160 − 15 (foam), 17 (custom), 21 dB (muff).
    plan = loud_peak(162.0, {}, false);
    const PersonChoice none = choose(plan).front();
    CHECK(!none.has_answer());
    REQUIRE(none.required);
    CHECK(near(none.required->peak_at_ear.value().dB(), 22.0, 1e-9, Because::Arithmetic));
    const Assessment hopeless = assess(plan);
    CHECK(advises(hopeless.people.front(), "measure-again"));
    CHECK(!advises(hopeless.people.front(), "add-protection"));
}

TEST_CASE("review permits no time where the peak under the protector is over its limit") {
    const Plan plan = loud_peak(158.0, {}, false);
    ReviewTerms terms{.catalogue = plan.catalogue, .role = Role::Staff};
    terms.policy.criteria = {*find_published_criterion("eu-limit")};
    const SequenceReview result = review(plan.sequences.front(), terms);
    REQUIRE(result.peaks.size() == 1);
    CHECK(result.peaks.front().verdict == Verdict::Over);  // with nothing worn
    CHECK(result.peak_verdict() == Verdict::Within);       // each choice says it
    for (const ReviewedChoice& choice : result.choices) {
        CAPTURE(choice.wears);
        const bool keeps = choice.wears == std::vector<std::string>{"muff"};  // 158 − 21 dB
        REQUIRE(choice.permitted.size() == 1);
        const PermittedByCriterion& by = choice.permitted.front();
        REQUIRE(by.peak);
        CHECK((by.peak->verdict == Verdict::Over) == !keeps);
        CHECK((by.best->kind == PermittedTime::Kind::NoTime) == !keeps);
        if (keeps) CHECK(by.poorly_seated->kind == PermittedTime::Kind::NoTime);
    }
}

TEST_CASE("an unweighted peak stands for the C-weighted one that is not stated, never a bound") {
    Plan plan = loud_peak(150.0, {}, std::nullopt);
    plan.sequences.front().levels.LCpeak.reset();
    plan.sequences.front().origin.how = "measured";
    const CriterionResult over = peak_in(plan);
    CHECK(!over.by_bound);
    CHECK(over.verdict == Verdict::Over);
    CHECK(is(over, 150.0));
    plan.sequences.front().levels.LZpeak = PeakLevelZ(120.0);
    CHECK(is(peak_in(plan), 120.0));
    CHECK(peak_in(plan).verdict == Verdict::Within);
}

TEST_CASE("review: no time is confidently permitted beside a peak at the ear that is close") {
    const Plan plan = loud_peak(139.0, {}, std::nullopt);
    Sequence card = plan.sequences.front();
    card.levels.uncertainty = LevelDifference(2.0);  // Φ(−1/2) = 31 % above 140 dB(C)
    ReviewTerms terms{.role = Role::Staff};
    terms.policy.criteria = plan.people.front().policy.criteria;
    const SequenceReview result = review(card, terms);
    const PermittedByCriterion& by = result.choices.front().permitted.front();
    CHECK(by.best->kind == PermittedTime::Kind::Limited);
    CHECK(by.confident->kind == PermittedTime::Kind::NoTime);
}
