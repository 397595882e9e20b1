// The inner loops for every kind of processor must do what is written down plainly here.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "measurement/meters/block_scan.hpp"
#include "measurement/signals.hpp"
#include "measurement/vector/kernels.hpp"
#include "support/each_target.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

const vector::Kernels& now() { return vector::kernels(); }

double difference(const Samples& a, const Samples& b) {
    double worst = 0.0;
    for (std::size_t n = 0; n < a.size(); ++n)
        worst = std::max(worst, static_cast<double>(std::abs(a[n] - b[n])));
    return worst;
}

/// As the kernel's description has it, one by one.
std::size_t first_crest(const Samples& x, std::size_t from, std::size_t end) {
    for (std::size_t n = from; n < end; ++n) {
        if (x[n] > 0.4F && x[n] >= x[n - 1] && x[n] >= x[n + 1]) return n;
        if (x[n] < -0.4F && x[n] <= x[n - 1] && x[n] <= x[n + 1]) return n;
    }
    return end;
}

/// Σ x[k]·x[from + k]
double product(const Samples& x, std::size_t from, std::size_t count) {
    double sum = 0.0;
    for (std::size_t k = 0; k < count; ++k)
        sum += static_cast<double>(x[k]) * static_cast<double>(x[from + k]);
    return sum;
}

constexpr std::array<std::size_t, 7> lengths = {1, 7, 8, 31, 64, 65, 1000};

}  // namespace

TEST_CASE("A high-pass section is y[n] = x[n] - x[n-1] + p y[n-1], on every processor") {
    constexpr std::size_t reach = vector::high_pass_reach;
    const double pole = 0.99;
    on_each_target([&](const std::string& target) {
        CAPTURE(target);
        for (const std::size_t length : lengths) {
            vector::HighPass section = vector::high_pass_with_pole(pole);
            Samples in(reach + length, 0.0F);
            const Samples noise =
                narrow(white_noise(0.5, static_cast<double>(length), 1.0, length));
            std::ranges::copy(noise, in.begin() + reach);
            Samples out(length);
            now().high_pass(section, in.data() + reach, out.data(), length);
            double x = 0.0;
            double y = 0.0;
            double worst = 0.0;
            for (std::size_t n = 0; n < length; ++n) {
                const auto sample = static_cast<double>(noise[n]);
                y = sample - x + pole * y;
                x = sample;
                worst = std::max(worst, std::abs(y - static_cast<double>(out[n])));
            }
            CHECK(near(worst, 0.0, 1e-6, Because::Arithmetic));
        }
    });
}

TEST_CASE("Sums, extremes and products are right on every processor") {
    on_each_target([&](const std::string& target) {
        CAPTURE(target);
        for (const std::size_t length : lengths) {
            CAPTURE(length);
            const Samples x =
                narrow(white_noise(0.5, static_cast<double>(length + 64), 1.0, length));
            const auto size = static_cast<double>(length);
            double sum = 0.0;
            double deviations = 0.0;
            for (std::size_t n = 0; n < length; ++n) {
                sum += static_cast<double>(x[n]);
                deviations += std::pow(static_cast<double>(x[n] - 0.1F), 2.0);
            }
            CHECK(near(now().sum(x.data(), length), sum, 1e-6 * size, Because::Arithmetic));
            CHECK(near(now().squared_deviations(x.data(), length, 0.1F), deviations, 1e-6 * size,
                       Because::Arithmetic));
            const auto found = now().extremes(x.data(), length);
            const auto [lowest, highest] =
                std::minmax_element(x.begin(), x.begin() + static_cast<std::ptrdiff_t>(length));
            CHECK(found.lowest == *lowest);
            CHECK(found.highest == *highest);
            for (std::size_t from = 1; from <= length; ++from)
                CHECK(now().find_crest(x.data(), from, length, -0.4F, 0.4F) ==
                      first_crest(x, from, length));
            for (const std::size_t taps : {1, 12, 32, 45}) {
                Samples y(length);
                now().correlate(x.data(), taps, x.data(), y.data(), length);
                Samples right(length);
                for (std::size_t n = 0; n < length; ++n)
                    right[n] = static_cast<float>(product(x, n, taps));
                CHECK(near(difference(y, right), 0.0, 2e-6, Because::Arithmetic));
            }
            CHECK(near(static_cast<double>(now().dot_product(x.data(), x.data() + 5, 40)),
                       product(x, 5, 40), 1e-6, Because::Arithmetic));
        }
    });
}

TEST_CASE("Blocks of any number and length have their squares summed, on every processor") {
    const Samples x = narrow(white_noise(0.5, 2000.0, 1.0, 3));
    on_each_target([&](const std::string& target) {
        CAPTURE(target);
        for (const std::size_t length : {5, 8, 35, 48}) {
            for (const std::size_t blocks : {1, 7, 8, 9, 40}) {
                Samples sums(blocks + 1, -1.0F);
                now().sums_of_squares(x.data(), length, blocks, sums.data());
                for (std::size_t block = 0; block < blocks; ++block) {
                    double sum = 0.0;
                    for (std::size_t n = block * length; n < (block + 1) * length; ++n)
                        sum += std::pow(static_cast<double>(x[n]), 2.0);
                    CHECK(near(static_cast<double>(sums[block]), sum, 3e-6, Because::Arithmetic));
                }
                CHECK(sums.back() == -1.0F);
            }
        }
    });
}

