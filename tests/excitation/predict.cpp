// The level of a sequence by a response that is known.
#include <cmath>
#include <numbers>

#include <doctest/doctest.h>

#include "earbudget/excitation/prediction.hpp"
#include "earbudget/measurement/meters/channel_reading.hpp"
#include "support/near.hpp"
#include "support/pieces_in_memory.hpp"
#include "support/synthetic_scanner.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

constexpr double bin = 48'000.0 / 16'384.0;

/// The same magnitude everywhere up to 20 kHz.
AxisResponse flat(double Pa_per_T_per_m, unsigned time_base = 0) {
    AxisResponse axis;
    axis.driven = true;
    axis.time_base = time_base;
    axis.lines.resize(static_cast<std::size_t>(20'000.0 / bin));
    for (std::size_t k = 1; k < axis.lines.size(); ++k)
        axis.lines[k] = ResponseLine{Pa_per_T_per_m, 1.0};
    return axis;
}

ScannerResponse flat_scanner(double x, double y, double z) {
    ScannerResponse response;
    response.bin_width = Frequency(bin);
    response.axes = {flat(x), flat(y), flat(z)};
    return response;
}

/// Trapezoids of alternating sign, 500 Hz, on x.
std::vector<GradientPiece> train_500_Hz(double seconds, const AxisVector& amplitude) {
    PulseTrain train;
    while (train.seconds() < seconds - 1e-9) {
        train.pulse(amplitude, 0.0002, 0.0006);
        train.pulse({-amplitude[0], -amplitude[1], -amplitude[2]}, 0.0002, 0.0006);
    }
    return train.pieces();
}

ExpectedSound predicted(const std::vector<GradientPiece>& pieces, const ScannerResponse& response) {
    PiecesInMemory source(pieces);
    return predict_sound(source, response);
}

/// Level of the n-th harmonic of the train, from the changes of its slope (Fourier series), times a
/// flat response.
double harmonic_dB(int n, double amplitude, double ramp, double period, double Pa_per_T_per_m) {
    const double w = 2.0 * std::numbers::pi / period;
    const double flat_time = period / 2.0 - 2.0 * ramp;
    const double s = amplitude / ramp;
    std::complex<double> sum = 0.0;
    const double half = period / 2.0;
    for (const auto& [time, change] : {std::pair{ramp, -s},
                                       {ramp + flat_time, -s},
                                       {half + ramp, s},
                                       {half + ramp + flat_time, s}})
        sum += change * std::polar(1.0, -n * w * time);
    const double peak = 2.0 * std::abs(sum) / (period * n * w * n * w);
    return 20.0 * std::log10(Pa_per_T_per_m * peak / std::sqrt(2.0) / 20e-6);
}

}  // namespace

TEST_CASE("a flat response gives the harmonics of a trapezoid train's Fourier series") {
    const auto prediction = predicted(train_500_Hz(10.0, {0.02, 0.0, 0.0}), flat_scanner(50, 0, 0));
    // 500, 1500 and 3500 Hz lie in third octaves of their own; at 2500 Hz there is nothing.
    for (const auto& [n, band] : {std::pair{1, 14U}, {3, 19U}, {7, 22U}}) {
        CAPTURE(n);
        REQUIRE(prediction.third_octave[band]);
        CHECK(near(prediction.third_octave[band]->dB(), harmonic_dB(n, 0.02, 0.0002, 0.002, 50.0),
                   0.05, Because::FiniteSignal));
    }
    double energy = 0.0;
    for (int n = 1; n < 40; n += 2) {
        const double level = harmonic_dB(n, 0.02, 0.0002, 0.002, 50.0);
        energy += std::pow(10.0, (level + a_weighting(Frequency(500.0 * n)).dB()) / 10.0);
    }
    CHECK(near(prediction.LAeq->dB(), 10.0 * std::log10(energy), 0.05, Because::FiniteSignal));
    REQUIRE(prediction.fundamental);
    CHECK(near(prediction.fundamental->Hz(), 500.0, 1.0, Because::FiniteSignal));
    CHECK(prediction.seconds.size() == 10);
    for (const auto& second : prediction.seconds)
        CHECK(near(second->dB(), prediction.LAeq->dB(), 0.4, Because::FiniteSignal));
    CHECK(near(prediction.of_axis[0]->dB(), prediction.LAeq->dB(), 1e-6, Because::Arithmetic));
    CHECK_FALSE(prediction.of_axis[1]);
    CHECK_FALSE(prediction.energies_added);
}

TEST_CASE("time and frequency hold the same energy") {
    PulseTrain train;
    std::mt19937 random(3);
    while (train.seconds() < 3.0) {
        const double amplitude = std::uniform_real_distribution<double>(-0.02, 0.02)(random);
        train.pulse({amplitude, 0.0, amplitude / 3.0}, 0.002, 0.003);
    }
    const auto pieces = train.pieces();
    const auto prediction = predicted(pieces, flat_scanner(10, 0, 0));
    // ∫ (dG/dt)² dt of all axes, against the slew's spectrum: equal but for what lies beyond the
    // raster.
    double squares = 0.0;
    for (const GradientPiece& piece : pieces) {
        for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
            const double slew = (piece.to[axis] - piece.from[axis]) / piece.lasts.count();
            squares += slew * slew * piece.lasts.count();
        }
    }
    double sum = 0.0;
    for (const double each : prediction.slew.mean_square)
        sum += each;
    CHECK(near(10.0 * std::log10(sum * prediction.duration.count() / squares), 0.0, 0.05,
               Because::FiniteSignal));
    // The seconds' energies add up to the whole's.
    double seconds = 0.0;
    for (std::size_t n = 0; n < prediction.seconds.size(); ++n) {
        const double lasts = std::min(1.0, prediction.duration.count() - static_cast<double>(n));
        if (prediction.seconds[n]) seconds += lasts * relative_energy(*prediction.seconds[n]);
    }
    CHECK(near(10.0 * std::log10(seconds / prediction.duration.count()), prediction.LAeq->dB(),
               0.001, Because::Arithmetic));
}

