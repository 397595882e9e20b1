#include "earbudget/measurement/likely_past.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numeric>
#include <optional>

namespace earbudget {

namespace {

constexpr double past_seconds = 0.2;   // 25 time constants of the 20.6 Hz high-pass
constexpr double head_seconds = 0.05;  // what must recur
constexpr double held_seconds = 0.0005;
constexpr double coarse_rate = 4000.0;  // enough to align what a 20.6 Hz high-pass remembers
constexpr double shortest_lag_seconds = 0.005;
constexpr double greatest_mismatch = 0.25;  // 1 is what unrelated sounds give
constexpr double no_likeness = 0.5;
constexpr double still_goes_on = 0.05;  // mean square after the head, as a part of the head's

double sum_of_squares(std::span<const double> x) {
    return std::inner_product(x.begin(), x.end(), x.begin(), 0.0);
}

std::size_t samples_in(double seconds, double rate) {
    return static_cast<std::size_t>(std::lround(seconds * rate));
}

double mean(std::span<const double> x) {
    return std::accumulate(x.begin(), x.end(), 0.0) / static_cast<double>(x.size());
}

std::vector<double> averaged_in_groups(std::span<const double> x, std::size_t group) {
    std::vector<double> result;
    for (; x.size() >= group; x = x.subspan(group))
        result.push_back(mean(x.first(group)));
    return result;
}

/// Squared difference between the first `head` samples and those `lag` later, relative to what
/// two unrelated sounds of the same energy would give.
double mismatch(std::span<const double> x, std::size_t head, std::size_t lag) {
    const auto now = x.first(head);
    const auto later = x.subspan(lag, head);
    double difference = 0.0;
    for (std::size_t n = 0; n < head; ++n)
        difference += (later[n] - now[n]) * (later[n] - now[n]);
    const double unrelated = sum_of_squares(now) + sum_of_squares(later);
    return unrelated > 0.0 ? difference / unrelated : 1.0;
}

struct Match {
    std::size_t lag;
    double mismatch;
};

/// The best lag from `first` to `last`, as far as `x` reaches.
Match best_match(std::span<const double> x, std::size_t head, std::size_t first, std::size_t last) {
    Match best{first, 1.0};
    for (std::size_t lag = first; lag <= last && lag + head <= x.size(); ++lag) {
        const double here = mismatch(x, head, lag);
        if (here < best.mismatch) best = {lag, here};
    }
    return best;
}

/// The best lag after one at which there is no likeness: slow sound resembles itself a little later
/// without repeating anything.
Match best_return(std::span<const double> x, std::size_t head, std::size_t first,
                  std::size_t last) {
    std::size_t lag = first;
    while (lag <= last && lag + head <= x.size() && mismatch(x, head, lag) < no_likeness)
        ++lag;
    return best_match(x, head, lag, last);
}

/// After how many samples the start recurs, if it does.
std::optional<std::size_t> recurrence(std::span<const double> start, std::size_t head,
                                      double rate) {
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

std::optional<std::vector<double>> recurring_past(std::span<const double> start,
                                                  Frequency sample_rate, std::size_t length) {
    const std::size_t head = samples_in(head_seconds, sample_rate.Hz());
    if (start.size() < 2 * head) return std::nullopt;
    const auto period = recurrence(start, head, sample_rate.Hz());
    if (!period) return std::nullopt;
    // Before a period shorter than the past wanted, the same stretch is repeated.
    std::vector<double> past(length);
    for (std::size_t n = 0; n < length; ++n) {
        past[length - 1 - n] = start[*period - 1 - n % *period];
    }
    return past;
}

std::vector<double> likely_past(std::span<const double> start, Frequency sample_rate) {
    const double rate = sample_rate.Hz();
    const std::size_t length = samples_in(past_seconds, rate);
    if (auto past = recurring_past(start, sample_rate, length)) return *std::move(past);
    std::vector<double> past(length, 0.0);
    const std::size_t head = samples_in(head_seconds, rate);
    if (start.size() < 2 * head) return past;
    const double head_mean_square = sum_of_squares(start.first(head)) / static_cast<double>(head);
    const auto rest = start.subspan(head);
    if (sum_of_squares(rest) / static_cast<double>(rest.size()) >
        still_goes_on * head_mean_square) {
        std::fill(past.begin(), past.end(), mean(start.first(samples_in(held_seconds, rate))));
    }
    return past;
}

}  // namespace earbudget
