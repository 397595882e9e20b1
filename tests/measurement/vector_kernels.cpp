// The inner loops for the newest processor must do what those for any processor do.
#include <array>
#include <cmath>
#include <cstddef>

#include <doctest/doctest.h>

#include "measurement/meters/block_scan.hpp"
#include "measurement/signals.hpp"
#include "measurement/vector/kernels.hpp"
#include "support/near.hpp"

namespace earbudget::vector {
extern const Kernels kernels_any;
}

using namespace earbudget;
using namespace earbudget::test;

namespace {

const vector::Kernels& chosen() { return vector::kernels(); }
const vector::Kernels& any() { return vector::kernels_any; }

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

constexpr std::array<std::size_t, 7> lengths = {1, 7, 8, 31, 64, 65, 1000};

}  // namespace

TEST_CASE("A high-pass section is y[n] = x[n] - x[n-1] + p y[n-1], on every processor") {
    constexpr std::size_t reach = vector::high_pass_reach;
    const double pole = 0.99;
    std::size_t rows = 0;
    for (const vector::Kernels* kernels : {&chosen(), &any()}) {
        for (const std::size_t length : lengths) {
            vector::HighPass section = vector::high_pass_with_pole(pole);
            Samples in(reach + length, 0.0F);
            const Samples noise =
                narrow(white_noise(0.5, static_cast<double>(length), 1.0, length));
            std::ranges::copy(noise, in.begin() + reach);
            Samples out(length);
            kernels->high_pass(section, in.data() + reach, out.data(), length);
            double x = 0.0;
            double y = 0.0;
            double worst = 0.0;
            for (std::size_t n = 0; n < length; ++n) {
                const auto now = static_cast<double>(noise[n]);
                y = now - x + pole * y;
                x = now;
                worst = std::max(worst, std::abs(y - static_cast<double>(out[n])));
            }
            CHECK(near(worst, 0.0, 1e-6, Because::Arithmetic));
            ++rows;
        }
    }
    CHECK(rows == 2 * lengths.size());
}

TEST_CASE("Sums, extremes and products are the same on every processor") {
    std::size_t rows = 0;
    for (const std::size_t length : lengths) {
        CAPTURE(length);
        const Samples x = narrow(white_noise(0.5, static_cast<double>(length + 64), 1.0, length));
        const auto size = static_cast<double>(length);
        CHECK(near(chosen().sum(x.data(), length), any().sum(x.data(), length), 1e-6 * size,
                   Because::Arithmetic));
        CHECK(near(chosen().squared_deviations(x.data(), length, 0.1F),
                   any().squared_deviations(x.data(), length, 0.1F), 1e-6 * size,
                   Because::Arithmetic));
        const auto a = chosen().extremes(x.data(), length);
        const auto b = any().extremes(x.data(), length);
        CHECK(a.lowest == b.lowest);
        CHECK(a.highest == b.highest);
        for (std::size_t from = 1; from <= length; ++from) {
            CHECK(chosen().find_crest(x.data(), from, length, -0.4F, 0.4F) ==
                  first_crest(x, from, length));
            CHECK(any().find_crest(x.data(), from, length, -0.4F, 0.4F) ==
                  first_crest(x, from, length));
        }
        Samples y(length);
        Samples z(length);
        chosen().correlate(x.data(), 24, x.data(), y.data(), length);
        any().correlate(x.data(), 24, x.data(), z.data(), length);
        CHECK(near(difference(y, z), 0.0, 1e-6, Because::Arithmetic));
        CHECK(near(static_cast<double>(chosen().dot_product(x.data(), x.data() + 5, 40)),
                   static_cast<double>(any().dot_product(x.data(), x.data() + 5, 40)), 1e-6,
                   Because::Arithmetic));
        ++rows;
    }
    CHECK(rows == lengths.size());
}

TEST_CASE("Three equal samples beyond a limit are found wherever they stand") {
    Samples x = narrow(white_noise(0.3, 100.0, 1.0, 4));
    for (const vector::Kernels* kernels : {&chosen(), &any()}) {
        CHECK(!kernels->has_flat_outside(x.data(), x.size() - 2, -0.5F, 0.5F));
        for (std::size_t at = 0; at + 3 <= x.size(); ++at) {
            Samples flat = x;
            for (std::size_t k = 0; k < 3; ++k)
                flat[at + k] = at % 2 == 0 ? 0.5F : -0.5F;
            CHECK(kernels->has_flat_outside(flat.data(), flat.size() - 2, -0.5F, 0.5F));
            CHECK(!kernels->has_flat_outside(flat.data(), flat.size() - 2, -0.6F, 0.6F));
        }
    }
}

TEST_CASE("Eight transforms side by side are the same on every processor") {
    constexpr std::size_t length = 32;
    const Samples start = narrow(white_noise(0.5, 16.0 * length, 1.0, 9));
    Samples twiddles(6 * length);
    for (std::size_t n = 0; n < twiddles.size(); ++n)
        twiddles[n] = static_cast<float>(std::cos(static_cast<double>(n)));
    const auto run = [&](const vector::Kernels& kernels) {
        Samples re(start.begin(), start.begin() + 8 * length);
        Samples im(start.begin() + 8 * length, start.end());
        kernels.transform_eight(re.data(), im.data(), length, twiddles.data());
        re.insert(re.end(), im.begin(), im.end());
        return re;
    };
    CHECK(near(difference(run(chosen()), run(any())), 0.0, 1e-4, Because::Arithmetic));
}
