// What a review says of approving, and its exit status.
#include <algorithm>

#include <doctest/doctest.h>

#include "earbudget/review/review.hpp"
#include "report/words/words.hpp"
#include "support/published.hpp"

using namespace earbudget;
using namespace earbudget::test;
using Code = Recommendation::Code;

namespace {

/// A card that lacks nothing.
Sequence complete(double LAeq) {
    Sequence sequence{.id = "a", .title = "A", .levels = {.LAeq = LevelA(LAeq)}};
    SoundLevels& levels = sequence.levels;
    levels.LCeq = LevelC(LAeq + 1.0);
    levels.LCpeak = PeakLevelC(LAeq + 12.0);
    levels.LZpeak = PeakLevelZ(LAeq + 12.0);
    levels.uncertainty = LevelDifference(1.4);
    for (std::size_t i = index_of(OctaveBand::Hz63); i <= index_of(OctaveBand::Hz8000); ++i)
        levels.octave.set(octave_bands[i], LevelZ(LAeq - 8.0));
    sequence.origin = {.how = "measured",
                       .who = "the unit's physicist",
                       .when = "2026-11-02",
                       .where = "ear position in the bore",
                       .subject = "phantom",
                       .timing = "echo spacing 0.69 ms",
                       .instrument = "class 1 meter",
                       .calibration = "94 dB at 1 kHz, before and after",
                       .background = "room.flac, 55.0 dB(A), taken off where it counts",
                       .uncertainty = "instrument 0.7 dB; position 1.0 dB; drift 0.3 dB",
                       .recording = "a.flac, channel 1",
                       .recording_sha256 = std::string(64, 'a'),
                       .duration = Seconds(30.0)};
    return sequence;
}

ReviewTerms terms_with(double PAR, bool fits = true) {
    ReviewTerms terms{.role = Role::Participant};
    terms.policy.criteria = {published("niosh-rel"), published("iec-60601-2-33")};
    Protector plug{.id = "plug", .title = "Plug", .type = ProtectorType::PremouldedPlug};
    plug.fits_head_coil = fits;
    plug.metal_free = true;
    plug.ratings.PAR = LevelDifference(PAR);
    terms.catalogue = Catalogue{.protectors = {{plug}}, .pairs = {}};
    return terms;
}

bool any_says(const std::vector<Message>& messages, std::string_view words) {
    return std::ranges::any_of(messages, [&](const Message& message) {
        return text_of(message).find(words) != std::string::npos;
    });
}

}  // namespace

TEST_CASE("review: a complete card with a working plug may be approved only with it") {
    const ReviewTerms terms = terms_with(25.0);
    const SequenceReview result = review(complete(108.0), terms);
    CHECK(checks_in(result.checks, CheckState::Missing).empty());
    CHECK(checks_in(result.checks, CheckState::Doubtful).empty());
    CHECK(result.recommendation.code == Code::OnlyWith);
    CHECK(text_of(result.recommendation.says).find("may be approved only with plug (12 h") == 0);
    // Poorly seated 98 dB(A): 23.8 min, far less than what is offered.
    CHECK(any_says(result.recommendation.conditions, "poorly seated, plug leaves 23 min"));
    CHECK(any_says(result.recommendation.conditions, "timing"));
    CHECK(result.recommendation.approves());
}

TEST_CASE("review: where the fit decides it is a condition") {
    const ReviewTerms terms = terms_with(25.0);
    const SequenceReview result = review(complete(115.0), terms);
    // Poorly seated 105 dB(A): 4.7 min, less than the 10 min.
    CHECK(any_says(result.recommendation.conditions, "poorly seated, plug leaves 4 min"));
}

TEST_CASE("review: a quiet sequence may be approved on conditions, whatever is worn") {
    const ReviewTerms terms = terms_with(25.0);
    const SequenceReview result = review(complete(84.0), terms);
    CHECK(result.recommendation.code == Code::OnCondition);
    CHECK(result.recommendation.approves());
}

TEST_CASE("review: a peak that is close is approved on the condition that it is measured again") {
    const ReviewTerms terms = terms_with(25.0);
    Sequence card = complete(108.0);
    card.levels.LZpeak = PeakLevelZ(139.8);
    card.levels.uncertainty = LevelDifference(1.2);
    const SequenceReview result = review(card, terms);
    CHECK(result.peak_verdict() == Verdict::Close);
    CHECK(result.recommendation.approves());
    CHECK(any_says(result.recommendation.conditions, "the peak is measured again"));
}

