#include <algorithm>
#include <cmath>
#include <memory>
#include <random>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/protection/predict.hpp"
#include "earbudget/protection/worn.hpp"
#include "report/words/words.hpp"
#include "support/near.hpp"
#include "support/random_protector.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

AttenuationData with_hml() {
    AttenuationData plug{.type = ProtectorType::FoamPlug};
    plug.ratings.H = LevelDifference(30);
    plug.ratings.M = LevelDifference(24);
    plug.ratings.L = LevelDifference(18);
    plug.ratings.SNR = LevelDifference(28);
    plug.ratings.NRR = LevelDifference(22);
    return plug;
}

SoundLevels A_alone(std::optional<bool> low_frequency) {
    return {.LAeq = LevelA(100.0), .low_frequency = low_frequency};
}

bool is(LevelDifference value, double dB) {
    return near(value.dB(), dB, 1e-9, Because::Arithmetic);
}

}  // namespace

TEST_CASE("LA alone: the HML check takes M without strong low frequencies, else L") {
    const Prediction unstated = predict(Method::Hml, A_alone(std::nullopt), with_hml(), {});
    CHECK(unstated.form == MethodForm::CheckL);
    CHECK(is(unstated.reduction, 18.0));
    CHECK(is(unstated.reduction_by_M.value(), 24.0));
    // LC − LA anywhere from −2 to 10 dB: from H to L.
    CHECK(is(unstated.form_uncertainty, 12.0 / std::sqrt(12.0)));
    const Prediction low = predict(Method::Hml, A_alone(true), with_hml(), {});
    CHECK(low.form == MethodForm::CheckL);
    // From 5 to 10 dB: M − 3/8 (M − L) to L.
    CHECK(is(low.form_uncertainty, (24.0 - 3.0 / 8.0 * 6.0 - 18.0) / std::sqrt(12.0)));
    const Prediction high = predict(Method::Hml, A_alone(false), with_hml(), {});
    CHECK(high.form == MethodForm::CheckM);
    CHECK(is(high.reduction, 24.0));
    CHECK(!high.reduction_by_M);
    CHECK(is(high.form_uncertainty, (30.0 - (24.0 - 3.0 / 8.0 * 6.0)) / std::sqrt(12.0)));
}

TEST_CASE("LA alone: BGN ASI 8.10, 87 − M 24 + 9 = 72 dB(A)") {
    SoundLevels sound = A_alone(false);
    sound.LAeq = LevelA(87.0);
    PredictionRules rules;
    rules.derating.kind = Derating::Kind::Trlv;  // 9 dB for a formable plug
    const Prediction prediction = predict(Method::Hml, sound, with_hml(), rules);
    CHECK(is((sound.LAeq - prediction.reduction) - LevelA(0.0), 72.0));
}

TEST_CASE("LA alone: SNR takes LA + 5 where no strong low frequencies are stated, else nothing") {
    const Prediction prediction = predict(Method::Snr, A_alone(false), with_hml(), {});
    CHECK(prediction.form == MethodForm::SnrFromA);
    CHECK(is(prediction.reduction, 23.0));
    CHECK(is(prediction.form_uncertainty, 7.0 / std::sqrt(12.0)));
    for (const auto stated : {std::optional<bool>(), std::optional(true)}) {
        const auto obstacle = find_obstacle(Method::Snr, A_alone(stated), with_hml(), {});
        REQUIRE(obstacle);
        CHECK(obstacle->cause == Unavailable::Cause::Sound);
        CHECK((text_of(obstacle->says).find("low_frequency") != std::string::npos) == !stated);
    }
}

TEST_CASE("LA alone: NRR keeps its 7 dB") {
    const Prediction prediction = predict(Method::Nrr, A_alone(std::nullopt), with_hml(), {});
    CHECK(prediction.form == MethodForm::FromA);
    CHECK(is(prediction.reduction, 15.0));
    CHECK(is(prediction.form_uncertainty, 12.0 / std::sqrt(12.0)));
}

