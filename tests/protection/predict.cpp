#include "earbudget/protection/predict.hpp"

#include <cmath>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

#include "report/words/words.hpp"
#include "support/near.hpp"
#include "support/random_protector.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

using Kind = Derating::Kind;
using Cause = Unavailable::Cause;

SoundLevels sound_with_octaves(std::mt19937& random) {
    const OctaveLevelsZ octave = random_octaves(random);
    return {.LAeq = *a_weighted(octave).sum(), .LCeq = *c_weighted(octave).sum(), .octave = octave};
}

AttenuationData everything(std::mt19937& random) {
    AttenuationData data{.type = ProtectorType::FoamPlug, .octave = random_attenuation(random)};
    const LevelDifference rating(24.0);
    data.ratings = {.SNR = rating,
                    .H = rating,
                    .M = rating,
                    .L = rating,
                    .NRR = rating,
                    .NRR_SF = rating,
                    .SLC80 = rating,
                    .PAR = rating};
    return data;
}

PredictionRules with(Kind kind, double own = 0.0) {
    PredictionRules rules;
    rules.derating = {.kind = kind, .own = LevelDifference(own)};
    return rules;
}

double at_ear(Method method, const SoundLevels& sound, const AttenuationData& worn,
              const PredictionRules& rules) {
    const Prediction prediction = predict(method, sound, worn, rules);
    return (sound.LAeq - prediction.reduction).dB();
}

const SoundLevels echo{.LAeq = LevelA(108.0), .LCeq = LevelC(109.5)};
const SoundLevels echo_A_only{.LAeq = LevelA(108.0)};

}  // namespace

TEST_CASE("each rating method is its published subtraction") {
    AttenuationData plug{.type = ProtectorType::FoamPlug};
    plug.ratings = {.SNR = LevelDifference(30),
                    .NRR = LevelDifference(26),
                    .NRR_SF = LevelDifference(17),
                    .SLC80 = LevelDifference(22),
                    .PAR = LevelDifference(24)};
    const PredictionRules plain;
    const auto check = [&](Method method, const SoundLevels& sound, double expected) {
        CAPTURE(name_of(method));
        CHECK(near(at_ear(method, sound, plug, plain), expected, 1e-9, Because::Arithmetic));
    };
    check(Method::Snr, echo, 109.5 - 30);
    check(Method::Nrr, echo, 109.5 - 26);
    check(Method::Nrr, echo_A_only, 108.0 - (26 - 7));
    check(Method::NrrSf, echo, 109.5 - 17);
    check(Method::NrrSf, echo_A_only, 108.0 - (17 - 5));
    check(Method::Slc80, echo, 109.5 - 22);
    check(Method::Par, echo, 108.0 - 24);
    check(Method::Par, echo_A_only, 108.0 - 24);
}

TEST_CASE("deratings of the NRR, with C and with A only") {
    AttenuationData plug{.type = ProtectorType::FoamPlug};
    plug.ratings.NRR = LevelDifference(26);
    AttenuationData muff{.type = ProtectorType::Earmuff};
    muff.ratings.NRR = LevelDifference(20);
    const auto check = [&](Kind kind, const AttenuationData& worn, const SoundLevels& sound,
                           double expected) {
        CAPTURE(name_of(kind));
        CHECK(near(at_ear(Method::Nrr, sound, worn, with(kind)), expected, 1e-9,
                   Because::Arithmetic));
    };
    check(Kind::Niosh, plug, echo, 109.5 - 13);
    check(Kind::Niosh, plug, echo_A_only, 108.0 - (13 - 7));
    check(Kind::Niosh, muff, echo, 109.5 - 15);
    check(Kind::Niosh, muff, echo_A_only, 108.0 - (15 - 7));
    check(Kind::OshaHalf, plug, echo, 109.5 - 13);
    check(Kind::OshaHalf, plug, echo_A_only, 108.0 - (26 - 7) / 2.0);
    check(Kind::Csa, plug, echo, 109.5 - 13);
    check(Kind::Csa, plug, echo_A_only, 108.0 - (13 - 3));
    check(Kind::Csa, muff, echo_A_only, 108.0 - (14 - 3));
}

