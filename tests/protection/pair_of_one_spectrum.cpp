// Pairs of which only one protector states octave bands.
#include <algorithm>

#include <doctest/doctest.h>

#include "earbudget/protection/worn.hpp"
#include "support/near.hpp"
#include "support/random_protector.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE(
    "a pair has octave bands where only one of the two states them, raised by the allowance") {
    Protector with_bands{.id = "a", .title = "a", .type = ProtectorType::FoamPlug};
    with_bands.octave = flat_attenuation(20.0);
    Protector labelled{.id = "b", .title = "b", .type = ProtectorType::Earmuff};
    labelled.ratings.NRR = LevelDifference(25.0);
    for (const bool plug_has_bands : {true, false}) {
        CAPTURE(plug_has_bands);
        const AttenuationData pair = plug_has_bands ? estimate_pair(with_bands, labelled, 1.0)
                                                    : estimate_pair(labelled, with_bands, 1.0);
        REQUIRE(pair.octave);
        std::size_t bands = 0;
        for (const OctaveBand band : octave_bands) {
            CHECK(pair.octave->has(band) == with_bands.octave->has(band));
            if (!pair.octave->has(band)) continue;
            CHECK(near(pair.octave->mean(band).dB(), 25.0, 1e-9, Because::Arithmetic));
            ++bands;
        }
        CHECK(bands >= 7);
        // The SNR computed from them, raised; the other's label stays.
        CHECK(pair.ratings.SNR);
        CHECK(pair.SNR_from_octaves);
        CHECK(pair.ratings.NRR == LevelDifference(25.0));
    }
    CHECK(!estimate_pair(labelled, labelled, 1.0).octave);
}
