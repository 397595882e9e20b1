// What is the same waveform has the same figures, however it is written.
#include <algorithm>
#include <random>
#include <string>

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <malloc.h>

#include "support/near.hpp"
#include "waveforms/written_sequence.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

struct Trapezoid {
    double amplitude;             // Hz/m
    int rise, flat, fall, delay;  // raster steps

    [[nodiscard]] int lasts() const { return delay + rise + flat + fall; }
};

using Axes = std::array<Trapezoid, 3>;

// Seeded, so that a failure can be repeated.
std::vector<Axes> random_blocks(std::uint64_t seed) {
    std::mt19937_64 random(seed);
    const auto between = [&](int low, int high) {
        return std::uniform_int_distribution<int>(low, high)(random);
    };
    std::vector<Axes> blocks(20);
    for (Axes& axes : blocks) {
        for (Trapezoid& one : axes) {
            one = {between(-1'000'000, 1'000'000) * 1.0, between(5, 40), between(0, 60),
                   between(5, 40), between(0, 20)};
        }
    }
    return blocks;
}

// The blocks as a sequence: `finer` raster steps to one, axes in an order, pauses in so many parts.
std::string written(const std::vector<Axes>& blocks, int finer, std::array<std::size_t, 3> order,
                    int parts) {
    std::string text = fmt::format(
        "[VERSION]\nmajor 1\nminor 4\nrevision 0\n[DEFINITIONS]\nBlockDurationRaster {0}\n"
        "GradientRasterTime {0}\nRadiofrequencyRasterTime 1e-06\n[BLOCKS]\n",
        1e-5 / finer);
    std::string events = "[TRAP]\n";
    int id = 0;
    for (const Axes& axes : blocks) {
        int lasts = 0;
        for (const Trapezoid& one : axes)
            lasts = std::max(lasts, one.lasts());
        text += fmt::format("{} {} 0 {} {} {} 0 0\n", id, lasts * finer, id + 1, id + 2, id + 3);
        for (int part = 0; part < parts; ++part)
            text += fmt::format("{} {} 0 0 0 0 0 0\n", id, 60 * finer / parts);
        for (const std::size_t axis : order) {
            const Trapezoid& one = axes[axis];
            events += fmt::format("{} {} {} {} {} {}\n", ++id, one.amplitude, one.rise * 10,
                                  one.flat * 10, one.fall * 10, one.delay * 10);
        }
    }
    return text + events;
}

// The same as a table of samples at every raster step, each axis where it bends among them.
std::string sampled(const std::vector<Axes>& blocks) {
    std::string text = "time_s,Gx_mT_per_m,Gy_mT_per_m,Gz_mT_per_m\n";
    int begins = 0;
    for (const Axes& axes : blocks) {
        int lasts = 0;
        for (const Trapezoid& one : axes)
            lasts = std::max(lasts, one.lasts());
        for (int step = 0; step < lasts + 60; ++step) {
            text += fmt::format("{}", (begins + step) * 1e-5);
            for (const Trapezoid& one : axes) {
                const double in = step - one.delay;
                const double part = std::clamp(
                    std::min(in / one.rise, (one.rise + one.flat + one.fall - in) / one.fall), 0.0,
                    1.0);
                text += fmt::format(",{}", part * one.amplitude / Hz_per_m_of_one_mT);
            }
            text += '\n';
        }
        begins += lasts + 60;
    }
    return text + fmt::format("{},0,0,0\n", begins * 1e-5);
}

void check_same(const WaveformFigures& one, const WaveformFigures& other) {
    CHECK(near(one.duration.count(), other.duration.count(), 1e-9, Because::Arithmetic));
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        const auto is_same = [axis](const AxisVector& a, const AxisVector& b) {
            return near(a[axis] / b[axis], 1.0, 1e-6, Because::Arithmetic);
        };
        CHECK(is_same(one.largest_gradient, other.largest_gradient));
        CHECK(is_same(one.largest_slew, other.largest_slew));
        CHECK(is_same(one.rms_slew, other.rms_slew));
    }
}

}  // namespace

TEST_CASE("splitting blocks, the raster, the order of axes and sampling change no figure") {
    for (std::uint64_t seed = 1; seed <= 20; ++seed) {
        CAPTURE(seed);
        const auto blocks = random_blocks(seed);
        const auto figures = [&](const std::string& text) {
            return WrittenSequence(text).figures();
        };
        const WaveformFigures usual = figures(written(blocks, 1, {0, 1, 2}, 1));
        check_same(figures(written(blocks, 1, {0, 1, 2}, 4)), usual);
        check_same(figures(written(blocks, 2, {0, 1, 2}, 3)), usual);
        check_same(figures(sampled(blocks)), usual);
        WaveformFigures other = figures(written(blocks, 1, {2, 0, 1}, 1));
        for (AxisVector* axes : {&other.largest_gradient, &other.largest_slew, &other.rms_slew})
            std::ranges::rotate(*axes, axes->begin() + 1);
        check_same(other, usual);
        // Turning and turning back.
        const waveforms::WaveformTerms turned{.rotation = *waveforms::parse_rotation("x:40,x:-40")};
        check_same(WrittenSequence(written(blocks, 1, {0, 1, 2}, 1)).figures(turned), usual);
    }
}

TEST_CASE("a waveform gives the same pieces when it begins again") {
    const WrittenSequence sequence(written(random_blocks(3), 1, {0, 1, 2}, 2));
    auto file = sequence.opened({.repeat = 2});
    const WaveformFigures first = figures_of(file.source());
    static_cast<void>(file.source().next());  // the end stays the end
    CHECK_FALSE(file.source().next());
    CHECK(figures_of(file.source()).rms_slew == first.rms_slew);
    file.source().rewind();
    static_cast<void>(file.source().next());
    CHECK(figures_of(file.source()).rms_slew == first.rms_slew);
}

TEST_CASE("blocks are not kept: fifty thousand take less memory than their numbers would") {
    std::string text = sequence_head() + "[BLOCKS]\n";
    constexpr int blocks = 50'000;
    for (int block = 1; block <= blocks; ++block)
        text += fmt::format("{} 100 0 1 0 0 0 0\n", block);
    const WrittenSequence sequence(text + "[TRAP]\n1 425760 100 300 200 0\n");
    const std::size_t before = ::mallinfo2().uordblks;
    auto file = sequence.opened();
    std::size_t most = 0;
    int pieces = 0;
    while (file.source().next()) {
        if (++pieces % 1000 == 0) most = std::max(most, ::mallinfo2().uordblks);
    }
    CHECK(pieces == 4 * blocks);
    CHECK(most < before + blocks * 8);
}
