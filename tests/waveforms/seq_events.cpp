// Each kind of event of each version, with figures worked out by hand.
#include <cmath>

#include <doctest/doctest.h>

#include "support/near.hpp"
#include "waveforms/written_sequence.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

// 425760 Hz/m are 10 mT/m.
void check_ramp_of_ten(const WaveformFigures& figures) {
    CHECK(near(figures.largest_gradient[0] * 1e3, 10.0, 1e-9, Because::Arithmetic));
}

}  // namespace

TEST_CASE("a trapezoid with a delay in a longer block: 10 mT/m in 0.1 ms is 100 T/m/s") {
    const WrittenSequence written(sequence_head() +
                                  "[BLOCKS]\n1 100 0 1 0 0 0 0\n[TRAP]\n1 425760 100 300 200 50\n");
    const auto pieces = written.pieces();
    REQUIRE(pieces.size() == 5);
    CHECK(pieces[0].to == AxisVector{});
    CHECK(near(pieces[1].start.count(), 50e-6, 1e-15, Because::Arithmetic));
    CHECK(near(pieces[4].start.count(), 650e-6, 1e-15, Because::Arithmetic));
    CHECK(near(pieces[4].lasts.count(), 350e-6, 1e-15, Because::Arithmetic));
    const WaveformFigures figures = written.figures();
    check_ramp_of_ten(figures);
    CHECK(near(figures.duration.count(), 1e-3, 1e-15, Because::Arithmetic));
    CHECK(near(figures.largest_slew[0], 100.0, 1e-6, Because::Arithmetic));
    // √((100²·0.1 + 50²·0.2)/1)
    CHECK(near(figures.rms_slew[0], std::sqrt(1500.0), 1e-6, Because::Arithmetic));
    CHECK(figures.largest_jump == AxisVector{});
}

TEST_CASE("axes that ramp at different times are cut where any of them bends") {
    const WrittenSequence written(
        sequence_head() +
        "[BLOCKS]\n1 60 0 1 2 0 0 0\n[TRAP]\n1 425760 100 300 200 0\n2 -425760 200 100 300 0\n");
    const auto pieces = written.pieces();
    REQUIRE(pieces.size() == 5);  // at 0.1, 0.2, 0.3, 0.4, 0.6 ms
    CHECK(near(pieces[0].to[1] * 1e3, -5.0, 1e-9, Because::Arithmetic));
    CHECK(near(pieces[3].from[1] * 1e3, -10.0, 1e-9, Because::Arithmetic));
    CHECK(near(pieces[3].to[1] * 1e3, -20.0 / 3.0, 1e-9, Because::Arithmetic));
}

TEST_CASE("before 1.4 a block lasts as long as its longest event") {
    const std::string events =
        "[RF]\n1 100 1 2 100 0 0\n[TRAP]\n1 425760 100 300 100 20\n"
        "[ADC]\n1 64 10000 70 0 0\n[DELAYS]\n1 100\n2 3000\n"
        "[SHAPES]\n\nshape_id 1\nnum_samples 250\n1\n0\n0\n247\n\nshape_id 2\nnum_samples "
        "250\n0\n0\n248\n";
    const auto duration = [&](const std::string& block) {
        return WrittenSequence(early_head("2", "0") + "[BLOCKS]\n" + block + "\n" + events)
            .figures()
            .duration.count();
    };
    CHECK(near(duration("1 0 0 1 0 0 0"), 520e-6, 1e-12, Because::Arithmetic));
    CHECK(near(duration("1 0 1 0 0 0 0"), 350e-6, 1e-12, Because::Arithmetic));
    CHECK(near(duration("1 0 0 0 0 0 1"), 710e-6, 1e-12, Because::Arithmetic));
    CHECK(near(duration("1 1 0 1 0 0 0"), 520e-6, 1e-12, Because::Arithmetic));
    CHECK(near(duration("1 2 0 1 0 0 0"), 3e-3, 1e-12, Because::Arithmetic));
}

TEST_CASE("before 1.4 a trigger makes its block as long as itself, and one that waits is told") {
    const auto sequence = [](const std::string& type) {
        return early_head("3", "1") +
               "[BLOCKS]\n1 0 0 1 0 0 0 1\n[TRAP]\n1 425760 100 300 100 0\n"
               "[EXTENSIONS]\n1 4 1 0\nextension TRIGGERS 4\n1 " +
               type + " 1 100 2000\n";
    };
    const WrittenSequence output(sequence("1"));
    CHECK(near(output.figures().duration.count(), 2.1e-3, 1e-12, Because::Arithmetic));
    CHECK_FALSE(output.figures().duration_is_lower_bound);
    CHECK(output.notes().empty());
    const WrittenSequence waiting(sequence("2"));
    CHECK(waiting.figures().duration_is_lower_bound);
    CHECK(waiting.notes() == "waits");
}

