// What protection performance does to the reduction: whoever asks for more is never told of more.
#include <algorithm>
#include <cmath>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/protection/predict.hpp"
#include "earbudget/protection/worn.hpp"
#include "support/near.hpp"
#include "support/random_protector.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

double between(std::mt19937& random, double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
}

bool is_likely(std::mt19937& random, double probability) {
    return std::bernoulli_distribution(probability)(random);
}

/// Octave data from modest to above bone conduction, with a wide or narrow spread.
OctaveAttenuation any_attenuation(std::mt19937& random) {
    OctaveAttenuation attenuation = random_attenuation(random);
    const double more = between(random, -5.0, 15.0);
    for (const OctaveBand band : octave_bands) {
        if (!attenuation.has(band)) continue;
        attenuation.set(band, attenuation.mean(band) + LevelDifference(more),
                        LevelDifference(between(random, 0.5, 9.0)));
    }
    return attenuation;
}

std::optional<LevelDifference> any_rating(std::mt19937& random) {
    if (!is_likely(random, 0.6)) return std::nullopt;
    return LevelDifference(std::round(between(random, 8.0, 38.0)));
}

/// A protector of which some is stated, with labels that need not agree with its octave data.
Protector any_protector(std::mt19937& random, ProtectorType type) {
    Protector protector{.id = std::string(name_of(type)), .title = "invented", .type = type};
    if (is_likely(random, 0.7)) protector.octave = any_attenuation(random);
    protector.ratings = {.SNR = any_rating(random),
                         .NRR = any_rating(random),
                         .NRR_SF = any_rating(random),
                         .SLC80 = any_rating(random)};
    if (is_likely(random, 0.5)) {
        const double M = std::round(between(random, 10.0, 30.0));
        protector.ratings.H = LevelDifference(M + std::round(between(random, -1.0, 6.0)));
        protector.ratings.M = LevelDifference(M);
        protector.ratings.L = LevelDifference(M - std::round(between(random, -1.0, 8.0)));
    }
    return protector;
}

/// A noise with LC − LA from below −2 dB to above 10 dB.
SoundLevels any_sound(std::mt19937& random) {
    OctaveLevelsZ octave;
    const double tilt = between(random, -8.0, 5.0);
    double level = 95.0;
    for (std::size_t i = index_of(OctaveBand::Hz63); i <= index_of(OctaveBand::Hz8000); ++i) {
        octave.set(octave_bands[i], LevelZ(level + between(random, -3.0, 3.0)));
        level += tilt;
    }
    return {.LAeq = *a_weighted(octave).sum(), .LCeq = *c_weighted(octave).sum(), .octave = octave};
}

std::optional<double> reduction(Method method, const SoundLevels& sound,
                                const AttenuationData& worn, double percent) {
    PredictionRules rules;
    rules.performance = ProtectionPerformance(percent);
    if (find_obstacle(method, sound, worn, rules)) return std::nullopt;
    return predict(method, sound, worn, rules).by_method.dB();
}

/// How often a stricter performance was looked at after a laxer one.
template <class WornAt>
int check_never_more(const SoundLevels& sound, const WornAt& worn_at) {
    int compared = 0;
    for (const Method method : methods_best_first) {
        std::optional<double> laxer;
        for (double percent = 50.0; percent <= 98.0; percent += 0.5) {
            const auto now = reduction(method, sound, worn_at(percent), percent);
            CAPTURE(name_of(method));
            CAPTURE(percent);
            if (now && laxer) {
                ++compared;
                CHECK(*now <= *laxer + 1e-9);
            }
            if (now) laxer = now;
        }
    }
    return compared;
}

double alpha_at(double percent) { return ProtectionPerformance(percent).alpha(); }

}  // namespace

TEST_CASE("a stricter performance never gives more reduction, by any method, label or data") {
    std::mt19937 random(850);
    int compared = 0;
    for (int round = 0; round < 150; ++round) {
        const AttenuationData worn = any_protector(random, ProtectorType::FoamPlug).attenuation();
        compared += check_never_more(any_sound(random), [&](double) { return worn; });
    }
    CHECK(compared > 20000);
}

