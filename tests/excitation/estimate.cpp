// A scanner's response from what was recorded of it.
#include "earbudget/excitation/estimate.hpp"

#include <cmath>

#include <doctest/doctest.h>

#include "earbudget/excitation/prediction.hpp"
#include "earbudget/measurement/meters/channel_reading.hpp"
#include "support/near.hpp"
#include "support/synthetic_scanner.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

double drawn(std::mt19937& random, double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
}

/// Recordings with noise, an unknown beginning and clock, and a drift of 5 %.
SyntheticRecording drawn_recording(std::mt19937& random) {
    return {.before = drawn(random, 0.2, 2.0),
            .clock_ppm = drawn(random, -100.0, 100.0),
            .noise_Pa = 0.02,
            .drift = drawn(random, -0.05, 0.05)};
}

std::vector<CalibrationPair> drawn_pairs(const SyntheticScanner& scanner, std::mt19937& random,
                                         std::size_t count, double seconds, bool one_axis_each) {
    std::vector<CalibrationPair> pairs;
    for (std::size_t n = 0; n < count; ++n) {
        std::array<bool, gradient_axes> axes = {!one_axis_each, !one_axis_each, !one_axis_each};
        axes[n % gradient_axes] = true;
        const auto pieces = drawn_pulses(random, seconds, axes);
        pairs.push_back(recorded_pair(scanner, pieces, drawn_recording(random), random));
    }
    return pairs;
}

/// The largest error of a magnitude where coherence is above 0.95, dB, and how many there are.
std::pair<double, int> largest_error(const ScannerResponse& response,
                                     const SyntheticScanner& scanner) {
    double largest = 0.0;
    int count = 0;
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        for (std::size_t k = 1; k < response.axes[axis].lines.size(); ++k) {
            const auto& line = response.axes[axis].lines[k];
            if (!line || line->coherence <= 0.95) continue;
            const double f = static_cast<double>(k) * response.bin_width.Hz();
            largest =
                std::max(largest, std::abs(20.0 * std::log10(std::abs(line->Pa_per_T_per_m) /
                                                             std::abs(scanner.response(axis, f)))));
            ++count;
        }
    }
    return {largest, count};
}

/// How far the prediction of a drawn sequence is off, dB, and the stated uncertainty.
std::pair<double, double> error_of_prediction(const EstimatedResponse& estimated,
                                              const SyntheticScanner& scanner,
                                              std::mt19937& random) {
    const auto pieces = drawn_sequence(random, 4.0);
    PiecesInMemory source(pieces);
    const auto sound = recorded_sound(scanner, source, {.before = 0.0, .after = 0.0}, random);
    SoundInMemory recording(std::make_shared<const std::vector<double>>(sound), 48'000.0);
    const double measured =
        read_channels(recording)[0].A->dB() + 20.0 * std::log10(1.0 / std::sqrt(2.0) / 20e-6);
    source.rewind();
    return {predict_sound(source, estimated.response).LAeq->dB() - measured,
            estimated.response.uncertainty.LAeq.dB()};
}

}  // namespace

TEST_CASE("three resonant axes are recovered within half a decibel, with their phases") {
    std::mt19937 random(21);
    const SyntheticScanner scanner = drawn_scanner(random);
    const auto estimated = estimate_response(drawn_pairs(scanner, random, 4, 10.0, false));
    const auto [largest, count] = largest_error(estimated.response, scanner);
    CHECK(largest <= 0.5);
    CHECK(count > 1500);
    // Phases of the axes against each other, whatever the common delay.
    const auto& axes = estimated.response.axes;
    int compared = 0;
    for (std::size_t k = 100; k < 600; ++k) {
        if (!axes[0].lines[k] || !axes[2].lines[k]) continue;
        const double f = static_cast<double>(k) * estimated.response.bin_width.Hz();
        const auto found = axes[0].lines[k]->Pa_per_T_per_m / axes[2].lines[k]->Pa_per_T_per_m;
        const auto is = scanner.response(0, f) / scanner.response(2, f);
        compared += std::abs(std::arg(found / is)) < 0.15 ? 1 : 0;
    }
    CHECK(compared > 480);
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        CHECK(axes[axis].driven);
        CHECK(axes[axis].separable);
        CHECK(axes[axis].time_base == 0);
    }
}

TEST_CASE("the beginning and the clock are found") {
    std::mt19937 random(22);
    const SyntheticScanner scanner = drawn_scanner(random);
    std::vector<CalibrationPair> pairs;
    const std::array<double, 3> clocks = {-100.0, 3.0, 80.0};
    for (const double ppm : clocks)
        pairs.push_back(recorded_pair(scanner, drawn_pulses(random, 12.0, {true, true, true}),
                                      {.before = 1.5, .clock_ppm = ppm, .noise_Pa = 0.02}, random));
    const auto estimated = estimate_response(pairs);
    for (std::size_t n = 0; n < pairs.size(); ++n) {
        CHECK(near(estimated.alignments[n].clock_ppm, clocks[n], 2.0, Because::OwnTolerance));
        // The strongest answer comes some milliseconds after the drive.
        CHECK(near(estimated.alignments[n].starts_at.count(), 1.5, 0.02, Because::OwnTolerance));
    }
}

