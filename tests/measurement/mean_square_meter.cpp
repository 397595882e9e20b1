#include "earbudget/measurement/mean_square_meter.hpp"

#include <doctest/doctest.h>

#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("Mean square counts every sample once") {
    MeanSquareMeter meter;
    CHECK(near(meter.mean_square(), 0.0, 0.0, Because::Arithmetic));
    meter.add(Signal{1.0, 2.0});
    meter.add(Signal{});
    meter.add(Signal{3.0});
    CHECK(near(meter.mean_square(), 14.0 / 3.0, 1e-15, Because::Arithmetic));
}

TEST_CASE("Variance leaves out the mean, whatever its size and however blocks are cut") {
    const Signal noise = white_noise(1.0, 1.0, 10000);
    VarianceMeter plain;
    plain.add(noise);
    for (const double offset : {0.0, 1.0, -1e6}) {
        for (const std::size_t block : {std::size_t{1}, std::size_t{17}, std::size_t{4096}}) {
            CAPTURE(offset);
            CAPTURE(block);
            Signal shifted = noise;
            for (double& x : shifted)
                x += offset;
            VarianceMeter meter;
            for (std::size_t n = 0; n < shifted.size(); n += block) {
                meter.add(std::span(shifted).subspan(n, std::min(block, shifted.size() - n)));
            }
            CHECK(near(meter.mean_square_without_mean(), plain.mean_square_without_mean(), 1e-9,
                       Because::Arithmetic));
            CHECK(near(meter.mean(), plain.mean() + offset, 1e-8, Because::Arithmetic));
        }
    }
}

TEST_CASE("A constant signal has no variance") {
    VarianceMeter meter;
    CHECK(near(meter.mean_square_without_mean(), 0.0, 0.0, Because::Arithmetic));
    meter.add(Signal(1000, 0.25));
    meter.add(Signal(7, 0.25));
    CHECK(near(meter.mean_square_without_mean(), 0.0, 1e-30, Because::Arithmetic));
    CHECK(near(meter.mean(), 0.25, 1e-15, Because::Arithmetic));
}
