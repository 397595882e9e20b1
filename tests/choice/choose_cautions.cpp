// Where choosing must not promise more than is known.
#include <cmath>
#include <random>

#include <doctest/doctest.h>

#include "earbudget/advice/assess.hpp"
#include "earbudget/choice/choose.hpp"
#include "report/words/words.hpp"
#include "support/near.hpp"
#include "support/plugs.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

const RankedChoice& ranked(const PersonChoice& choice, const std::vector<std::string>& wears) {
    return *std::ranges::find(choice.ranking, wears, &RankedChoice::wears);
}

/// A sound whose energy lies at 63 Hz, for eight hours.
Plan rumble(const std::vector<Protector>& protectors) {
    Plan plan = plan_of(100.0, 480.0, protectors);
    OctaveLevelsZ octave;
    const std::array<double, 8> levels = {122, 100, 95, 90, 90, 85, 80, 75};
    for (std::size_t i = 0; i < levels.size(); ++i)
        octave.set(octave_bands[i + 1], LevelZ(levels[i]));
    SoundLevels& sound = plan.sequences.front().levels;
    sound.octave = octave;
    sound.LAeq = *a_weighted(octave).sum();
    sound.LCeq = c_weighted(octave).sum();
    plan.people.front().policy.rules.method = Method::Octave;
    judge_only_by(plan, "niosh-rel");
    return plan;
}

Protector with_octaves(std::string id, ProtectorType type, const std::vector<double>& means,
                       double sd) {
    Protector protector{.id = std::move(id), .title = "invented", .type = type};
    protector.fits_head_coil = true;
    protector.metal_free = true;
    protector.octave.emplace();
    const std::size_t first = 9 - means.size();  // the last band is 8000 Hz
    for (std::size_t i = 0; i < means.size(); ++i) {
        protector.octave->set(octave_bands[first + i], LevelDifference(means[i]),
                              LevelDifference(sd));
    }
    return protector;
}

}  // namespace

TEST_CASE("a band that only one of two has counts from that one, plus 5 dB") {
    const auto foam =
        with_octaves("foam", ProtectorType::FoamPlug, {12, 22, 24, 27, 29, 33, 39, 40}, 4.0);
    const auto muff =
        with_octaves("muff", ProtectorType::Earmuff, {10, 15, 20, 30, 33, 35, 35}, 3.0);
    const PersonChoice choice = choose(rumble({foam, muff})).front();
    // By hand: 63 Hz leaves 122 − 26.2 − (12 − 4 + 5) = 82.8 dB(A), the other bands 66.2.
    const double expected = 10.0 * std::log10(std::pow(10.0, 8.28) + std::pow(10.0, 6.62));
    CHECK(near(ranked(choice, {"foam", "muff"}).at_ear_LEX_8h->dB(), expected, 0.05,
               Because::PrintedRounding));
}

TEST_CASE("what leaves out the band that matters is no answer") {
    const auto muff =
        with_octaves("muff", ProtectorType::Earmuff, {10, 15, 20, 30, 33, 35, 35}, 3.0);
    const PersonChoice choice = choose(rumble({muff})).front();
    CHECK(choice.ranking.front().verdict == Verdict::Unknown);
    CHECK(says(choice.ranking.front(), "would, unreduced, put it over a limit"));
    CHECK(says(choice.ranking.front(), "leaves out, below 125"));
    CHECK(!choice.has_answer());
}

TEST_CASE("a label does not outweigh a fit test of a part of it") {
    Plan plan = plan_of(110.0, 30.0,
                        {plug_of("plug", 33.0), plug_of("muff", 10.0, ProtectorType::Earmuff)});
    for (CatalogueEntry& entry : plan.catalogue.protectors) {
        entry.protector.ratings = {.SNR = entry.protector.ratings.PAR};
    }
    plan.sequences.front().levels.LCeq = LevelC(111.0);
    Person& person = plan.people.front();
    person.wears = {"plug"};
    person.PAR = LevelDifference(8.0);
    const PersonChoice choice = choose(plan).front();
    CHECK(ranked(choice, {"plug"}).verdict == Verdict::Over);
    CHECK(ranked(choice, {"plug", "muff"}).verdict == Verdict::Unknown);
    CHECK(says(ranked(choice, {"plug", "muff"}), "a label does not outweigh it"));
}