TEST_CASE("recordings of one axis each are tied where they share it, else energies add") {
    std::mt19937 random(23);
    const SyntheticScanner scanner = drawn_scanner(random);
    const auto estimated = estimate_response(drawn_pairs(scanner, random, 6, 8.0, true));
    const auto& axes = estimated.response.axes;
    CHECK(axes[0].time_base != axes[1].time_base);
    CHECK(axes[0].time_base != axes[2].time_base);
    CHECK(estimated.alignments[0].time_base == estimated.alignments[3].time_base);
    CHECK(largest_error(estimated.response, scanner).first <= 0.6);
    std::vector<GradientPiece> both = drawn_sequence(random, 2.0);
    PiecesInMemory source(both);
    const auto prediction = predict_sound(source, estimated.response);
    CHECK(prediction.energies_added);
    CHECK(prediction.LAeq_in_phase->dB() >= prediction.LAeq->dB());
}

TEST_CASE("axes that run in step cannot be told apart, nor what was never driven be known") {
    std::mt19937 random(24);
    const SyntheticScanner scanner = drawn_scanner(random);
    PulseTrain train;
    while (train.seconds() < 6.0) {
        train.pulse({0.02, -0.01, 0.0}, 0.0002, drawn(random, 0.0001, 0.001));
        train.rest(drawn(random, 0.001, 0.01));
    }
    const auto estimated =
        estimate_response({recorded_pair(scanner, train.pieces(), {.noise_Pa = 0.01}, random)});
    const auto& axes = estimated.response.axes;
    CHECK_FALSE(axes[0].separable);
    CHECK_FALSE(axes[1].separable);
    CHECK(axes[0].lines.empty());
    CHECK(axes[1].lines.empty());
    CHECK_FALSE(axes[2].driven);
    CHECK(axes[2].lines.empty());
    CHECK(estimated.response.uncertainty.LAeq == uncertainty_of_untried_response);
}

TEST_CASE("between the lines of a periodic drive nothing is guessed") {
    std::mt19937 random(25);
    const SyntheticScanner scanner = drawn_scanner(random);
    PulseTrain train;
    for (int n = 0; n < 4000; ++n)
        train.pulse({n % 2 == 0 ? 0.02 : -0.02, 0.0, 0.0}, 0.0002, 0.0006);
    const auto estimated =
        estimate_response({recorded_pair(scanner, train.pieces(), {.noise_Pa = 0.05}, random)});
    const auto& lines = estimated.response.axes[0].lines;
    const double width = estimated.response.bin_width.Hz();
    const auto at = [&](double f) { return static_cast<std::size_t>(std::lround(f / width)); };
    CHECK(lines[at(500.0)]);
    CHECK(lines[at(1500.0)]);
    // What its beginning and its end tell is little.
    int known = 0;
    for (std::size_t k = at(200.0); k < at(4000.0); ++k)
        known += lines[k] ? 1 : 0;
    CHECK(known < 300);
    CHECK(largest_error(estimated.response, scanner).first <= 1.0);
}

TEST_CASE("a recording of something else is refused, and one too short") {
    std::mt19937 random(26);
    const SyntheticScanner scanner = drawn_scanner(random);
    const auto why = [](const std::vector<CalibrationPair>& pairs) {
        try {
            static_cast<void>(estimate_response(pairs));
        } catch (const CannotEstimate& error) {
            return std::optional(error);
        }
        return std::optional<CannotEstimate>();
    };
    const auto pieces = drawn_pulses(random, 8.0, {true, true, true});
    std::vector<double> noise(480'000);
    std::normal_distribution<double> normal;
    for (double& sample : noise)
        sample = 0.1 * normal(random);
    const auto found =
        why({recorded_pair(scanner, pieces, {}, random), pair_of(pieces, noise, 48'000.0)});
    REQUIRE(found);
    CHECK(found->recording == 1);
    CHECK(found->why == UnusableRecording::NotFound);
    CHECK(why({pair_of(pieces, std::vector<double>(480'000, 0.0), 48'000.0)})->why ==
          UnusableRecording::NoSound);
    // A long recording tells no more of a short waveform.
    CHECK(why({recorded_pair(scanner, drawn_pulses(random, 0.3, {true, true, true}),
                             {.before = 2.0, .after = 4.0}, random)})
              ->why == UnusableRecording::TooShort);
    CHECK(why({recorded_pair(scanner, drawn_pulses(random, 0.5, {true, true, true}),
                             {.before = 0.1, .after = 0.1}, random)})
              ->why == UnusableRecording::TooShort);
    CHECK(why({recorded_pair(scanner, pieces, {}, random),
               recorded_pair(scanner, pieces, {.rate = 44'100.0}, random)})
              ->why == UnusableRecording::OtherRate);
}

TEST_CASE("what follows the drive is told of all axes together") {
    std::mt19937 random(5);
    const SyntheticScanner scanner = drawn_scanner(random);
    const auto pieces = drawn_pulses(random, 30.0, {true, true, true});
    const auto estimated = estimate_response({recorded_pair(scanner, pieces, {}, random)});
    CHECK(estimated.alignments[0].explained > 0.9);
    CHECK(estimated.alignments[0].explained <= 1.0);
}

TEST_CASE("what is held back is predicted within twice the stated uncertainty") {
    int inside = 0;
    constexpr int cases = 6;
    for (int seed = 1; seed <= cases; ++seed) {
        std::mt19937 random(static_cast<unsigned>(seed));
        const SyntheticScanner scanner = drawn_scanner(random);
        const auto estimated =
            estimate_response(drawn_pairs(scanner, random, 4, 3.5, seed % 2 == 0));
        const auto [error, uncertainty] = error_of_prediction(estimated, scanner, random);
        inside += std::abs(error) <= 2.0 * uncertainty ? 1 : 0;
        CHECK(uncertainty >= least_uncertainty_of_prediction.dB());
        // Where nothing could be held back, it is that of a guess.
        if (seed % 2 == 0) CHECK(uncertainty == uncertainty_of_untried_response.dB());
    }
    CHECK(inside >= cases - 1);
}
