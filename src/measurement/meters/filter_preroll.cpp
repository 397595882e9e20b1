#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numeric>
#include <optional>

#include "earbudget/measurement/meters/mean_square_meter.hpp"
#include "earbudget/measurement/meters/weighting_filter.hpp"
#include "measurement/vector/kernels.hpp"

namespace earbudget {

namespace {

constexpr double past_seconds = 0.2;   // 25 time constants of the 20.6 Hz high-pass
constexpr double head_seconds = 0.05;  // what must recur
constexpr double held_seconds = 0.0005;
constexpr double coarse_rate = 4000.0;  // enough to align what a 20.6 Hz high-pass remembers
constexpr double shortest_lag_seconds = 0.005;
constexpr double likely = 0.25;
constexpr double no_likeness = 0.5;
constexpr double still_goes_on = 0.05;  // mean square after the head, as a part of the head's

std::size_t samples_in(double seconds, double rate) {
    return static_cast<std::size_t>(std::lround(seconds * rate));
}

double mean(std::span<const float> x) {
    return std::accumulate(x.begin(), x.end(), 0.0) / static_cast<double>(x.size());
}

std::vector<float> averaged_in_groups(std::span<const float> x, std::size_t group) {
    std::vector<float> result;
    for (; x.size() >= group; x = x.subspan(group))
        result.push_back(static_cast<float>(mean(x.first(group))));
    return result;
}

/// How little the first `head` samples are like those that begin at each lag from `first` to
/// `last`, as far as `x` reaches: the squared difference, relative to what two unrelated sounds of
/// the same energy would give.
std::vector<double> mismatches(std::span<const float> x, std::size_t head, std::size_t first,
                               std::size_t last) {
    if (first > last || first + head > x.size()) return {};
    const std::size_t lags = std::min(last, x.size() - head) - first + 1;
    std::vector<float> products(lags);
    vector::kernels().correlate(x.data(), head, x.data() + first, products.data(), lags);
    const double now = sum_of_squares(x.first(head));
    double later = sum_of_squares(x.subspan(first, head));
    const auto square = [&](std::size_t n) {
        return static_cast<double>(x[n]) * static_cast<double>(x[n]);
    };
    std::vector<double> result(lags);
    for (std::size_t k = 0; k < lags; ++k) {
        const double unrelated = now + later;
        result[k] =
            unrelated > 0.0 ? 1.0 - 2.0 * static_cast<double>(products[k]) / unrelated : 1.0;
        const std::size_t lag = first + k;
        if (lag + head < x.size()) later = std::max(0.0, later + square(lag + head) - square(lag));
    }
    return result;
}

struct Match {
    std::size_t lag;
    double mismatch;
};

/// The best lag from `first` to `last`, as far as `x` reaches.
Match best_match(std::span<const float> x, std::size_t head, std::size_t first, std::size_t last) {
    const auto all = mismatches(x, head, first, last);
    const auto best = std::ranges::min_element(all);
    if (best == all.end() || *best >= 1.0) return {first, 1.0};
    return {first + static_cast<std::size_t>(best - all.begin()), *best};
}

/// The best lag after one at which there is no likeness: slow sound resembles itself a little later
/// without repeating anything.
Match best_return(std::span<const float> x, std::size_t head, std::size_t first, std::size_t last) {
    const auto all = mismatches(x, head, first, last);
    const auto unlike = std::ranges::find_if(all, [](double m) { return m >= no_likeness; });
    const auto best = std::min_element(unlike, all.end());
    if (best == all.end() || *best >= 1.0) return {last, 1.0};
    return {first + static_cast<std::size_t>(best - all.begin()), *best};
}

/// After how many samples the start recurs, if it does.
std::optional<std::size_t> recurrence(std::span<const float> start, std::size_t head, double rate,
                                      double greatest_mismatch) {
    // Low tones first: they are what the weighting remembers. Single samples then align the rest.
    const auto group = static_cast<std::size_t>(std::max(1.0, std::round(rate / coarse_rate)));
    const auto coarse = averaged_in_groups(start, group);
    const std::size_t shortest = samples_in(shortest_lag_seconds, rate);
    const Match low = best_return(coarse, head / group, shortest / group, coarse.size());
    if (low.mismatch <= greatest_mismatch) {
        const std::size_t near = low.lag * group;
        return best_match(start, head, near - group, near + group).lag;
    }
    // Tones too high for the coarse look.
    const Match high = best_return(start, shortest, shortest, 2 * shortest);
    if (high.mismatch <= greatest_mismatch) return high.lag;
    return std::nullopt;
}

}  // namespace

std::optional<std::vector<float>> recurring_preroll(std::span<const float> start,
                                                    Frequency sample_rate, std::size_t length,
                                                    double greatest_mismatch) {
    const std::size_t head = samples_in(head_seconds, sample_rate.Hz());
    if (start.size() < 2 * head) return std::nullopt;
    const auto period = recurrence(start, head, sample_rate.Hz(), greatest_mismatch);
    if (!period) return std::nullopt;
    // All that would be put before the start must itself have recurred, not just a quiet moment.
    const std::size_t repeated = std::min(std::max(*period, head), start.size() - *period);
    if (best_match(start, repeated, *period, *period).mismatch > greatest_mismatch) {
        return std::nullopt;
    }
    // Before a period shorter than the past wanted, the same stretch is repeated.
    std::vector<float> past(length);
    for (std::size_t n = 0; n < length; ++n) {
        past[length - 1 - n] = start[*period - 1 - n % *period];
    }
    return past;
}

std::vector<float> filter_preroll(std::span<const float> start, Frequency sample_rate) {
    const double rate = sample_rate.Hz();
    const std::size_t length = samples_in(past_seconds, rate);
    if (auto past = recurring_preroll(start, sample_rate, length, likely)) return *std::move(past);
    std::vector<float> past(length, 0.0F);
    const std::size_t head = samples_in(head_seconds, rate);
    if (start.size() < 2 * head) return past;
    const double head_mean_square = sum_of_squares(start.first(head)) / static_cast<double>(head);
    const auto rest = start.subspan(head);
    if (sum_of_squares(rest) / static_cast<double>(rest.size()) >
        still_goes_on * head_mean_square) {
        std::fill(past.begin(), past.end(),
                  static_cast<float>(mean(start.first(samples_in(held_seconds, rate)))));
    }
    return past;
}

}  // namespace earbudget