TEST_CASE("Three equal samples beyond a limit are found wherever they stand") {
    Samples x = narrow(white_noise(0.3, 100.0, 1.0, 4));
    on_each_target([&](const std::string& target) {
        CAPTURE(target);
        CHECK(!now().has_flat_outside(x.data(), x.size() - 2, -0.5F, 0.5F));
        for (std::size_t at = 0; at + 3 <= x.size(); ++at) {
            Samples flat = x;
            for (std::size_t k = 0; k < 3; ++k)
                flat[at + k] = at % 2 == 0 ? 0.5F : -0.5F;
            CHECK(now().has_flat_outside(flat.data(), flat.size() - 2, -0.5F, 0.5F));
            CHECK(!now().has_flat_outside(flat.data(), flat.size() - 2, -0.6F, 0.6F));
        }
    });
}

TEST_CASE("Eight transforms side by side are the same on every processor") {
    constexpr std::size_t length = 32;
    const Samples start = narrow(white_noise(0.5, 16.0 * length, 1.0, 9));
    Samples twiddles(6 * length);
    for (std::size_t n = 0; n < twiddles.size(); ++n)
        twiddles[n] = static_cast<float>(std::cos(static_cast<double>(n)));
    std::vector<Samples> results;
    std::vector<std::vector<double>> powers;
    on_each_target([&](const std::string&) {
        Samples re(start.begin(), start.begin() + 8 * length);
        Samples im(start.begin() + 8 * length, start.end());
        now().transform_eight(re.data(), im.data(), length, twiddles.data());
        std::vector<double> power(length, 1.0);
        now().add_power(re.data(), im.data(), power.data(), length);
        powers.push_back(power);
        re.insert(re.end(), im.begin(), im.end());
        results.push_back(re);
    });
    REQUIRE(results.size() >= 2);
    for (std::size_t i = 0; i < results.size(); ++i) {
        CHECK(near(difference(results[i], results.front()), 0.0, 1e-4, Because::Arithmetic));
        for (std::size_t n = 0; n < length; ++n) {
            double power = 1.0;
            for (std::size_t k = 8 * n; k < 8 * (n + 1); ++k)
                power += std::pow(static_cast<double>(results[i][k]), 2.0) +
                         std::pow(static_cast<double>(results[i][8 * length + k]), 2.0);
            CHECK(near(powers[i][n] / power, 1.0, 1e-6, Because::Arithmetic));
        }
    }
}

TEST_CASE("Windows stand side by side, on every processor") {
    constexpr std::size_t length = 24;
    constexpr std::size_t hop = 12;
    const Samples x = narrow(white_noise(0.5, 7.0 * hop + length, 1.0, 5));
    const Samples window = narrow(white_noise(0.5, length, 1.0, 6));
    on_each_target([&](const std::string& target) {
        CAPTURE(target);
        Samples out(8 * length);
        now().window_eight(x.data(), hop, window.data(), out.data(), length);
        for (std::size_t n = 0; n < length; ++n) {
            for (std::size_t k = 0; k < 8; ++k)
                CHECK(out[8 * n + k] == window[n] * x[k * hop + n]);
        }
    });
}

TEST_CASE("Levels agree to 1e-6 dB, peaks to 3e-6 dB, on every kind of processor") {
    constexpr double rate = 48000.0;
    const Signal noise = white_noise(0.3, 4.0, rate, 11);
    std::size_t levels_seen = 0;
    for (const Signal& signal :
         {noise, sine(1000.0, 0.5, 4.0, rate), sine(63.0, 0.5, 4.0, rate) + noise}) {
        std::vector<double> first;
        on_each_target([&](const std::string& target) {
            CAPTURE(target);
            const ChannelReading reading = reading_of(signal, rate);
            std::vector<double> levels;
            for (const auto& level :
                 {reading.A, reading.C, reading.Z, reading.C_peak, reading.Z_peak})
                levels.push_back(level.value().dB());
            for (const OctaveBand band : octave_bands) {
                // What leaks into empty bands is rounding.
                const auto level = reading.octave.at(band);
                if (level && level->dB() > reading.Z->dB() - 40.0) levels.push_back(level->dB());
            }
            if (first.empty()) first = levels;
            REQUIRE(levels.size() == first.size());
            for (std::size_t n = 0; n < levels.size(); ++n, ++levels_seen) {
                CAPTURE(n);
                // A peak is one value: it has the few roundings that went into that.
                const double tolerance = n == 3 || n == 4 ? 3e-6 : 1e-6;
                CHECK(near(levels[n], first[n], tolerance, Because::Arithmetic));
            }
        });
    }
    CHECK(levels_seen > 3 * 2 * 6);
}