TEST_CASE("a shape at the centres of the raster ends on the line through its last two samples") {
    // 0.1, 0.3, 0.5, 0.5, 0.3, 0.1 at 5, 15, … µs: a triangle with its top cut off.
    const std::string blocks = "[BLOCKS]\n1 6 0 1 0 0 0 0\n";
    const std::string shape =
        "[SHAPES]\n\nshape_id 7\nnum_samples 6\n0.1\n0.3\n0.5\n0.5\n0.3\n0.1\n";
    const WrittenSequence late(sequence_head() + blocks + "[GRADIENTS]\n1 425760 7 0 0\n" + shape);
    const auto pieces = late.pieces();
    REQUIRE(pieces.size() == 7);
    CHECK(near(pieces[0].from[0], 0.0, 1e-12, Because::Arithmetic));
    CHECK(near(pieces[0].to[0], 1e-3, 1e-12, Because::Arithmetic));
    CHECK(near(pieces[6].to[0], 0.0, 1e-12, Because::Arithmetic));
    CHECK(near(late.figures().largest_slew[0], 200.0, 1e-6, Because::Arithmetic));
    // The same of an earlier version, which compresses it: a difference twice, then how often more.
    const WrittenSequence early(
        early_head("3", "1") +
        "[BLOCKS]\n1 0 0 1 0 0 0 0\n[GRADIENTS]\n1 425760 7 0\n[SHAPES]\n\nshape_id 7\n"
        "num_samples 6\n0.1\n0.2\n0.2\n0\n0\n-0.2\n-0.2\n0\n");
    CHECK(near(early.figures().rms_slew[0], late.figures().rms_slew[0], 1e-9, Because::Arithmetic));
    CHECK(early.figures().duration == late.figures().duration);
}

TEST_CASE("from 1.5 a gradient states where it begins and ends") {
    const WrittenSequence written(
        sequence_head("5", "0") +
        "[BLOCKS]\n1 2 0 1 0 0 0 0\n2 2 0 2 0 0 0 0\n"
        "[GRADIENTS]\n1 425760 0 851520 7 0 0\n2 425760 851520 0 8 0 0\n"
        "[SHAPES]\n\nshape_id 7\nnum_samples 2\n0.5\n1\n\nshape_id 8\nnum_samples 2\n1\n0.5\n");
    const auto pieces = written.pieces();
    REQUIRE(pieces.size() == 6);
    CHECK(pieces[0].from[0] == 0.0);
    CHECK(near(pieces[2].to[0] * 1e3, 20.0, 1e-9, Because::Arithmetic));
    CHECK(near(pieces[3].from[0] * 1e3, 20.0, 1e-9, Because::Arithmetic));
    CHECK(pieces[5].to[0] == 0.0);
    CHECK(written.figures().largest_jump[0] < 1e-12);
}

TEST_CASE("a shape at half the raster has samples at its edges and centres") {
    // Two raster steps: samples at 5, 10 and 15 µs of 20.
    const WrittenSequence written(sequence_head("5", "1") +
                                  "[BLOCKS]\n1 2 0 1 0 0 0 0\n[GRADIENTS]\n1 425760 0 0 7 -1 0\n"
                                  "[SHAPES]\n\nshape_id 7\nnum_samples 3\n0.5\n1\n0.5\n");
    const auto pieces = written.pieces();
    REQUIRE(pieces.size() == 4);
    CHECK(near(pieces[1].start.count(), 5e-6, 1e-15, Because::Arithmetic));
    CHECK(near(pieces[1].to[0] * 1e3, 10.0, 1e-9, Because::Arithmetic));
    CHECK(near(written.figures().largest_slew[0], 1000.0, 1e-6, Because::Arithmetic));
}

TEST_CASE("explicit times: an extended trapezoid is its points") {
    const WrittenSequence written(
        sequence_head() +
        "[BLOCKS]\n1 100 0 0 0 1 0 0\n[GRADIENTS]\n1 -425760 7 8 100\n[SHAPES]\n\nshape_id 7\n"
        "num_samples 4\n0\n1\n1\n0\n\nshape_id 8\nnum_samples 4\n0\n10\n60\n90\n");
    const auto pieces = written.pieces();
    REQUIRE(pieces.size() == 4);  // nothing is left behind it
    CHECK(near(pieces[1].start.count(), 1e-4, 1e-15, Because::Arithmetic));
    CHECK(near(pieces[1].to[2] * 1e3, -10.0, 1e-9, Because::Arithmetic));
    CHECK(near(pieces[3].lasts.count(), 3e-4, 1e-15, Because::Arithmetic));
    CHECK(near(written.figures().largest_slew[2], 100.0, 1e-6, Because::Arithmetic));
}

TEST_CASE("times that are compressed count as those that are not") {
    // 0, 10, 20, 30, 40 as 0, then 10 twice and two more; values 0, 0.5, 1, 0.5, 0.
    const std::string head = sequence_head() +
                             "[BLOCKS]\n1 40 0 1 0 0 0 0\n[GRADIENTS]\n1 425760 7 8 0\n[SHAPES]\n\n"
                             "shape_id 7\nnum_samples 5\n0\n0.5\n1\n0.5\n0\n\nshape_id 8\n";
    const WrittenSequence compressed(head + "num_samples 5\n0\n10\n10\n2\n");
    const WrittenSequence plain(head + "num_samples 5\n0\n10\n20\n30\n40\n");
    CHECK(compressed.figures().rms_slew == plain.figures().rms_slew);
    CHECK(near(plain.figures().largest_slew[0], 50.0, 1e-6, Because::Arithmetic));
}

TEST_CASE("a long compressed shape is a few pieces") {
    // A second at 10 mT/m: 99999 samples of 1, between two of 0.5.
    const WrittenSequence written(sequence_head() +
                                  "[BLOCKS]\n1 100001 0 1 0 0 0 0\n[GRADIENTS]\n1 425760 7 0 0\n"
                                  "[SHAPES]\n\nshape_id 7\nnum_samples 100001\n0.5\n0.5\n"
                                  "0\n0\n0\n99996\n-0.5\n");
    CHECK(written.pieces().size() < 10);
    check_ramp_of_ten(written.figures());
}
