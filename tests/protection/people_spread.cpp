#include "earbudget/protection/people_spread.hpp"

#include <algorithm>
#include <random>

#include <doctest/doctest.h>

#include "support/near.hpp"
#include "support/random_protector.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("the spread between people is the octave-band method at other z") {
    std::mt19937 random(12);
    double worst = 0.0;
    for (int round = 0; round < 50; ++round) {
        SoundLevels sound{.LAeq = LevelA(0.0)};
        sound.octave = random_octaves(random);
        sound.LAeq = *a_weighted(sound.octave).sum();
        AttenuationData worn;
        worn.octave = random_attenuation(random);
        const Prediction prediction = predict(Method::Octave, sound, worn, {});
        const auto spread = PeopleSpread::of(sound, worn, prediction);
        REQUIRE(spread);
        CHECK(near(spread->added(spread->assumed_z()), 0.0, 1e-9, Because::Arithmetic));
        for (double z = -5.0; z <= 5.0; z += 0.0371) {
            const LevelA there =
                level_by_octave_bands(sound.a_weighted_octaves(), *worn.octave, -z);
            const double reduction = (sound.LAeq - there).dB() - prediction.by_method.dB();
            worst = std::max(worst, std::abs(spread->added(z) - reduction));
        }
    }
    CHECK(near(worst, 0.0, 0.0002, Because::OwnTolerance));
}
