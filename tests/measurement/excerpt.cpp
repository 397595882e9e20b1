#include <stdexcept>

#include <doctest/doctest.h>

#include "earbudget/measurement/meters/sample_source.hpp"
#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

/// All frames of a source, read `frames` at a time.
Signal all_of(SampleSource& source, std::size_t frames) {
    Signal result;
    std::vector<double> block(frames * source.channels());
    while (const std::size_t got = source.read(block)) {
        result.insert(result.end(), block.begin(),
                      block.begin() + static_cast<std::ptrdiff_t>(got * source.channels()));
    }
    return result;
}

Signal counting(std::size_t length) {
    Signal signal(length);
    for (std::size_t n = 0; n < length; ++n)
        signal[n] = static_cast<double>(n);
    return signal;
}

}  // namespace

TEST_CASE("An excerpt holds the frames between two moments, however they are read") {
    struct Row {
        double from, to;
        std::size_t first, count;
    };
    constexpr std::array<Row, 5> rows = {{{0.0, 10.0, 0, 1000},
                                          {1.0, 2.0, 100, 100},
                                          {2.5, 2.51, 250, 1},
                                          {9.5, 20.0, 950, 50},
                                          {12.0, 20.0, 0, 0}}};
    std::size_t checked = 0;
    for (const Row& row : rows) {
        for (const std::size_t block : {std::size_t{1}, std::size_t{7}, std::size_t{4096}}) {
            CAPTURE(row.from);
            CAPTURE(block);
            MemorySource whole({counting(1000)}, 100);
            Excerpt part(whole, Seconds(row.from), Seconds(row.to));
            const Signal read = all_of(part, block);
            REQUIRE(read.size() == row.count);
            if (row.count > 0) {
                CHECK(near(read.front(), static_cast<double>(row.first), 0.0, Because::Arithmetic));
                CHECK(near(read.back(), static_cast<double>(row.first + row.count - 1), 0.0,
                           Because::Arithmetic));
            }
            ++checked;
        }
    }
    CHECK(checked == 15);
}

TEST_CASE("Excerpts one after another are the whole, in every channel") {
    const Signal left = counting(777);
    const Signal right = -1.0 * left;
    Signal joined;
    for (const auto& [from, to] :
         {std::pair{0.0, 3.01}, std::pair{3.01, 5.555}, std::pair{5.555, 100.0}}) {
        MemorySource whole({left, right}, 100);
        Excerpt part(whole, Seconds(from), Seconds(to));
        const Signal read = all_of(part, 64);
        joined.insert(joined.end(), read.begin(), read.end());
    }
    MemorySource whole({left, right}, 100);
    CHECK(joined == all_of(whole, 64));
}

TEST_CASE("An excerpt of no time is refused") {
    MemorySource whole({counting(10)}, 100);
    CHECK_THROWS_AS(Excerpt(whole, Seconds(1.0), Seconds(1.0)), std::invalid_argument);
    CHECK_THROWS_AS(Excerpt(whole, Seconds(2.0), Seconds(1.0)), std::invalid_argument);
    CHECK_THROWS_AS(Excerpt(whole, Seconds(-1.0), Seconds(1.0)), std::invalid_argument);
    CHECK_THROWS_AS(Excerpt(whole, Seconds(std::nan("")), Seconds(1.0)), std::invalid_argument);
}
