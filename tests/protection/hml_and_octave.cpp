// How far the HML method is from the octave-band method, on the noises that its regressions were
// made on. docs/methods.md states the distribution.
#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/protection/predict.hpp"
#include "earbudget/protection/rating_from_octaves.hpp"
#include "support/near.hpp"
#include "support/random_protector.hpp"
#include "support/reference_noises.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

SoundLevels sound_of(const Noise& noise) {
    OctaveLevelsZ octave;
    for (std::size_t i = 0; i < noise.LA.size(); ++i) {
        const OctaveBand band = octave_bands[i + 1];
        octave.set(band, LevelZ(noise.LA[i] - a_weighting(band).dB()));
    }
    return {.LAeq = *a_weighted(octave).sum(), .LCeq = *c_weighted(octave).sum(), .octave = octave};
}

// Reduction by HML minus reduction by octave bands, sorted.
std::vector<double> differences() {
    std::mt19937 random(72);
    std::vector<double> apart;
    for (int protector = 0; protector < 10000; ++protector) {
        AttenuationData worn{.octave = random_attenuation(random)};
        const Hml hml = compute_hml(*worn.octave, 1.0);
        worn.ratings = {.H = hml.H, .M = hml.M, .L = hml.L};  // stated, so that nothing is rounded
        for (const Noise& noise : table_2) {
            const SoundLevels sound = sound_of(noise);
            apart.push_back((predict(Method::Hml, sound, worn, {}).by_method -
                             predict(Method::Octave, sound, worn, {}).by_method)
                                .dB());
        }
    }
    std::sort(apart.begin(), apart.end());
    return apart;
}

}  // namespace

TEST_CASE("10,000 protectors in 8 noises: HML differs from octave bands by little on average") {
    const std::vector<double> apart = differences();
    const auto count = static_cast<double>(apart.size());
    double sum = 0.0;
    double squares = 0.0;
    for (const double difference : apart) {
        sum += difference;
        squares += difference * difference;
    }
    const double mean = sum / count;
    const double deviation = std::sqrt(squares / count - mean * mean);
    const double low = apart[apart.size() / 20];
    const double high = apart[apart.size() - 1 - apart.size() / 20];
    const double largest = std::max(-apart.front(), apart.back());
    CHECK(std::abs(mean) < 0.1);
    CHECK(deviation < 0.5);
    // As docs/methods.md states them; another library draws other protectors.
    CHECK(near(mean, -0.05, 0.02, Because::SeededRandomness));
    CHECK(near(deviation, 0.22, 0.02, Because::SeededRandomness));
    CHECK(near(low, -0.43, 0.05, Because::SeededRandomness));
    CHECK(near(high, 0.28, 0.05, Because::SeededRandomness));
    CHECK(near(largest, 0.9, 0.3, Because::SeededRandomness));
}