TEST_CASE("deductions in decibels go on any method") {
    std::mt19937 random(9);
    const SoundLevels sound = sound_with_octaves(random);
    AttenuationData plug = everything(random);
    for (const Method method : methods_best_first) {
        CAPTURE(name_of(method));
        const double plain = at_ear(method, sound, plug, with(Kind::None));
        CHECK(near(at_ear(method, sound, plug, with(Kind::Uk4dB)), plain + 4.0, 1e-9,
                   Because::Arithmetic));
        CHECK(near(at_ear(method, sound, plug, with(Kind::Own, 6.0)), plain + 6.0, 1e-9,
                   Because::Arithmetic));
    }
}

TEST_CASE("TRLV Lärm part 3, DGUV Regel 112-194: practice deductions by type (seen)") {
    std::mt19937 random(91);
    const SoundLevels sound = sound_with_octaves(random);
    AttenuationData worn = everything(random);
    const std::vector<std::pair<ProtectorType, double>> rows = {
        {ProtectorType::FoamPlug, 9.0},
        {ProtectorType::PremouldedPlug, 5.0},
        {ProtectorType::CanalCap, 5.0},
        {ProtectorType::Earmuff, 5.0},
        {ProtectorType::CustomPlug, 3.0}};
    for (const auto& [type, dB] : rows) {
        CAPTURE(name_of(type));
        worn.type = type;
        for (const Method method : methods_best_first) {
            const double plain = at_ear(method, sound, worn, with(Kind::None));
            CHECK(near(at_ear(method, sound, worn, with(Kind::Trlv)), plain + dB, 1e-9,
                       Because::Arithmetic));
        }
    }
    worn.type = std::nullopt;  // two worn together: it says nothing
    CHECK(find_obstacle(Method::Snr, sound, worn, with(Kind::Trlv)));
}

TEST_CASE("H, M and L computed from octave data are whole decibels, as a label states them") {
    std::mt19937 random(92);
    for (int round = 0; round < 20; ++round) {
        const SoundLevels sound = sound_with_octaves(random);
        AttenuationData plug{.type = ProtectorType::FoamPlug, .octave = random_attenuation(random)};
        const Prediction prediction = predict(Method::Hml, sound, plug, {});
        CHECK(prediction.rating_from_octaves);
        for (const LevelDifference rating :
             {prediction.hml->H, prediction.hml->M, prediction.hml->L}) {
            CHECK(rating.dB() == std::round(rating.dB()));
        }
    }
}

TEST_CASE("only the nrr method has a factor derating, everything else is refused by name") {
    std::mt19937 random(10);
    const SoundLevels sound = sound_with_octaves(random);
    const AttenuationData plug = everything(random);
    int refused = 0;
    for (const Method method : methods_best_first) {
        for (const Kind kind : {Kind::Niosh, Kind::OshaHalf, Kind::Csa}) {
            const auto obstacle = find_obstacle(method, sound, plug, with(kind));
            CHECK(obstacle.has_value() == (method != Method::Nrr));
            if (!obstacle) continue;
            ++refused;
            CHECK(obstacle->cause == Cause::Combination);
            CHECK(text_of(obstacle->says).find(name_of(method)) != std::string::npos);
            CHECK(text_of(obstacle->says).find(name_of(kind)) != std::string::npos);
        }
    }
    CHECK(refused == 18);
}

TEST_CASE("a negative reduction counts as zero: NRR 20 of another plug, derated by NIOSH") {
    AttenuationData plug{.type = ProtectorType::PremouldedPlug};
    plug.ratings.NRR = LevelDifference(20);
    const Prediction prediction = predict(Method::Nrr, echo_A_only, plug, with(Kind::Niosh));
    CHECK(near(prediction.by_method.dB(), -1.0, 1e-9, Because::Arithmetic));
    CHECK(prediction.reduction.dB() == 0.0);
    CHECK(prediction.raised_to_zero);
}