TEST_CASE("review: what may say that it is not so is looked at, an empty bore is no phantom") {
    Sequence card = complete(108.0);
    card.origin.calibration = "not done";
    card.origin.subject.clear();
    card.origin.where = "ear position, empty bore, no phantom";
    card.origin.instrument = "not class 1, a telephone";
    card.origin.uncertainty.clear();
    const auto checks = check_card(card);
    const auto state = [&](CheckCode code) {
        return std::ranges::find(checks, code, &ReviewCheck::code)->state;
    };
    CHECK(state(CheckCode::Calibration) == CheckState::Doubtful);
    CHECK(state(CheckCode::Subject) == CheckState::Doubtful);
    CHECK(state(CheckCode::InstrumentClass) == CheckState::Missing);
}

TEST_CASE("review: what is not stated to be free of metal must be known first") {
    ReviewTerms terms = terms_with(25.0);
    terms.catalogue->protectors.front().protector.metal_free = std::nullopt;
    const SequenceReview result = review(complete(108.0), terms);
    CHECK(any_says(result.recommendation.conditions, "free of metal, which is not stated: plug"));
}

TEST_CASE("review: nothing is approved before what matters is known") {
    const ReviewTerms terms = terms_with(25.0);
    Sequence card = complete(108.0);
    card.origin.calibration.clear();
    const SequenceReview result = review(card, terms);
    CHECK(result.recommendation.code == Code::NotBeforeKnown);
    CHECK(text_of(result.recommendation.says).find("before this is known: calibration;") !=
          std::string::npos);
    CHECK(!result.recommendation.approves());
    // What is only worth completing is a condition.
    card = complete(108.0);
    card.origin.background.clear();
    const SequenceReview other = review(card, terms);
    CHECK(other.recommendation.code == Code::OnlyWith);
    CHECK(any_says(other.recommendation.conditions, "the card is completed: background"));
}

TEST_CASE("review: a peak over its limit, unknown, or not surely below") {
    const ReviewTerms terms = terms_with(25.0);
    Sequence card = complete(108.0);
    card.levels.LZpeak = PeakLevelZ(141.0);
    SequenceReview result = review(card, terms);
    CHECK(result.recommendation.code == Code::NotAsItIs);
    CHECK(text_of(result.recommendation.says).find("the peak is 141.0 dB, above 140.0 dB") !=
          std::string::npos);
    CHECK(!result.recommendation.approves());
    card.levels.LZpeak = card.levels.LZpeak.value() - LevelDifference(1.0);
    CHECK(review(card, terms).peak_verdict() != Verdict::Over);  // 140 dB is not above 140 dB
    card.levels.LZpeak = std::nullopt;
    card.levels.LCpeak = std::nullopt;
    result = review(card, terms);
    CHECK(result.peak_verdict() == Verdict::Unknown);
    CHECK(result.recommendation.code == Code::NotBeforeKnown);
    CHECK(!result.recommendation.approves());
    // LCpeak alone, less than 3 dB below the limit on the unweighted peak.
    card.levels.LCpeak = PeakLevelC(138.0);
    CHECK(!review(card, terms).recommendation.approves());
    card.levels.LCpeak = PeakLevelC(130.0);
    CHECK(review(card, terms).recommendation.approves());
}

TEST_CASE("review: nothing permits the least time, so it is not approved as it is") {
    ReviewTerms terms = terms_with(10.0);
    const SequenceReview result = review(complete(112.0), terms);
    CHECK(result.recommendation.code == Code::NotAsItIs);
    // 102 dB(A): 480 min / 2^(17/3) = 9 min 26 s.
    CHECK(text_of(result.recommendation.says)
              .find("plug permits most, 9 min 26 s a day by niosh-rel") != std::string::npos);
    CHECK(!result.recommendation.approves());
    terms.least_time = Seconds(300.0);
    CHECK(review(complete(112.0), terms).recommendation.approves());
    // What does not fit the head coil keeps nothing.
    CHECK(!review(complete(108.0), terms_with(25.0, false)).recommendation.approves());
    terms.catalogue = std::nullopt;
    CHECK(text_of(review(complete(112.0), terms).recommendation.says)
              .find("review it with the protectors") != std::string::npos);
}