TEST_CASE("an oscillator rings as it does in time") {
    std::mt19937 random(11);
    const SyntheticScanner scanner = drawn_scanner(random);
    ScannerResponse response = flat_scanner(0, 0, 0);
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        for (std::size_t k = 1; k < response.axes[axis].lines.size(); ++k)
            response.axes[axis].lines[k] =
                ResponseLine{scanner.response(axis, static_cast<double>(k) * bin), 1.0};
    }
    for (int n = 0; n < 5; ++n) {
        const auto pieces = drawn_sequence(random, 4.0);
        PiecesInMemory source(pieces);
        const auto sound = recorded_sound(scanner, source, {.before = 0.0, .after = 0.5}, random);
        SoundInMemory recording(std::make_shared<const std::vector<double>>(sound), 48'000.0);
        const auto reading = read_channels(recording);
        const double lasts = reading[0].duration.count();
        const auto prediction = predicted(pieces, response);
        // Over the time of the waveform; of a full-scale sine, amplitude 1 Pa.
        const double measured = reading[0].A->dB() +
                                20.0 * std::log10(1.0 / std::sqrt(2.0) / 20e-6) +
                                10.0 * std::log10(lasts / prediction.duration.count());
        CHECK(near(prediction.LAeq->dB(), measured, 0.15, Because::FiniteSignal));
    }
}

TEST_CASE("what is not covered bounds the level, and unknown phases add energies") {
    const auto pieces = train_500_Hz(5.0, {0.02, 0.02, 0.0});
    ScannerResponse response = flat_scanner(30, 30, 30);
    const double in_phase = predicted(pieces, response).LAeq->dB();
    response.axes[1].time_base = 1;
    const auto apart = predicted(pieces, response);
    CHECK(apart.energies_added);
    CHECK(near(in_phase - apart.LAeq->dB(), 10.0 * std::log10(2.0), 1e-3, Because::Arithmetic));
    CHECK(near(apart.LAeq_in_phase->dB(), in_phase, 1e-3, Because::Arithmetic));
    CHECK(near(apart.uncovered.LAeq_at_most->dB(), in_phase, 0.01, Because::FiniteSignal));

    for (auto& line : response.axes[1].lines)
        line = std::nullopt;
    const auto half = predicted(pieces, response);
    // But for what lies beyond 20 kHz.
    CHECK(near(half.uncovered.energy_percent, 50.0, 0.5, Because::FiniteSignal));
    CHECK(near(half.uncovered.LAeq_at_most->dB(), in_phase, 0.01, Because::FiniteSignal));
    CHECK(near(in_phase - half.LAeq->dB(), 20.0 * std::log10(2.0), 1e-3, Because::Arithmetic));
    REQUIRE_FALSE(half.uncovered.third_octaves.empty());
}

