// Tables of samples, and rotations as they are typed.
#include <cmath>
#include <string>

#include <doctest/doctest.h>

#include "support/near.hpp"
#include "waveforms/written_sequence.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

const std::string heading = "time_s,Gx_mT_per_m,Gy_mT_per_m,Gz_mT_per_m\n";
const std::string ramp = heading + "0,0,0,0\n0.0001,10,-5,0\n0.0004,10,-5,0\n0.0006,0,0,0\n";

WrittenSequence table(const std::string& text) { return WrittenSequence(text, "table.csv"); }

}  // namespace

TEST_CASE("a table is straight between its samples, and repeated from its last to its first") {
    const WrittenSequence written(ramp, "table.csv");
    const WaveformFigures figures = written.figures();
    CHECK(near(figures.duration.count(), 6e-4, 1e-15, Because::Arithmetic));
    CHECK(near(figures.largest_gradient[0], 0.01, 1e-15, Because::Arithmetic));
    CHECK(near(figures.largest_slew[1], 50.0, 1e-9, Because::Arithmetic));
    CHECK_FALSE(written.opened().format_version());
    const WaveformFigures thrice = written.figures({.repeat = 3});
    CHECK(near(thrice.duration.count(), 18e-4, 1e-15, Because::Arithmetic));
    CHECK(near(thrice.rms_slew[0], figures.rms_slew[0], 1e-9, Because::Arithmetic));
    CHECK(thrice.largest_jump == AxisVector{});
}

TEST_CASE("columns in any order, semicolons, tabs, decimal commas, quotes, remarks") {
    const WaveformFigures usual = table(ramp).figures();
    CHECK(table("# made by hand\n\"time_s\";\"Gz_mT_per_m\";\"Gx_mT_per_m\";\"Gy_mT_per_m\"\r\n"
                "2,0;0;0;0\r\n2,0001;0;10;-5\r\n2,0004;0;\"10,0\";-5\r\n2,0006;0;0;0\r\n")
              .figures()
              .largest_gradient == usual.largest_gradient);
    const WrittenSequence tabs(
        "Time_s\tgx_mT_per_m\tgy_mT_per_m\tgz_mT_per_m\tremark\n0\t0\t0\t0\t\n0.001\t1\t0\t0\tx\n");
    CHECK(near(tabs.figures().largest_slew[0], 1.0, 1e-9, Because::Arithmetic));
    CHECK(tabs.notes() == "unused-column");
}

TEST_CASE("a table that cannot be read is refused where it is wrong") {
    const auto refused = [](const std::string& text, const std::string& begins) {
        const std::string refusal = table(text).refusal();
        CAPTURE(text);
        CAPTURE(refusal);
        CHECK(refusal.starts_with(begins));
        CHECK(refusal.find("; accepted: ") != refusal.npos);
    };
    refused("time_s,Gx_mT_per_m,Gy_mT_per_m\n0,0,0\n", "1:1: neither a sequence nor a table");
    refused("time_s,Gx_mT_per_m,Gx_mT_per_m,Gz_mT_per_m\n0,0,0,0\n", "1:20: Gx_mT_per_m a second");
    refused(heading, "1:1: a table without samples");
    refused(heading + "0,0,0,0\n", "2:1: a table of one sample");
    refused(heading + "0,0,0,0\n0,1,0,0\n", "3:1: a sample at 0 s behind one at 0 s");
    refused(heading + "0,0,0,0\n1,nan,0,0\n", "3:3: Gx_mT_per_m is \"nan\"");
    refused(heading + "0,0,0,0\n1,0,1e9,0\n", "3:5: Gy_mT_per_m is \"1e9\"");
    refused(heading + "0,0,0,0\n1,0,,0\n", "3:5: Gy_mT_per_m is \"\"");
    refused(heading + "0,0,0,0\n1,0,0\n", "3:1: 3 cells; accepted: 4");
    refused(heading + "0,0,0,0\n100000,0,0,0\n", "3:1: the waveform lasts more than a day");
}

TEST_CASE("rotations as they are typed") {
    const auto x_of = [](const char* text) {
        const auto rotation = waveforms::parse_rotation(text);
        REQUIRE(rotation);
        return (*rotation)({1, 0, 0});
    };
    CHECK(near(x_of("z:90")[1], 1.0, 1e-12, Because::Arithmetic));
    CHECK(near(x_of("z:-30")[1], -0.5, 1e-12, Because::Arithmetic));
    // First about z, x to y; then about x, y to z.
    CHECK(near(x_of("z:90,x:90")[2], 1.0, 1e-12, Because::Arithmetic));
    CHECK(near(x_of("0 -1 0, 1 0 0, 0 0 1")[1], 1.0, 1e-12, Because::Arithmetic));
    for (const char* text : {"", "z", "z:", "w:30", "z:361", "z:nan", "z:30;x:4", "1 2 3",
                             "1,0,0,0,1,0,0,0,2", "0,1,0,1,0,0,0,0,1"}) {
        CAPTURE(text);
        CHECK_FALSE(waveforms::parse_rotation(text));
    }
}