TEST_CASE("a spectrum of another card counts with the spread over all, at least 2 dB") {
    std::mt19937 random(92);
    const AttenuationData plug{.type = ProtectorType::FoamPlug,
                               .octave = random_attenuation(random)};
    std::vector<SoundLevels> others;
    std::vector<double> reductions;
    for (int i = 0; i < 5; ++i) {
        SoundLevels sound{.LAeq = LevelA(0.0), .octave = random_octaves(random)};
        sound.LAeq = *a_weighted(sound.octave).sum();
        reductions.push_back(predict(Method::Octave, sound, plug, {}).by_method.dB());
        others.push_back(sound);
    }
    SoundLevels sound = others.front().shifted(LevelDifference(3.0));
    sound.borrowed = std::make_shared<const BorrowedSpectrum>(BorrowedSpectrum{"a", others});
    const Prediction prediction = predict(Method::Octave, sound, plug, {});
    CHECK(prediction.form == MethodForm::SpectrumLike);
    CHECK(is(prediction.by_method, reductions.front()));
    double mean = 0.0;
    for (const double reduction : reductions)
        mean += reduction / 5.0;
    double squares = 0.0;
    for (const double reduction : reductions)
        squares += (reduction - mean) * (reduction - mean);
    CHECK(is(prediction.form_uncertainty, std::max(2.0, std::sqrt(squares / 4.0))));
    sound.borrowed =
        std::make_shared<const BorrowedSpectrum>(BorrowedSpectrum{"a", {others.front()}});
    CHECK(is(predict(Method::Octave, sound, plug, {}).form_uncertainty, 2.0));
}

TEST_CASE("a stricter protection performance never gives more reduction, by any method") {
    std::mt19937 random(93);
    std::uniform_int_distribution<int> rating(10, 35);
    std::uniform_real_distribution<double> any(50.0, 98.0);
    for (int round = 0; round < 300; ++round) {
        Protector plug{.id = "p", .title = "p", .octave = random_attenuation(random)};
        Protector muff{.id = "m", .title = "m", .type = ProtectorType::Earmuff};
        if (round % 2 == 0) muff.octave = random_attenuation(random);
        const LevelDifference SNR(rating(random));
        if (round % 3 != 0) plug.ratings.SNR = SNR;
        if (round % 5 != 0) muff.ratings.SNR = LevelDifference(rating(random));
        if (round % 7 < 3) plug.octave.reset();
        plug.ratings.H = SNR + LevelDifference(2);
        plug.ratings.M = SNR - LevelDifference(3);
        plug.ratings.L = SNR - LevelDifference(7);
        SoundLevels sound{.LAeq = LevelA(0.0), .octave = random_octaves(random)};
        sound.LAeq = *a_weighted(sound.octave).sum();
        std::vector<double> percents{50.0, 72.5, 75.0, 84.0, 85.0, 95.0, 98.0, any(random)};
        std::ranges::sort(percents);
        for (const Method method : {Method::Octave, Method::Hml, Method::Snr}) {
            for (const bool pair : {false, true}) {
                double last = 1000.0;
                for (const double percent : percents) {
                    PredictionRules rules;
                    rules.performance = ProtectionPerformance(percent);
                    const double alpha = rules.performance.alpha();
                    const AttenuationData worn =
                        pair ? estimate_pair(plug, muff, alpha) : plug.attenuation();
                    if (find_obstacle(method, sound, worn, rules)) continue;
                    const double reduction = predict(method, sound, worn, rules).reduction.dB();
                    CAPTURE(name_of(method));
                    CAPTURE(pair);
                    CAPTURE(percent);
                    CHECK(reduction <= last + 1e-9);
                    last = reduction;
                }
            }
        }
    }
}

TEST_CASE("a label alone stands for any performance, as that of 84 %") {
    PredictionRules rules;
    for (const double percent : {75.0, 95.0}) {
        rules.performance = ProtectionPerformance(percent);
        const SoundLevels sound{.LAeq = LevelA(100.0), .LCeq = LevelC(102.0)};
        const Prediction prediction = predict(Method::Hml, sound, with_hml(), rules);
        CHECK(is(prediction.reduction, 24.0));
        CHECK(prediction.asked_of_label == rules.performance);
        CHECK(prediction.performance == ProtectionPerformance());
    }
}