TEST_CASE("an axis that nothing is known of is as loud as the others where they are known") {
    const auto pieces = train_500_Hz(3.0, {0.005, 0.02, 0.0});
    const double whole = predicted(pieces, flat_scanner(30, 30, 30)).LAeq->dB();
    ScannerResponse response = flat_scanner(30, 30, 30);
    response.axes[1] = {};
    const auto without_y = predicted(pieces, response);
    CHECK(near(without_y.uncovered.LAeq_at_most->dB(), whole, 0.01, Because::FiniteSignal));
    CHECK(near(without_y.uncertainty.dB(), (whole - without_y.LAeq->dB()) / 2.0, 0.01,
               Because::FiniteSignal));
    // Known up to 600 Hz alone, elsewhere as the others.
    response = flat_scanner(30, 30, 30);
    response.axes[1].lines.resize(static_cast<std::size_t>(600.0 / bin));
    CHECK(near(predicted(pieces, response).uncovered.LAeq_at_most->dB(), whole, 0.01,
               Because::FiniteSignal));
    // Beyond all that is known: the loudest of it.
    for (AxisResponse& axis : response.axes)
        axis.lines.resize(static_cast<std::size_t>(600.0 / bin));
    const auto low = predicted(pieces, response);
    CHECK(low.uncovered.LAeq_at_most->dB() >= whole - 0.01);
    CHECK(*low.LAeq < *low.uncovered.LAeq_at_most);
    for (AxisResponse& axis : response.axes)
        axis.lines.clear();
    CHECK_FALSE(predicted(pieces, response).LAeq);
    CHECK_FALSE(predicted(pieces, response).uncovered.LAeq_at_most);
}

TEST_CASE("the rest of a second is as loud as the seconds before, however short") {
    for (const double rest : {0.001, 0.01, 0.1, 0.5}) {
        CAPTURE(rest);
        const auto pieces = train_500_Hz(2.0 + rest, {0.02, 0.0, 0.0});
        const auto prediction = predicted(pieces, flat_scanner(50, 0, 0));
        REQUIRE(prediction.seconds.size() == 3);
        CHECK(near(prediction.seconds[2]->dB(), prediction.LAeq->dB(), 1.5, Because::FiniteSignal));
    }
}

TEST_CASE("no orientation is called the loudest where some gradients do not turn") {
    auto pieces = train_500_Hz(1.0, {0.02, 0.0, 0.0});
    pieces.back().may_turn = false;
    const auto prediction = predicted(pieces, flat_scanner(10, 40, 5));
    CHECK(prediction.keeps_orientation);
    CHECK_FALSE(prediction.worst);
    pieces.push_back({pieces.back().start + pieces.back().lasts, Seconds(0.1), {}, {}, false});
    pieces[pieces.size() - 2].may_turn = true;
    CHECK(predicted(pieces, flat_scanner(10, 40, 5)).worst);
}

TEST_CASE("a resonance that windows smear makes a prediction less sure") {
    const auto pieces = train_500_Hz(2.0, {0.02, 0.0, 0.0});
    ScannerResponse response = flat_scanner(1, 1, 1);
    const auto with_crest = [&](std::size_t wide) {
        ScannerResponse crested = response;
        const auto at = static_cast<std::size_t>(std::round(500.0 / bin)) - wide / 2;
        for (std::size_t k = at; k < at + wide; ++k)
            crested.axes[0].lines[k] = ResponseLine{100.0, 1.0};
        return predicted(pieces, crested).uncertainty.dB();
    };
    const double without = predicted(pieces, response).uncertainty.dB();
    CHECK(near(with_crest(3), std::hypot(without, 3.3), 0.05, Because::OwnTolerance));
    CHECK(near(with_crest(9), without, 1e-9, Because::Arithmetic));
}

TEST_CASE("the worst orientation puts the loud axis where it sounds most") {
    const auto prediction = predicted(train_500_Hz(3.0, {0.02, 0.0, 0.0}), flat_scanner(10, 40, 5));
    REQUIRE(prediction.worst);
    // Along (10, 40, 5), in phase: √(10² + 40² + 5²).
    const double gain = 10.0 * std::log10((100.0 + 1600.0 + 25.0) / 100.0);
    CHECK(near(prediction.worst->LAeq.dB() - prediction.LAeq->dB(), gain, 0.01,
               Because::OwnTolerance));
}

TEST_CASE("silence has no level") {
    PulseTrain train;
    train.rest(1.0);
    const auto prediction = predicted(train.pieces(), flat_scanner(10, 10, 10));
    CHECK_FALSE(prediction.LAeq);
    CHECK_FALSE(prediction.worst);
    CHECK(prediction.uncovered.energy_percent == 0.0);
    CHECK(predicted({}, flat_scanner(10, 10, 10)).duration.count() == 0.0);
}
