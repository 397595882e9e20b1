// Permitted times of one sequence on its own.
#include "earbudget/review/review.hpp"

#include <cmath>

#include <doctest/doctest.h>

#include "earbudget/limits/judge.hpp"
#include "report/words/words.hpp"
#include "support/near.hpp"
#include "support/published.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

Sequence at(double LAeq) {
    Sequence sequence{.id = "a", .title = "A", .levels = {.LAeq = LevelA(LAeq)}};
    sequence.levels.LCpeak = PeakLevelC(LAeq + 10.0);
    sequence.levels.LZpeak = PeakLevelZ(LAeq + 10.0);
    return sequence;
}

ReviewTerms terms_for(Role role, const std::vector<const char*>& ids) {
    ReviewTerms terms{.role = role};
    for (const char* id : ids)
        terms.policy.criteria.push_back(published(id));
    return terms;
}

/// With one plug of this PAR, which is taken off LAeq as it stands.
ReviewTerms with_plug(ReviewTerms terms, double PAR) {
    Protector plug{.id = "plug", .title = "Plug", .type = ProtectorType::PremouldedPlug};
    plug.fits_head_coil = true;
    plug.metal_free = true;
    plug.ratings.PAR = LevelDifference(PAR);
    terms.catalogue = Catalogue{.protectors = {{plug}}, .pairs = {}};
    return terms;
}

PermittedTime unprotected(double LAeq, const ReviewTerms& terms) {
    const SequenceReview result = review(at(LAeq), terms);
    return result.choices.front().permitted.front().best.value();
}

double minutes(const PermittedTime& time) { return time.a_day.count() / 60.0; }

// Times are rounded down to a thousandth of a second.
bool is_minutes(const PermittedTime& time, double expected) {
    return near(minutes(time), expected, 0.001 / 60.0, Because::PrintedRounding);
}

}  // namespace

TEST_CASE("review: NIOSH durations, 8 h / 2^((L - 85)/3)") {
    const ReviewTerms terms = terms_for(Role::Participant, {"niosh-rel"});
    // NIOSH 98-126, table 1-1.
    CHECK(is_minutes(unprotected(88.0, terms), 240.0));
    CHECK(is_minutes(unprotected(94.0, terms), 60.0));
    CHECK(is_minutes(unprotected(100.0, terms), 15.0));
    CHECK(is_minutes(unprotected(106.0, terms), 3.75));
}

TEST_CASE("review: OSHA durations, 8 h / 2^((L - 90)/5)") {
    const ReviewTerms pel = terms_for(Role::Staff, {"osha-pel"});
    for (const double level : {90.0, 92.0, 95.0, 97.0, 100.0, 105.0, 110.0, 115.0}) {
        CAPTURE(level);
        // 29 CFR 1910.95, table G-16a.
        CHECK(is_minutes(unprotected(level, pel), 480.0 / std::exp2((level - 90.0) / 5.0)));
    }
    // Half a dose for the action level: 85 dB(A) for 8 h.
    const ReviewTerms action = terms_for(Role::Staff, {"osha-action"});
    CHECK(is_minutes(unprotected(85.0, action), 480.0));
    CHECK(unprotected(115.1, pel).kind == PermittedTime::Kind::NoTime);
}

TEST_CASE("review: the directive by energy, the scanner standard by its hour, WHO by the week") {
    const ReviewTerms eu = terms_for(Role::Staff, {"eu-limit"});
    CHECK(is_minutes(unprotected(97.0, eu), 48.0));  // ten times the energy
    CHECK(is_minutes(unprotected(87.0, eu), 480.0));
    // Above 99 dB(A) the part of an hour with as much energy; up to 99 dB(A) all day.
    const ReviewTerms hour = terms_for(Role::Participant, {"iec-60601-2-33"});
    CHECK(is_minutes(unprotected(109.0, hour), 6.0));
    CHECK(unprotected(99.0, hour).kind == PermittedTime::Kind::Unlimited);
    // WHO and ITU-T H.870 (03/2022): the energy of 40 h a week at 80 dB(A).
    const double minutes = 40.0 * 60.0 / std::pow(10.0, 1.2);
    ReviewTerms week = terms_for(Role::Participant, {"who-public-adult"});
    CHECK(is_minutes(unprotected(92.0, week), minutes));
    week.days_per_week = 5.0;
    CHECK(is_minutes(unprotected(92.0, week), minutes / 5.0));
    CHECK(unprotected(99.1, terms_for(Role::Participant, {"fda-significant-risk"})).kind ==
          PermittedTime::Kind::NoTime);
}