TEST_CASE("a stricter performance never gives more reduction by an estimated pair") {
    std::mt19937 random(725);
    int compared = 0;
    for (int round = 0; round < 150; ++round) {
        const Protector plug = any_protector(random, ProtectorType::FoamPlug);
        const Protector muff = any_protector(random, ProtectorType::Earmuff);
        compared += check_never_more(any_sound(random), [&](double percent) {
            return estimate_pair(plug, muff, alpha_at(percent));
        });
    }
    CHECK(compared > 20000);
}

TEST_CASE("an estimated pair's SNR is the higher one for that performance plus 5 dB") {
    std::mt19937 random(855);
    for (int round = 0; round < 50; ++round) {
        Protector plug{.id = "p", .title = "p", .type = ProtectorType::FoamPlug};
        plug.octave = any_attenuation(random);
        Protector muff{.id = "m", .title = "m", .type = ProtectorType::Earmuff};
        muff.octave = any_attenuation(random);
        const SoundLevels sound = any_sound(random);
        for (const double percent : {72.5, 84.0, 85.0, 95.0}) {
            CAPTURE(percent);
            const AttenuationData pair = estimate_pair(plug, muff, alpha_at(percent));
            const auto of_pair = reduction(Method::Snr, sound, pair, percent);
            const auto of_plug = reduction(Method::Snr, sound, plug.attenuation(), percent);
            const auto of_muff = reduction(Method::Snr, sound, muff.attenuation(), percent);
            REQUIRE(of_pair);
            CHECK(near(*of_pair, std::max(*of_plug, *of_muff) + 5.0, 1e-9, Because::Arithmetic));
        }
    }
}

TEST_CASE("octave bands of an estimated pair: the better device at 84 %, whatever is asked for") {
    std::mt19937 random(84);
    for (int round = 0; round < 100; ++round) {
        Protector plug{.id = "p", .title = "p", .type = ProtectorType::FoamPlug};
        plug.octave = any_attenuation(random);
        Protector muff{.id = "m", .title = "m", .type = ProtectorType::Earmuff};
        muff.octave = any_attenuation(random);
        const AttenuationData pair = estimate_pair(plug, muff, alpha_of_labels);
        const AttenuationData strict = estimate_pair(plug, muff, alpha_at(98.0));
        for (const OctaveBand band : octave_bands) {
            if (!pair.octave->has(band)) continue;
            const double of_plug = plug.octave->assumed_protection_value(band, 1.0).dB();
            const double of_muff = muff.octave->assumed_protection_value(band, 1.0).dB();
            const OctaveAttenuation& better = of_plug >= of_muff ? *plug.octave : *muff.octave;
            const double limit = band == OctaveBand::Hz2000 ? 40.0 : 45.0;
            const double mean = better.mean(band).dB();
            const double expected = mean >= limit ? mean : std::min(mean + 5.0, limit);
            CHECK(pair.octave->mean(band).dB() == expected);
            CHECK(pair.octave->deviation(band) == better.deviation(band));
            CHECK(strict.octave->mean(band) == pair.octave->mean(band));
            CHECK(strict.octave->deviation(band) == pair.octave->deviation(band));
        }
    }
}

TEST_CASE("where label and data disagree, a rating stays on its side of the label") {
    AttenuationData worn{.type = ProtectorType::FoamPlug, .octave = flat_attenuation(25.0)};
    const SoundLevels sound{.LAeq = LevelA(100.0), .LCeq = LevelC(100.0)};
    const auto SNR_at = [&](double percent) {
        return reduction(Method::Snr, sound, worn, percent);
    };
    worn.ratings.SNR = LevelDifference(20);  // the data give 26
    CHECK(SNR_at(84.0) == 20.0);
    CHECK(SNR_at(85.0) == 20.0);
    CHECK(SNR_at(80.0) == 26.0);
    worn.ratings.SNR = LevelDifference(30);
    CHECK(SNR_at(84.0) == 30.0);
    CHECK(SNR_at(85.0) == 26.0);
    CHECK(SNR_at(80.0) == 30.0);
}
