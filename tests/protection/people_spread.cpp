#include "earbudget/protection/people_spread.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
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

TEST_CASE("what people leave is the exponential of what they add") {
    std::mt19937 random(13);
    double worst = 0.0;
    for (int round = 0; round < 50; ++round) {
        SoundLevels sound{.LAeq = LevelA(0.0)};
        sound.octave = random_octaves(random);
        sound.LAeq = *a_weighted(sound.octave).sum();
        AttenuationData worn;
        worn.octave = random_attenuation(random);
        const auto spread = PeopleSpread::of(sound, worn, predict(Method::Octave, sound, worn, {}));
        REQUIRE(spread);
        for (const double exchange : {3.0, 4.0, 5.0}) {
            const double growth = std::numbers::ln2 / exchange;
            const Eigen::ArrayXd z = Eigen::ArrayXd::LinSpaced(701, -7.0, 7.0);
            Eigen::ArrayXd left(z.size());
            spread->energy_left(growth).write(z, left);
            for (Eigen::Index i = 0; i < z.size(); ++i) {
                const double added = -std::log(left[i]) / growth;
                worst = std::max(worst, std::abs(added - spread->added(z[i])));
            }
        }
    }
    CHECK(near(worst, 0.0, 0.0005, Because::OwnTolerance));
}
