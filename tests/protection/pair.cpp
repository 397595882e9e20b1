#include <algorithm>
#include <random>

#include <doctest/doctest.h>

#include "earbudget/protection/predict.hpp"
#include "earbudget/protection/worn.hpp"
#include "support/near.hpp"
#include "support/random_protector.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("OSHA technical manual: a pair is the higher NRR plus 5 dB (secondary sources)") {
    Protector plug{.id = "p", .title = "p", .type = ProtectorType::FoamPlug};
    plug.ratings.NRR = LevelDifference(26);
    Protector muff{.id = "m", .title = "m", .type = ProtectorType::Earmuff};
    muff.ratings.NRR = LevelDifference(20);
    const AttenuationData pair = estimate_pair(plug, muff, 1.0);
    const SoundLevels sound{.LAeq = LevelA(108.0), .LCeq = LevelC(109.5)};
    const SoundLevels A_only{.LAeq = LevelA(108.0)};
    const auto level = [&](const SoundLevels& s, Derating::Kind kind) {
        PredictionRules rules;
        rules.derating.kind = kind;
        return (s.LAeq - predict(Method::Nrr, s, pair, rules).reduction).dB();
    };
    using Kind = Derating::Kind;
    CHECK(near(level(sound, Kind::None), 109.5 - (26 + 5), 1e-9, Because::Arithmetic));
    CHECK(near(level(A_only, Kind::None), 108.0 - (26 - 7 + 5), 1e-9, Because::Arithmetic));
    // OSHA halves first and adds the 5 dB then; CSA takes 65 % of both together.
    CHECK(near(level(A_only, Kind::OshaHalf), 108.0 - ((26 - 7) / 2.0 + 5), 1e-9,
               Because::Arithmetic));
    CHECK(near(level(A_only, Kind::Csa), 108.0 - (0.65 * (26 + 5) - 3), 1e-9, Because::Arithmetic));
}

TEST_CASE("an estimated pair is never worse than either device and stays below bone conduction") {
    std::mt19937 random(15);
    for (int round = 0; round < 300; ++round) {
        Protector plug{.id = "p", .title = "p", .type = ProtectorType::FoamPlug};
        plug.octave = random_attenuation(random);
        Protector muff{.id = "m", .title = "m", .type = ProtectorType::Earmuff};
        muff.octave = random_attenuation(random);
        const AttenuationData pair = estimate_pair(plug, muff, 1.0);
        for (const OctaveBand band : octave_bands) {
            if (!pair.octave->has(band)) continue;
            const auto apv = pair.octave->assumed_protection_value(band, 1.0);
            CHECK(apv >= plug.octave->assumed_protection_value(band, 1.0));
            CHECK(apv >= muff.octave->assumed_protection_value(band, 1.0));
            const double highest =
                std::max({plug.octave->mean(band).dB(), muff.octave->mean(band).dB(),
                          bone_conduction_limit(band).dB()});
            CHECK(pair.octave->mean(band).dB() <= highest);
        }
    }
}

TEST_CASE("the allowance goes on every single rating and on each octave band") {
    Protector plug{.id = "p", .title = "p", .type = ProtectorType::FoamPlug};
    plug.octave = flat_attenuation(20.0);
    plug.ratings = {.NRR_SF = LevelDifference(15), .SLC80 = LevelDifference(22)};
    Protector muff{.id = "m", .title = "m", .type = ProtectorType::Earmuff};
    muff.octave = flat_attenuation(25.0);
    muff.ratings = {.SNR = LevelDifference(18), .NRR_SF = LevelDifference(17)};
    const AttenuationData pair = estimate_pair(plug, muff, 1.0);
    CHECK(pair.estimated_pair);
    SoundLevels sound{.LAeq = LevelA(108.0), .LCeq = LevelC(109.5)};
    for (const OctaveBand band : octave_bands)
        sound.octave.set(band, LevelZ(100.0));
    sound.LAeq = *a_weighted(sound.octave).sum();
    const auto reduction = [&](Method method) {
        return predict(method, sound, pair, {}).by_method.dB();
    };
    const double LC_minus_LA = 109.5 - sound.LAeq.dB();
    // The plug states no SNR: from its octave data it is 20 + 1.02, 21 as a label states it.
    CHECK(near(reduction(Method::Snr), 21 + 5 - LC_minus_LA, 1e-9, Because::Arithmetic));
    CHECK(predict(Method::Snr, sound, pair, {}).rating_from_octaves);
    plug.ratings.SNR = LevelDifference(21);
    const AttenuationData stated = estimate_pair(plug, muff, 1.0);
    CHECK(!predict(Method::Snr, sound, stated, {}).rating_from_octaves);
    CHECK(near(reduction(Method::NrrSf), 17 + 5 - LC_minus_LA, 1e-9, Because::Arithmetic));
    // Of the muff nothing is known here: the higher one is at least the plug's.
    CHECK(near(reduction(Method::Slc80), 22 + 5 - LC_minus_LA, 1e-9, Because::Arithmetic));
    for (const OctaveBand band : octave_bands) {
        if (pair.octave->has(band)) CHECK(pair.octave->mean(band).dB() == 30.0);
    }
}

TEST_CASE("bone conduction holds a pair at 45 dB, at 40 dB near 2 kHz (memory)") {
    Protector plug{.id = "p", .title = "p", .type = ProtectorType::FoamPlug};
    plug.octave = flat_attenuation(38.0);
    Protector muff{.id = "m", .title = "m", .type = ProtectorType::Earmuff};
    muff.octave = flat_attenuation(43.0);
    const AttenuationData pair = estimate_pair(plug, muff, 1.0);
    CHECK(pair.octave->mean(OctaveBand::Hz500).dB() == 45.0);
    CHECK(pair.octave->mean(OctaveBand::Hz2000).dB() == 43.0);  // measured above the limit
    muff.octave = flat_attenuation(38.0);
    CHECK(estimate_pair(plug, muff, 1.0).octave->mean(OctaveBand::Hz2000).dB() == 40.0);
}

TEST_CASE("H, M and L of a pair that nobody measured are refused") {
    Protector plug{.id = "p", .title = "p", .type = ProtectorType::FoamPlug};
    plug.octave = flat_attenuation(25.0);
    Protector muff{.id = "m", .title = "m", .type = ProtectorType::Earmuff};
    muff.octave = flat_attenuation(20.0);
    const AttenuationData pair = estimate_pair(plug, muff, 1.0);
    const SoundLevels sound{.LAeq = LevelA(108.0), .LCeq = LevelC(109.5)};
    CHECK(find_obstacle(Method::Hml, sound, pair, {}));
}
