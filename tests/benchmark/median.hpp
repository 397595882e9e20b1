#pragma once

#include <algorithm>
#include <chrono>
#include <vector>

namespace earbudget::benchmark {

/// The middle one of an odd number of values.
[[nodiscard]] inline double median(std::vector<double> values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

/// How long some work takes, median of so many runs in this process.
template <class Work>
[[nodiscard]] double median_seconds(int runs, const Work& work) {
    std::vector<double> seconds;
    for (int run = 0; run < runs; ++run) {
        const auto start = std::chrono::steady_clock::now();
        work();
        const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - start;
        seconds.push_back(taken.count());
    }
    return median(std::move(seconds));
}

}  // namespace earbudget::benchmark
