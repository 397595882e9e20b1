#include "earbudget/choice/check_ratings.hpp"

#include <algorithm>
#include <random>

#include <doctest/doctest.h>

#include "day/label_protector.hpp"
#include "support/near.hpp"
#include "support/random_protector.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("a catalogue whose labels follow from its data agrees and has no notes") {
    const CheckedRatings checked = check(sound_protector());
    CHECK(checked.notes.empty());
    REQUIRE(checked.comparisons.size() == 5);
    for (const RatingComparison& comparison : checked.comparisons) {
        CAPTURE(comparison.rating);
        CHECK(comparison.difference().dB() == 0.0);
        CHECK(comparison.agrees());
    }
    for (const RatingRow& rating : ratings_from_octaves) {
        // A label is at most half a decibel from what it rounds.
        CHECK(near((checked.computed.*rating.value)->dB(),
                   (checked.computed_unrounded.*rating.value)->dB(), 0.5,
                   Because::PrintedRounding));
    }
}

TEST_CASE("no label of random protectors that follows from their data is called wrong") {
    std::mt19937 random(90);
    for (int round = 0; round < 300; ++round) {
        Protector protector = sound_protector();
        protector.octave = random_attenuation(random);
        protector.ratings = check(protector).computed;
        const CheckedRatings checked = check(protector);
        CAPTURE(round);
        CHECK(checked.notes.empty());
        CHECK_FALSE(check_ratings(catalogue_of({protector})).any_apart());
    }
}

TEST_CASE("1 dB agrees, up to 2 dB is no failure, more is apart") {
    struct Row {
        double off;
        bool agrees;
        bool apart;
    };
    for (const Row& row : {Row{0, true, false}, Row{1, true, false}, Row{-1, true, false},
                           Row{1.1, false, false}, Row{2, false, false}, Row{-2, false, false},
                           Row{2.1, false, true}, Row{-3, false, true}}) {
        for (const RatingRow& rating : ratings_from_octaves) {
            CAPTURE(rating.name);
            CAPTURE(row.off);
            Protector protector = sound_protector();
            *(protector.ratings.*rating.value) += decibels(row.off);
            const RatingsCheck result = check_ratings(catalogue_of({protector}));
            const auto& comparisons = result.protectors.front().comparisons;
            const auto found =
                std::find_if(comparisons.begin(), comparisons.end(),
                             [&](const RatingComparison& c) { return c.rating == rating.name; });
            REQUIRE(found != comparisons.end());
            CHECK(near(found->difference().dB(), row.off, 1e-9, Because::Arithmetic));
            CHECK(found->agrees() == row.agrees);
            CHECK(found->is_apart() == row.apart);
            CHECK(result.any_apart() == row.apart);
            CHECK(codes(result.protectors.front()).contains("rating-apart") == row.apart);
        }
    }
}

TEST_CASE("without all bands from 125 Hz nothing is computed and the missing ones are named") {
    Protector protector = sound_protector();
    OctaveAttenuation sparse;
    for (const OctaveBand band : {OctaveBand::Hz63, OctaveBand::Hz125, OctaveBand::Hz500,
                                  OctaveBand::Hz1000, OctaveBand::Hz2000, OctaveBand::Hz8000}) {
        sparse.set(band, decibels(20), decibels(4));
    }
    protector.octave = sparse;
    const CheckedRatings checked = check(protector);
    CHECK(says(checked, "bands-missing", "no data at 250, 4000 Hz"));
    CHECK(checked.comparisons.empty());
    for (const RatingRow& rating : ratings_from_octaves) {
        CHECK_FALSE((checked.computed.*rating.value).has_value());
        CHECK_FALSE((checked.computed_unrounded.*rating.value).has_value());
        CHECK_FALSE((checked.computed_1994.*rating.value).has_value());
    }
    const Protector nothing{.id = "x", .title = "x", .type = ProtectorType::Earmuff};
    CHECK(codes(check(nothing)) == std::set<std::string>{"no-data"});
}

TEST_CASE("measured pairs are checked by their own data and against each of the two") {
    Protector muff = sound_protector();
    muff.id = "muff";
    muff.type = ProtectorType::Earmuff;
    Catalogue catalogue = catalogue_of({sound_protector(), muff});
    MeasuredPair pair{.plug = "foam", .earmuff = "muff"};
    pair.attenuation.octave = flat_attenuation(38.0);
    for (const OctaveBand band : octave_bands) {
        if (pair.attenuation.octave->has(band))
            pair.attenuation.octave->set(band, decibels(38), decibels(4));
    }
    pair.attenuation.ratings.SNR = decibels(36);
    catalogue.pairs = {pair};
    const RatingsCheck fine = check_ratings(catalogue);
    REQUIRE(fine.pairs.size() == 1);
    CHECK(fine.pairs.front().notes.empty());
    CHECK(fine.pairs.front().ids == std::vector<std::string>{"foam", "muff"});
    CHECK(fine.pairs.front().computed.SNR->dB() == 35.0);  // 38 − 4 + 1.0, rounded
    CHECK_FALSE(fine.any_apart());
    catalogue.pairs.front().attenuation.ratings.SNR = decibels(63);
    CHECK(check_ratings(catalogue).any_apart());
    catalogue.pairs.front().attenuation.octave->set(OctaveBand::Hz1000, decibels(8.3), decibels(4));
    const CheckedRatings spoiled = check_ratings(catalogue).pairs.front();
    CHECK(says(spoiled, "pair-below-one", "1000 Hz"));
}

TEST_CASE("results come in the order of the catalogue") {
    std::vector<Protector> protectors;
    for (const std::string id : {"c", "a", "b"}) {
        protectors.push_back(sound_protector());
        protectors.back().id = id;
    }
    const RatingsCheck result = check_ratings(catalogue_of(protectors));
    REQUIRE(result.protectors.size() == 3);
    for (std::size_t i = 0; i < 3; ++i)
        CHECK(result.protectors[i].ids.front() == protectors[i].id);
}
