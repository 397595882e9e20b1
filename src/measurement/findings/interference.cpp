#include <algorithm>
#include <cmath>
#include <cstddef>
#include <span>
#include <vector>

#include "earbudget/measurement/findings/steadiness.hpp"

namespace earbudget {

namespace {

// The rule of the header, in numbers.
constexpr Seconds longest_burst{0.25};
constexpr Seconds around{2.0};
constexpr LevelDifference above_others{10.0};
constexpr double others = 0.85;  // up to a dozen steps of crackle, or a pump's peaks, are allowed
constexpr LevelDifference near_it{10.0};
constexpr Seconds bursts_apart{2.0};
constexpr Seconds neighbourhood{30.0};
constexpr Seconds one_in{15.0};
constexpr std::size_t fewest_regular = 4;
constexpr double regular_within = 0.05;  // of the time from one to the next

/// Steps from `first` to before `end`.
struct Burst {
    std::size_t first;
    std::size_t end;
};

/// Whether all but a few of the `window` steps around step n lie far below it.
bool stands_out(std::span<const float> x, std::size_t n, std::size_t window, double ratio) {
    const std::size_t start = std::min(n - std::min(n, window / 2), x.size() - window);
    const auto most = static_cast<std::size_t>((1.0 - others) * static_cast<double>(window));
    const auto limit = static_cast<float>(static_cast<double>(x[n]) / ratio);
    std::size_t near = 0;
    for (const float other : x.subspan(start, window)) {
        // Ordinary steps are done with here after a dozen others.
        if (other >= limit && ++near > most) return false;
    }
    return true;
}

/// Groups of steps that stand out; one step below does not divide a group.
std::vector<Burst> groups(std::span<const float> x, Seconds step) {
    const std::size_t window = 2 * steps_in(around, step) + 1;
    const double ratio = energy_ratio(above_others);
    std::vector<Burst> found;
    if (x.size() < window) return found;
    for (std::size_t n = 0; n < x.size(); ++n) {
        if (!stands_out(x, n, window, ratio)) continue;
        if (!found.empty() && n <= found.back().end + 1) {
            found.back().end = n + 1;
        } else {
            found.push_back({n, n + 1});
        }
    }
    std::erase_if(found, [&](const Burst& burst) {
        return burst.end - burst.first > steps_in(longest_burst, step) || burst.first == 0 ||
               burst.end == x.size();
    });
    return found;
}

/// Whether little else in the time around the burst comes near it: a sound that pulses may hardly
/// stand out of itself, so that only some of its pulses are bursts.
bool is_rare(std::span<const float> x, const Burst& burst, Seconds step) {
    const std::size_t window = std::min(x.size(), steps_in(neighbourhood, step));
    const std::size_t allowed = std::max<std::size_t>(1, window / steps_in(one_in, step));
    const std::size_t start =
        std::min(burst.first - std::min(burst.first, window / 2), x.size() - window);
    const auto highest = std::max_element(x.begin() + static_cast<std::ptrdiff_t>(burst.first),
                                          x.begin() + static_cast<std::ptrdiff_t>(burst.end));
    const auto limit = static_cast<float>(static_cast<double>(*highest) / energy_ratio(near_it));
    std::size_t count = 0;
    for (std::size_t n = start; n < start + window; ++n) {
        if (x[n] < limit) continue;
        if (++count > allowed) return false;
        n += steps_in(bursts_apart, step) - 1;
    }
    return true;
}

std::vector<Burst> rare_ones(const std::vector<Burst>& bursts, std::span<const float> x,
                             Seconds step) {
    std::vector<Burst> rare;
    const std::size_t near = steps_in(one_in, step);
    std::size_t tainted_to = 0;  // near a burst that is not rare: its sound's first or last pulses
    for (const Burst& burst : bursts) {
        if (is_rare(x, burst, step)) {
            if (burst.first >= tainted_to) rare.push_back(burst);
            continue;
        }
        tainted_to = burst.first + near;
        while (!rare.empty() && rare.back().first + near > burst.first)
            rare.pop_back();
    }
    return rare;
}

bool are_regular(const std::vector<Burst>& bursts, Seconds step) {
    if (bursts.size() < fewest_regular) return false;
    std::vector<double> times;
    for (std::size_t n = 1; n < bursts.size(); ++n)
        times.push_back(static_cast<double>(bursts[n].first - bursts[n - 1].first));
    const double shortest = *std::min_element(times.begin(), times.end());
    // Of what lies closer a regular series would not have been rare.
    if (shortest * step < bursts_apart) return false;
    return std::all_of(times.begin(), times.end(), [&](double time) {
        return std::abs(time / shortest - std::round(time / shortest)) <= regular_within;
    });
}

LevelDifference raised_by(std::span<const float> x, const std::vector<Burst>& bursts) {
    double with = 0.0;
    double without = 0.0;
    std::size_t left = 0;
    std::size_t next = 0;  // of the bursts
    for (std::size_t n = 0; n < x.size(); ++n) {
        const auto value = static_cast<double>(x[n]);
        with += value;
        if (next < bursts.size() && n >= bursts[next].end) ++next;
        if (next < bursts.size() && n >= bursts[next].first) continue;
        without += value;
        ++left;
    }
    // Bursts in digital silence: there is no level to raise.
    if (!(without > 0.0)) return LevelDifference();
    const double ratio = with / static_cast<double>(x.size()) * static_cast<double>(left) / without;
    return difference_of_energy_ratio(ratio);
}

}  // namespace

Interference find_interference(const LevelHistory& history) {
    const std::span<const float> x(history.mean_square);
    const auto bursts = rare_ones(groups(x, history.step), x, history.step);
    if (bursts.empty() || are_regular(bursts, history.step)) return {};
    return {bursts.size(), history.step * static_cast<double>(bursts.front().first),
            raised_by(x, bursts)};
}

}  // namespace earbudget