TEST_CASE("review: sessions share the day, also within one hour") {
    for (const char* id : {"niosh-rel", "iec-60601-2-33"}) {
        ReviewTerms terms = terms_for(Role::Participant, {id});
        const double once = minutes(unprotected(109.0, terms));
        terms.sessions_per_day = 4;
        // Each session is rounded down to a thousandth of a second.
        CHECK(
            near(minutes(unprotected(109.0, terms)), once, 0.004 / 60.0, Because::PrintedRounding));
    }
}

TEST_CASE("review: unlimited and no time come with their reason") {
    const ReviewTerms niosh = terms_for(Role::Participant, {"niosh-rel"});
    const PermittedTime below = unprotected(79.0, niosh);
    CHECK(below.kind == PermittedTime::Kind::Unlimited);
    CHECK(below.a_day == Seconds(Hours(24)));
    CHECK(text_of(below.reason).find("below the threshold of 80 dB(A)") != std::string::npos);
    // 80 dB(A) counts, and fills the dose in 25.4 h.
    CHECK(text_of(unprotected(80.0, niosh).reason) == "24 h of it keep the limit");
    const PermittedTime above = unprotected(141.0, niosh);
    CHECK(above.kind == PermittedTime::Kind::NoTime);
    CHECK(text_of(above.reason).find("above 140 dB(A)") != std::string::npos);
    // Where a ceiling has nothing to do with it, it is not blamed.
    ReviewTerms no_time = niosh;
    no_time.policy.criteria.front().rule.level = LevelA(30.0);
    CHECK(text_of(unprotected(139.0, no_time).reason) == "no time at all keeps the limit");
}

TEST_CASE("review: through a protector by hand, and poorly seated") {
    const ReviewTerms terms = with_plug(terms_for(Role::Participant, {"niosh-rel"}), 21.0);
    const SequenceReview result = review(at(109.0), terms);
    REQUIRE(result.choices.size() == 2);
    const ReviewedChoice& plug = result.choices[1];
    CHECK(near(plug.at_ear->dB(), 88.0, 1e-9, Because::Arithmetic));
    CHECK(near(plug.poorly_seated_at_ear->dB(), 99.0, 1e-9, Because::Arithmetic));
    CHECK(is_minutes(*plug.permitted[0].best, 240.0));
    // No more than 10 dB: 480 min / 2^(14/3).
    CHECK(is_minutes(*plug.permitted[0].poorly_seated, 480.0 / std::exp2(14.0 / 3.0)));
    CHECK(!result.choices[0].permitted[0].poorly_seated);
    // A plug that does less than 10 dB anyway does no less poorly seated.
    const SequenceReview weak =
        review(at(100.0), with_plug(terms_for(Role::Participant, {"niosh-rel"}), 6.0));
    CHECK(weak.choices[1].permitted[0].best->a_day ==
          weak.choices[1].permitted[0].poorly_seated->a_day);
}

TEST_CASE("review: confident time is that of the level raised by 1.645 deviations") {
    const ReviewTerms terms = terms_for(Role::Participant, {"niosh-rel"});
    Sequence sequence = at(100.0);
    sequence.levels.uncertainty = LevelDifference(2.0);
    const auto confident = review(sequence, terms).choices[0].permitted[0].confident;
    REQUIRE(confident);
    // The normal quantile of 95 % is 1.6449.
    CHECK(near(minutes(*confident), 15.0 / std::exp2(2.0 * 1.644854 / 3.0), 0.005,
               Because::SeededRandomness));
    // Entered without an uncertainty, 3 dB by default.
    sequence.levels.uncertainty = std::nullopt;
    sequence.origin.how = "entered";
    const auto by_default = review(sequence, terms).choices[0].permitted[0].confident;
    CHECK(near(minutes(*by_default), 15.0 / std::exp2(3.0 * 1.644854 / 3.0), 0.005,
               Because::SeededRandomness));
}

