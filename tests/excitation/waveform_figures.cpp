// Figures of waveforms against what is worked out by hand.
#include "earbudget/excitation/waveform_figures.hpp"

#include <cmath>
#include <memory>
#include <numbers>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/excitation/rotation.hpp"
#include "support/near.hpp"
#include "support/pieces_in_memory.hpp"

using namespace earbudget;
using earbudget::test::Because;
using earbudget::test::near;
using earbudget::test::PiecesInMemory;

namespace {

// 20 mT/m on x within 0.2 ms, held for 0.6 ms, down within 0.4 ms, then 0.8 ms of nothing.
std::vector<GradientPiece> one_trapezoid() {
    return {{Seconds(0.0), Seconds(0.2e-3), {}, {0.02, 0, 0}},
            {Seconds(0.2e-3), Seconds(0.6e-3), {0.02, 0, 0}, {0.02, 0, 0}},
            {Seconds(0.8e-3), Seconds(0.4e-3), {0.02, 0, 0}, {}},
            {Seconds(1.2e-3), Seconds(0.8e-3), {}, {}}};
}

}  // namespace

TEST_CASE("figures of a trapezoid: 100 T/m/s for 0.2 ms and 50 T/m/s for 0.4 ms of 2 ms") {
    PiecesInMemory source(one_trapezoid());
    const WaveformFigures figures = figures_of(source);
    CHECK(near(figures.duration.count(), 2e-3, 1e-15, Because::Arithmetic));
    CHECK(figures.largest_gradient == AxisVector{0.02, 0, 0});
    CHECK(near(figures.largest_slew[0], 100.0, 1e-9, Because::Arithmetic));
    // √((100²·0.2 + 50²·0.4)/2) = √1500
    CHECK(near(figures.rms_slew[0], std::sqrt(1500.0), 1e-9, Because::Arithmetic));
    CHECK(figures.rms_slew[1] == 0.0);
    CHECK(figures.largest_jump == AxisVector{});
    CHECK(figures_of(source).rms_slew == figures.rms_slew);  // it begins again
}

TEST_CASE("a jump is no slew, and is told with its time") {
    PiecesInMemory source({{Seconds(0.0), Seconds(1e-3), {}, {}},
                           {Seconds(1e-3), Seconds(1e-3), {0, -0.01, 0}, {0, -0.01, 0}}});
    const WaveformFigures figures = figures_of(source);
    CHECK(figures.largest_jump == AxisVector{0, 0.01, 0});
    CHECK(figures.jump_at == Seconds(1e-3));
    CHECK(figures.largest_slew == AxisVector{});
}

TEST_CASE("before a waveform and after it gradients are zero: from there and to there they jump") {
    PiecesInMemory begins({{Seconds(0.0), Seconds(1e-3), {0.01, 0, 0}, {}}});
    CHECK(figures_of(begins).largest_jump == AxisVector{0.01, 0, 0});
    CHECK(figures_of(begins).jump_at == Seconds(0.0));
    PiecesInMemory ends({{Seconds(0.0), Seconds(1e-3), {}, {0, 0, 0.02}}});
    CHECK(figures_of(ends).largest_jump == AxisVector{0, 0, 0.02});
    CHECK(figures_of(ends).jump_at == Seconds(1e-3));
}

TEST_CASE("a quarter turn about z takes x to y and y to -x, and leaves what may not turn") {
    const Rotation quarter = Rotation::about({0, 0, 2}, std::numbers::pi / 2);
    const AxisVector x = quarter({1, 0, 0});
    CHECK(near(x[1], 1.0, 1e-15, Because::Arithmetic));
    CHECK(near(quarter({0, 1, 0})[0], -1.0, 1e-15, Because::Arithmetic));
    CHECK(near(quarter.after(quarter)({1, 0, 0})[0], -1.0, 1e-15, Because::Arithmetic));
    auto pieces = one_trapezoid();
    TurnedWaveform turned(std::make_unique<PiecesInMemory>(pieces), quarter);
    CHECK(near(figures_of(turned).largest_gradient[1], 0.02, 1e-15, Because::Arithmetic));
    for (GradientPiece& piece : pieces)
        piece.may_turn = false;
    TurnedWaveform kept(std::make_unique<PiecesInMemory>(pieces), quarter);
    CHECK(figures_of(kept).largest_gradient == AxisVector{0.02, 0, 0});
}

TEST_CASE(
    "nine numbers are a rotation only with rows of unit length, at right angles, right-handed") {
    CHECK(Rotation::by_matrix({0, -1, 0, 1, 0, 0, 0, 0, 1}).has_value());
    CHECK(Rotation::by_matrix({0.7071, -0.7071, 0, 0.7071, 0.7071, 0, 0, 0, 1}).has_value());
    CHECK_FALSE(Rotation::by_matrix({0, 1, 0, 1, 0, 0, 0, 0, 1}));  // left-handed
    CHECK_FALSE(Rotation::by_matrix({1, 0.1, 0, 0, 1, 0, 0, 0, 1}));
    CHECK_FALSE(Rotation::by_matrix({NAN, 0, 0, 0, 1, 0, 0, 0, 1}));
}
