#include "earbudget/measurement/meters/mean_square_meter.hpp"

#include <doctest/doctest.h>

#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("Mean square counts every sample once") {
    MeanSquareMeter meter;
    CHECK(near(meter.mean_square(), 0.0, 0.0, Because::Arithmetic));
    meter.add(Samples{1.0F, 2.0F});
    meter.add(Samples{});
    meter.add(Samples{3.0F});
    CHECK(near(meter.mean_square(), 14.0 / 3.0, 1e-6, Because::Arithmetic));
}

TEST_CASE("Variance leaves out the mean, whatever its size and however blocks are cut") {
    const Signal noise = white_noise(1.0, 1.0, 10000);
    VarianceMeter plain;
    plain.add(narrow(noise));
    // Up to where the samples themselves are too coarse for it.
    for (const double offset : {0.0, 1.0, -100.0}) {
        for (const std::size_t block : {std::size_t{1}, std::size_t{17}, std::size_t{4096}}) {
            CAPTURE(offset);
            CAPTURE(block);
            Signal shifted = noise;
            for (double& x : shifted)
                x += offset;
            const Samples samples = narrow(shifted);
            VarianceMeter meter;
            for (std::size_t n = 0; n < samples.size(); n += block) {
                meter.add(std::span(samples).subspan(n, std::min(block, samples.size() - n)));
            }
            CHECK(near(meter.mean_square_without_mean(), plain.mean_square_without_mean(), 1e-6,
                       Because::Arithmetic));
            CHECK(near(meter.mean(), plain.mean() + offset, 1e-5, Because::Arithmetic));
        }
    }
}

TEST_CASE("A constant signal has no variance") {
    VarianceMeter meter;
    CHECK(near(meter.mean_square_without_mean(), 0.0, 0.0, Because::Arithmetic));
    meter.add(Samples(1000, 0.25F));
    meter.add(Samples(7, 0.25F));
    CHECK(near(meter.mean_square_without_mean(), 0.0, 1e-30, Because::Arithmetic));
    CHECK(near(meter.mean(), 0.25, 1e-15, Because::Arithmetic));
}

TEST_CASE("Single precision costs a sum of squares less than a millionth, however long the block") {
    for (const std::size_t length :
         {std::size_t{1}, std::size_t{31}, std::size_t{4097}, std::size_t{100000}}) {
        const Samples noise =
            narrow(white_noise(0.5, static_cast<double>(length) / 8000.0, 8000, length));
        double exact = 0.0;
        for (const float x : noise)
            exact += static_cast<double>(x) * static_cast<double>(x);
        CHECK(near(sum_of_squares(noise) / exact, 1.0, 1e-6, Because::Arithmetic));
    }
}
