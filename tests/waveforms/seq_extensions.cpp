// Labels, rotations, soft delays, extensions that are not known.
#include <doctest/doctest.h>

#include "support/near.hpp"
#include "waveforms/written_sequence.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

// Three blocks of 1, 2 and 4 ms; the first and the last in the first and the last repetition only.
std::string once_sequence() {
    return sequence_head() +
           "[BLOCKS]\n1 100 0 1 0 0 0 1\n2 200 0 1 0 0 0 2\n3 400 0 1 0 0 0 3\n"
           "[TRAP]\n1 425760 100 300 200 0\n"
           "[EXTENSIONS]\n1 2 1 0\n2 2 2 0\n3 2 3 0\n"
           "extension LABELSET 2\n1 1 ONCE\n2 0 ONCE\n3 2 ONCE\n";
}

WaveformFigures turned_figures(const std::string& quaternion) {
    return WrittenSequence(sequence_head("5", "1") +
                           "[BLOCKS]\n1 60 0 1 0 0 0 1\n[TRAP]\n1 425760 100 300 200 0\n"
                           "[EXTENSIONS]\n1 9 1 0\nextension ROTATIONS 9\n1 " +
                           quaternion + "\n")
        .figures();
}

}  // namespace

TEST_CASE("blocks for the first or the last repetition are played once") {
    const WrittenSequence written(once_sequence());
    const auto seconds = [&](unsigned repeat) {
        return written.figures({.repeat = repeat}).duration.count();
    };
    CHECK(near(seconds(1), 7e-3, 1e-12, Because::Arithmetic));
    CHECK(near(seconds(3), 11e-3, 1e-12, Because::Arithmetic));
    const auto pieces = written.pieces({.repeat = 2});
    // 1, 2 ms of the first repetition, 2, 4 ms of the second.
    CHECK(near(pieces.back().start.count(), 5.6e-3, 1e-12, Because::Arithmetic));
}

TEST_CASE("a label that is added to counts from what it was") {
    std::string text = once_sequence();
    text.replace(text.find("LABELSET 2\n1 1 ONCE"), 19, "LABELINC 2\n1 1 ONCE");
    text.replace(text.find("2 0 ONCE"), 8, "2 0 ONCE");
    // 1, then 1 and 0, then 1 and 2: the first two only in the first repetition, the third in the
    // last.
    const WrittenSequence written(text);
    CHECK(near(written.figures({.repeat = 3}).duration.count(), 7e-3, 1e-12, Because::Arithmetic));
}

TEST_CASE("a block's rotation: a quarter turn about z takes x to y, and --rotate comes after it") {
    const WaveformFigures quarter = turned_figures("0.70710678 0 0 0.70710678");
    CHECK(near(quarter.largest_gradient[0], 0.0, 1e-9, Because::Arithmetic));
    CHECK(near(quarter.largest_gradient[1] * 1e3, 10.0, 1e-6, Because::Arithmetic));
    // The example of the specification, "Rotation Extension": 14.77° about the negative z axis.
    const WaveformFigures example = turned_figures("0.99171 0 0 -0.128498");
    const double angle = 14.7654 * 3.14159265 / 180.0;
    CHECK(near(example.largest_gradient[0] * 1e3, 10 * std::cos(angle), 1e-3,
               Because::PrintedRounding));
    CHECK(near(example.largest_gradient[1] * 1e3, 10 * std::sin(angle), 1e-3,
               Because::PrintedRounding));
}

TEST_CASE("a stretch with NOROT stays where the scanner's orientation turns") {
    const WrittenSequence written(sequence_head() +
                                  "[BLOCKS]\n1 60 0 1 0 0 0 0\n2 60 0 1 0 0 0 1\n"
                                  "[TRAP]\n1 425760 100 300 200 0\n"
                                  "[EXTENSIONS]\n1 2 1 0\nextension LABELSET 2\n1 1 NOROT\n");
    const waveforms::WaveformTerms terms{.rotation = *waveforms::parse_rotation("z:90")};
    const auto pieces = written.pieces(terms);
    REQUIRE(pieces.size() == 6);
    CHECK(near(pieces[1].from[1] * 1e3, 10.0, 1e-9, Because::Arithmetic));
    CHECK(near(pieces[4].from[0] * 1e3, 10.0, 1e-9, Because::Arithmetic));
    CHECK_FALSE(pieces[4].may_turn);
}

TEST_CASE("a soft delay lasts as the file says, and is told") {
    const WrittenSequence written(sequence_head("5", "0") +
                                  "[BLOCKS]\n1 500 0 0 0 0 0 1\n[EXTENSIONS]\n1 3 1 0\n"
                                  "extension DELAYS 3\n1 0 -7840 2 TE\n");
    CHECK(near(written.figures().duration.count(), 5e-3, 1e-12, Because::Arithmetic));
    CHECK(written.notes() == "soft-delay");
}

TEST_CASE("an extension that is not known is told, and refused where it is required") {
    const std::string rest =
        "[BLOCKS]\n1 500 0 0 0 0 0 1\n[EXTENSIONS]\n1 3 1 0\n"
        "extension SWEEPS 3\n1 0 what ever\n";
    const WrittenSequence optional(sequence_head("5", "1") + rest);
    CHECK(optional.notes() == "unknown-extension");
    CHECK(optional.refusal().empty());
    const WrittenSequence required(
        sequence_head("5", "1", "RequiredExtensions ROTATIONS SWEEPS\n") + rest);
    CHECK(
        required.refusal().starts_with("13:30: the sequence requires the extension SWEEPS, which "
                                       "is not known"));
}

TEST_CASE("shims and chains of several extensions of one block") {
    const WrittenSequence written(
        sequence_head("5", "2") +
        "[BLOCKS]\n1 60 0 1 0 0 0 1\n[TRAP]\n1 425760 100 300 200 0\n"
        "[EXTENSIONS]\n1 4 1 2\n2 1 1 3\n3 2 1 0\nextension RF_SHIMS 4\n1 2 1 0 1 1.5708\n"
        "extension ROTATIONS 1\n1 0 0 1 0\nextension TRIGGERS 2\n1 2 1 0 100\n");
    CHECK(near(written.pieces()[1].from[0] * 1e3, -10.0, 1e-9, Because::Arithmetic));
    CHECK(written.notes() == "waits");
}