TEST_CASE("SNR without LCeq or octave levels is refused with what to enter") {
    std::mt19937 random(11);
    const AttenuationData plug = everything(random);
    for (const Method method : {Method::Snr, Method::Slc80}) {
        const auto obstacle = find_obstacle(method, echo_A_only, plug, {});
        REQUIRE(obstacle);
        CHECK(obstacle->cause == Cause::Sound);
        CHECK(text_of(obstacle->says).find("LCeq") != std::string::npos);
        CHECK(!find_obstacle(method, echo, plug, {}));
    }
    const auto octaves = find_obstacle(Method::Octave, echo, plug, {});
    REQUIRE(octaves);
    CHECK(text_of(octaves->says).find("[levels.octave]") != std::string::npos);
}

TEST_CASE("a band that is missing is named, on the card and in the catalogue") {
    std::mt19937 random(12);
    SoundLevels sound = sound_with_octaves(random);
    OctaveLevelsZ without;
    for (const OctaveBand band : octave_bands) {
        if (band != OctaveBand::Hz2000 && sound.octave.has(band)) {
            without.set(band, *sound.octave.at(band));
        }
    }
    const AttenuationData plug = everything(random);
    sound.octave = without;
    const auto in_card = find_obstacle(Method::Octave, sound, plug, {});
    REQUIRE(in_card);
    CHECK(text_of(in_card->says).find("2000 Hz") != std::string::npos);
}

TEST_CASE("from 125 Hz where either side has no 63 Hz") {
    std::mt19937 random(13);
    SoundLevels sound = sound_with_octaves(random);
    sound.octave.set(OctaveBand::Hz63, LevelZ(110.0));
    AttenuationData plug = everything(random);
    CHECK(predict(Method::Octave, sound, plug, {}).starts_at_63_Hz);
    OctaveAttenuation from_125;
    for (const OctaveBand band : octave_bands) {
        if (band != OctaveBand::Hz63 && plug.octave->has(band)) {
            from_125.set(band, plug.octave->mean(band), plug.octave->deviation(band));
        }
    }
    plug.octave = from_125;
    const Prediction prediction = predict(Method::Octave, sound, plug, {});
    CHECK(!prediction.starts_at_63_Hz);
    CHECK(near(prediction.left_out->dB(), 110.0 - 26.2, 1e-9, Because::Arithmetic));
}

TEST_CASE("a higher protection performance never raises the reduction") {
    std::mt19937 random(14);
    for (int round = 0; round < 100; ++round) {
        const SoundLevels sound = sound_with_octaves(random);
        const AttenuationData plug = everything(random);
        PredictionRules rules;
        double last = 1000.0;
        for (const double percent : {50.0, 75.0, 84.0, 90.0, 95.0, 98.0}) {
            rules.performance = ProtectionPerformance(percent);
            const double reduction = predict(Method::Octave, sound, plug, rules).reduction.dB();
            CHECK(reduction <= last);
            last = reduction;
        }
    }
}

TEST_CASE("a label holds at 84 %, another performance is computed where there are octave data") {
    AttenuationData label_only{.type = ProtectorType::FoamPlug};
    label_only.ratings.SNR = LevelDifference(30);
    PredictionRules rules;
    rules.performance = ProtectionPerformance(95);
    // As the label of 84 %, which is said (forms.cpp).
    CHECK(predict(Method::Snr, echo, label_only, rules).rating->dB() == 30.0);
    label_only.octave = flat_attenuation(20.0);
    const Prediction prediction = predict(Method::Snr, echo, label_only, rules);
    CHECK(prediction.rating_from_octaves);
    CHECK(prediction.rating->dB() == 21.0);  // 20 + 1.02, stated in whole decibels
}