TEST_CASE("an action value counts no protectors: the ranking is by the other limits and says so") {
    Plan plan = plan_of(95.0, 480.0, {plug_of("plug", 20.0)});
    make_staff(plan);
    plan.people.front().policy.criteria = {*find_published_criterion("eu-limit"),
                                           *find_published_criterion("eu-upper-action")};
    const PersonChoice choice = choose(plan).front();
    CHECK(choice.has_answer());
    CHECK(choice.ranking.front().verdict == Verdict::Within);
    CHECK(std::ranges::any_of(choice.notes, [](const Message& message) {
        const std::string note = text_of(message);
        return note.starts_with(
            "above eu-upper-action whatever is worn, which is no limit: "
            "protectors must be used");
    }));
    // And assess advises it for the same reason.
    CHECK(advises(assess(plan).people.front(), "add-protection"));
    CHECK(assess(plan).people.front().verdict == Verdict::Over);
}

TEST_CASE("what does not fit or is not agreed to is ranked and no answer") {
    const Plan plan = plan_of(100.0, 60.0, {plug_of("plug", 20.0)});
    for (const bool coil : {true, false}) {
        Plan other = plan;
        if (coil) {
            other.catalogue.protectors[0].protector.fits_head_coil = false;
        } else {
            other.people[0].only = WearsOnly::Earmuffs;
        }
        const PersonChoice choice = choose(other).front();
        CHECK(choice.ranking.front().verdict == Verdict::Within);
        CHECK(!choice.has_answer());
        CHECK(choice.required);
        // assess does not advise it either.
        const auto person = assess(other).people.front();
        CHECK(!advises(person, "add-protection"));
        CHECK(advises(person, "required-protection"));
    }
    CHECK(choose(plan).front().has_answer());
}

TEST_CASE("a measured pair without data is estimated, one of unknown data adds nothing") {
    Protector plug = plug_of("plug", 0.0);
    plug.ratings = {.SNR = LevelDifference(25.0)};
    Protector muff = plug_of("muff", 0.0, ProtectorType::Earmuff);
    muff.ratings = {.SNR = LevelDifference(20.0)};
    Plan plan = plan_of(110.0, 60.0, {plug, muff});
    plan.sequences.front().levels.LCeq = LevelC(110.0);
    plan.catalogue.pairs.push_back({.plug = "plug", .earmuff = "muff"});
    const auto pair_level = [](const Plan& of) {
        return ranked(choose(of).front(), {"plug", "muff"}).while_scanning->dB();
    };
    CHECK(near(pair_level(plan), 110.0 - 30.0, 1e-9, Because::Arithmetic));
    plan.catalogue.protectors[1].protector.ratings = {};
    CHECK(near(pair_level(plan), 110.0 - 25.0, 1e-9, Because::Arithmetic));
    CHECK(says(ranked(choose(plan).front(), {"plug", "muff"}), "it counts for nothing"));
}

TEST_CASE("a poor fit never has a better verdict than a good one") {
    // The loud hours are through little attenuation and uncertain; poorly seated others take over.
    std::mt19937 random(61);
    for (int round = 0; round < 200; ++round) {
        Plan plan = random_plan(random);
        plan.sequences.front().levels.uncertainty = std::nullopt;
        const PersonResult person = assess(plan).people.front();
        for (const CriterionResult& criterion : person.criteria)
            CHECK(*criterion.with_poor_fit >= criterion.verdict);
    }
}

TEST_CASE("who asks for more protection performance gets no smaller alpha") {
    double before = -1.0;
    for (double percent = 50.0; percent <= 98.0; percent += 0.01) {
        const double alpha = ProtectionPerformance(std::min(percent, 98.0)).alpha();
        CHECK(alpha >= before);
        before = alpha;
    }
    CHECK(ProtectionPerformance(84.0).alpha() == 1.0);  // ISO 4869-2, table 1 (memory)
}