TEST_CASE("review: a changed timing is a doubt, a timing that is not named too") {
    const Sequence card = complete(108.0);
    Sequence other = card;
    CHECK(!check_of_timing(card, other));
    other.origin.timing = "echo spacing 0.75 ms";
    CHECK(check_of_timing(card, other)->state == CheckState::Doubtful);
    other.origin.timing.clear();
    CHECK(check_of_timing(card, other)->state == CheckState::Missing);
}

TEST_CASE("review: a classification is a condition and never a reason against a sequence") {
    ReviewTerms terms = terms_with(25.0);
    terms.policy.criteria = {published("niosh-rel"), published("fda-significant-risk")};
    // 101 dB(A) at the ear: NIOSH's 11 min 54 s, and above the 99 dB(A) of significant risk.
    SequenceReview result = review(complete(126.0), terms);
    CHECK(result.recommendation.code == Code::OnlyWith);
    CHECK(any_says(result.recommendation.conditions,
                   "fda-significant-risk is exceeded with plug, by the level: the study counts as "
                   "significant risk"));
    // Nor by its peak.
    Sequence card = complete(108.0);
    card.levels.LZpeak = PeakLevelZ(141.0);
    result = review(card, terms);
    CHECK(result.recommendation.code == Code::OnlyWith);
    CHECK(any_says(result.recommendation.conditions, "fda-significant-risk is"));
    // Alone it is no limit, and nothing is approved by none.
    terms.policy.criteria = {published("fda-significant-risk")};
    result = review(complete(84.0), terms);
    CHECK(result.recommendation.code == Code::NotBeforeKnown);
    CHECK(text_of(result.recommendation.says).find("this is known: a limit;") != std::string::npos);
}

TEST_CASE("review: children are held to their own limit, adults are told of it") {
    ReviewTerms terms = terms_with(25.0);
    const auto take = [&terms](AgeGroup age) {
        ReviewCriteria criteria = review_criteria(Role::Participant, age);
        terms.age = age;
        terms.policy.criteria = std::move(criteria.criteria);
        terms.for_others = std::move(criteria.for_others);
    };
    // 88 dB(A) at the ear: 40 h / 10^0.8 = 6 h 20 min for adults, 2 h a week for children.
    const auto tightest = [&] {
        return review(complete(113.0), terms).choices.back().tightest()->criterion->id;
    };
    take(AgeGroup::Adult);
    CHECK(terms.for_others == std::vector<std::string>{"who-public-child"});
    CHECK(tightest() == "niosh-rel");
    for (const AgeGroup age : {AgeGroup::Teenager, AgeGroup::Child, AgeGroup::Neonate}) {
        take(age);
        CHECK(tightest() == "who-public-child");
        CHECK(std::ranges::none_of(terms.policy.criteria, [](const Criterion& criterion) {
            return criterion.id == "who-public-adult";
        }));
    }
    const SequenceReview neonate = review(complete(108.0), terms);
    CHECK(neonate.recommendation.code == Code::NotBeforeKnown);
    CHECK(text_of(neonate.recommendation.says).find("no published limit for them is known") !=
          std::string::npos);
    CHECK(text_of(neonate.recommendation.says).find("may be approved") == std::string::npos);
}

TEST_CASE("review: a time that is not confidently permitted has the confident one beside it") {
    const ReviewTerms terms = terms_with(25.0);
    Sequence card = complete(98.0);  // 23 min 48 s a day by NIOSH, the time asked for is 10 min
    CHECK(text_of(review(card, terms).recommendation.says).find("confidently") ==
          std::string::npos);
    card.levels.uncertainty = LevelDifference(5.0);
    const SequenceReview unsure = review(card, terms);
    CHECK(text_of(unsure.recommendation.says)
              .find("23 min 48 s a day by niosh-rel, confidently 3 min") != std::string::npos);
}

TEST_CASE("review: what is one country's counts where it is named") {
    const auto ids = review_criteria(Role::Staff, AgeGroup::Adult).criteria;
    CHECK(std::ranges::find(ids, "eu-upper-action", &Criterion::id) != ids.end());
    CHECK(std::ranges::find(ids, "de-under-protector", &Criterion::id) == ids.end());
}