TEST_CASE("review: what holds metal is left out with its pairs, but for staff") {
    ReviewTerms terms = with_plug(terms_for(Role::Participant, {"niosh-rel"}), 20.0);
    terms.catalogue->protectors[0].protector.metal_free = false;
    const SequenceReview result = review(at(100.0), terms);
    CHECK(result.choices.size() == 1);
    REQUIRE(result.not_permitted.size() == 1);
    CHECK(text_of(result.not_permitted[0]).find("must not enter the bore") != std::string::npos);
    terms.role = Role::Staff;
    CHECK(review(at(100.0), terms).choices.size() == 2);
}

TEST_CASE("review: a method without its data leaves the choice undecidable") {
    ReviewTerms terms = with_plug(terms_for(Role::Participant, {"niosh-rel"}), 20.0);
    terms.policy.stated_at = {"options"};
    terms.catalogue->protectors[0].stated_at = {"protectors.toml", 3, 1};
    terms.policy.rules.method = Method::Snr;
    Sequence sequence = at(100.0);
    sequence.levels.LCeq = LevelC(101.0);
    const SequenceReview result = review(sequence, terms);
    CHECK(text_of(result.choices[1].undecidable)
              .find("protectors.toml:3:1: method snr cannot be used") == 0);
    CHECK(!result.choices[1].allows(Seconds(1.0)));
    // As is what no publication defines; the terms stand in no file.
    terms.policy.stated_at = {};
    terms.policy.rules.method = Method::Par;
    terms.policy.rules.derating.kind = Derating::Kind::Niosh;
    CHECK(text_of(review(at(100.0), terms).choices[1].undecidable).find("no publication defines") ==
          0);
}

TEST_CASE("review: action values are told and decide nothing where limits count protectors") {
    ReviewTerms terms = with_plug(terms_for(Role::Staff, {"eu-limit", "eu-lower-action"}), 25.0);
    const SequenceReview result = review(at(110.0), terms);
    const ReviewedChoice& plug = result.choices[1];
    // 85 dB(A) at the ear keeps 87 for 8 h / 10^(-0.2); outside 110 dB(A) keeps 80 for 28.8 s.
    CHECK(is_minutes(*plug.permitted[0].best, 480.0 * std::pow(10.0, 0.2)));
    CHECK(is_minutes(*plug.permitted[1].best, 0.48));
    CHECK(!plug.permitted[1].decides);
    CHECK(plug.tightest() == &plug.permitted[0]);
    CHECK(result.recommendation.code != Recommendation::Code::NotAsItIs);
    // Alone an action value decides: it is all there is.
    terms = terms_for(Role::Staff, {"eu-lower-action"});
    CHECK(review(at(110.0), terms).recommendation.code == Recommendation::Code::NotAsItIs);
}

TEST_CASE(
    "review: what counts no protectors has its time outside, though no method reaches a choice") {
    ReviewTerms terms = terms_for(Role::Staff, {"eu-limit", "eu-upper-action"});
    Protector plug{.id = "plug", .title = "P", .type = ProtectorType::PremouldedPlug};
    plug.ratings.SNR = LevelDifference(30);
    terms.catalogue = Catalogue{.protectors = {{plug}}, .pairs = {}};
    Sequence card{.id = "a", .title = "A", .levels = {.LAeq = LevelA(95.0)}};
    card.levels.LCpeak = PeakLevelC(110.0);
    const SequenceReview result = review(card, terms);
    const ReviewedChoice& worn = result.choices.back();
    REQUIRE(worn.wears == std::vector<std::string>{"plug"});
    CHECK(!worn.undecidable.empty());
    REQUIRE(worn.permitted.size() == 2);
    CHECK(!worn.permitted[0].best);
    // 8 h at 85 dB(A) are 48 min at 95.
    CHECK(near(worn.permitted[1].best->a_day.count(), 2880.0, 1.0, Because::PrintedRounding));
}

TEST_CASE("review: a short confident time of the highest hour is as exact as a long one") {
    // One normal error: T = 1 h · 10^((99 − L − 1.645·u)/10), 2 % as for every confident time.
    const ReviewTerms terms = terms_for(Role::Participant, {"iec-60601-2-33"});
    for (const double LAeq : {106.0, 114.8, 118.3}) {
        CAPTURE(LAeq);
        Sequence card = at(LAeq);
        card.levels.uncertainty = LevelDifference(1.4);
        const double expected = 3600.0 * std::pow(10.0, (99.0 - LAeq - 1.645 * 1.4) / 10.0);
        const auto& by = review(card, terms).choices.front().permitted.front();
        CHECK(std::abs(by.confident->a_day.count() / expected - 1.0) < 0.02);
    }
}
