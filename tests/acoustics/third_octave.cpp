#include <cmath>
#include <string>

#include <doctest/doctest.h>

#include "earbudget/acoustics/bands.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("Third-octave bands follow one another without gap and bear nominal names") {
    for (std::size_t n = 0; n < third_octave_count; ++n) {
        CAPTURE(n);
        const double middle = third_octave_mid_band(n).Hz();
        const double lower = third_octave_lower_edge(n).Hz();
        const double upper = third_octave_upper_edge(n).Hz();
        CHECK(near(lower * upper / (middle * middle), 1.0, 1e-12, Because::Arithmetic));
        CHECK(near(std::stod(std::string(third_octave_names[n])) / middle, 1.0, 0.013,
                   Because::PrintedRounding));
        if (n > 0) {
            CHECK(
                near(third_octave_upper_edge(n - 1).Hz() / lower, 1.0, 1e-12, Because::Arithmetic));
        }
    }
    CHECK(third_octave_names[17] == "1000");
    CHECK(near(third_octave_mid_band(17).Hz(), 1000.0, 1e-9, Because::Arithmetic));
}

TEST_CASE("Three third octaves make an octave") {
    std::size_t rows = 0;
    for (const OctaveBand band : octave_bands) {
        const std::size_t middle = 3 * index_of(band) + 2;
        CAPTURE(name_of(band));
        CHECK(third_octave_names[middle] == name_of(band));
        CHECK(near(third_octave_lower_edge(middle - 1).Hz() / lower_edge(band).Hz(), 1.0, 1e-12,
                   Because::Arithmetic));
        CHECK(near(third_octave_upper_edge(middle + 1).Hz() / upper_edge(band).Hz(), 1.0, 1e-12,
                   Because::Arithmetic));
        ++rows;
    }
    CHECK(rows == 10);
}
