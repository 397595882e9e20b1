// The level of a sequence when its echoes stand further apart.
#include "predicting/varied.hpp"

#include <cmath>

#include <doctest/doctest.h>

#include "earbudget/excitation/prediction.hpp"
#include "support/near.hpp"
#include "support/pieces_in_memory.hpp"
#include "support/synthetic_scanner.hpp"

using namespace earbudget;
using namespace earbudget::test;
using predicting::parse_vary;
using predicting::vary;

namespace {

/// One resonance on x at 600 Hz.
ScannerResponse resonant() {
    SyntheticScanner scanner;
    scanner.modes[0] = {{600.0, 0.02, 10.0}};
    ScannerResponse response;
    response.bin_width = Frequency(5.0);
    response.axes[0].driven = true;
    response.axes[0].lines.resize(2000);
    for (std::size_t k = 4; k < 2000; ++k)
        response.axes[0].lines[k] =
            ResponseLine{scanner.response(0, 5.0 * static_cast<double>(k)), 1.0};
    return response;
}

/// Echoes of alternating sign, 600 of each a second.
std::vector<GradientPiece> echoes() {
    PulseTrain train;
    const double half = 1.0 / 1200.0;
    while (train.seconds() < 2.0) {
        train.pulse({0.02, 0.0, 0.0}, 0.0001, half - 0.0002);
        train.pulse({-0.02, 0.0, 0.0}, 0.0001, half - 0.0002);
    }
    return train.pieces();
}

}  // namespace

TEST_CASE("echoes off the resonance are quieter, as a waveform of that spacing is") {
    PiecesInMemory source(echoes());
    const auto varied = vary(source, resonant(), {TimingChange::EchoSpacing, 0.8, 1.25});
    CHECK(varied.levels.size() == 33);
    REQUIRE_FALSE(varied.quieter.empty());
    CHECK(varied.quieter.front().by.dB() > 6.0);
    REQUIRE_FALSE(varied.resonances.empty());
    CHECK(near(varied.resonances.front().frequency.Hz(), 600.0, 5.0, Because::OwnTolerance));
    // Each is what predicting the stretched waveform gives.
    for (const std::size_t n : {std::size_t{0}, std::size_t{16}, std::size_t{32}}) {
        StretchedWaveform stretched(source, TimingChange::EchoSpacing, varied.levels[n].scale,
                                    Seconds(60.0));
        const auto whole = predict_sound(stretched, resonant());
        CHECK(near(varied.levels[n].LAeq->dB(), whole.LAeq->dB(), 0.001, Because::Arithmetic));
    }
    CHECK(varied.levels[16].scale == 1.0);
    // The slews of the first harmonics are alike: the weighting prefers the third.
    CHECK(near(varied.levels[16].strongest->Hz(), 1800.0, 6.0, Because::OwnTolerance));
}

TEST_CASE("a waveform without plateaus tells that nothing was stretched") {
    PulseTrain train;
    while (train.seconds() < 1.0) {
        train.pulse({0.02, 0.0, 0.0}, 0.0008, 0.0);
        train.rest(0.001);
    }
    PiecesInMemory source(train.pieces());
    CHECK_FALSE(vary(source, resonant(), {TimingChange::EchoSpacing, 0.8, 1.25}).has_stretched);
    CHECK(vary(source, resonant(), {TimingChange::Time, 1.0, 1.25}).has_stretched);
}

TEST_CASE("a stretched waveform lasts longer and keeps its gradients") {
    PiecesInMemory source(echoes());
    StretchedWaveform time(source, TimingChange::Time, 1.5, Seconds(100.0));
    double end = 0.0;
    double largest = 0.0;
    while (const auto piece = time.next()) {
        CHECK(near(piece->start.count(), end, 1e-9, Because::Arithmetic));
        end = (piece->start + piece->lasts).count();
        largest = std::max(largest, std::abs(piece->from[0]));
    }
    CHECK(near(end, 3.0, 0.01, Because::Arithmetic));
    CHECK(largest == 0.02);
    StretchedWaveform cut(source, TimingChange::EchoSpacing, 1.0, Seconds(0.5));
    cut.rewind();
    while (cut.next()) {
    }
    CHECK(cut.is_cut());
}

TEST_CASE("each scale hears the same part of the sequence") {
    // Quiet for 58 seconds, then loud.
    std::vector<GradientPiece> pieces;
    const auto echo_until = [&](double end, double amplitude) {
        PulseTrain train;
        const double start =
            pieces.empty() ? 0.0 : (pieces.back().start.count() + pieces.back().lasts.count());
        while (start + train.seconds() < end)
            train.pulse({amplitude, 0.0, 0.0}, 0.001, 0.02);
        for (GradientPiece piece : train.pieces()) {
            piece.start += Seconds(start);
            pieces.push_back(piece);
        }
    };
    echo_until(58.0, 0.001);
    echo_until(90.0, 0.02);
    for (const double scale : {0.8, 1.0, 1.25}) {
        PiecesInMemory source(pieces);
        StretchedWaveform stretched(source, TimingChange::EchoSpacing, scale, Seconds(60.0));
        stretched.rewind();
        std::size_t loud = 0;
        while (const auto piece = stretched.next())
            loud += piece->from[0] == 0.02 ? 1 : 0;
        CAPTURE(scale);
        // Two seconds' worth of pulses of 22 ms, each two pieces that begin at 20 mT/m.
        CHECK(loud >= 180);
        CHECK(loud <= 186);
    }
}

TEST_CASE("what to vary is told by a word and a range that holds the sequence as it is") {
    CHECK(parse_vary("echo-spacing")->stretch == TimingChange::EchoSpacing);
    CHECK(parse_vary("time")->from == 1.0);
    CHECK(parse_vary("echo-spacing:0.9:1.1")->from == 0.9);
    CHECK(parse_vary("time:1:2")->to == 2.0);
    for (const char* wrong :
         {"", "spacing", "time:0.9:1.1", "echo-spacing:1.1:1.2", "echo-spacing:0.9",
          "echo-spacing:1:1", "echo-spacing:0.1:1", "echo-spacing:nan:1", "time:1:2:3"}) {
        CAPTURE(wrong);
        CHECK_FALSE(parse_vary(wrong));
    }
}
