#pragma once

#include <algorithm>
#include <concepts>
#include <optional>
#include <vector>

namespace earbudget {

/// How far a number that is found may lie from the exact one: no further than `absolute`, or than
/// this part of itself where that is more. Whole numbers are found exactly, which is 1.
template <class Number>
struct Tolerance {
    Number absolute;
    double relative = 0.0;
};

/// Between a number that keeps something and one that does not, the last that does: by halving,
/// to the tolerance. `keeps` changes once between them; where it changes more often, one of the
/// changes is found. Either number may be the larger one.
template <class Number, class Keeps>
[[nodiscard]] Number last_that_keeps(Number kept, Number not_kept, const Keeps& keeps,
                                     const Tolerance<Number>& near) {
    const auto apart = [&] { return kept < not_kept ? not_kept - kept : kept - not_kept; };
    const auto near_enough = [&] {
        if constexpr (std::integral<Number>)
            return near.absolute;
        else
            return std::max(near.absolute, near.relative * kept);
    };
    while (apart() > near_enough()) {
        const Number middle = (kept + not_kept) / 2;
        (keeps(middle) ? kept : not_kept) = middle;
    }
    return kept;
}

/// The most of a whole number, from `least` up to `most`, that keeps something; `least` is taken to
/// keep it. `keeps` is true up to some number and false from there on.
template <std::integral Number, class Keeps>
[[nodiscard]] Number most_that_keeps(Number least, Number most, const Keeps& keeps) {
    if (keeps(most)) return most;
    return last_that_keeps<Number>(least, most + 1, keeps, {1});
}

/// The least of a whole number, from 0 up to `most`, that keeps something; none where not even
/// `most` does. `keeps` is false up to some number and true from there on.
template <std::signed_integral Number, class Keeps>
[[nodiscard]] std::optional<Number> least_that_keeps(Number most, const Keeps& keeps) {
    if (!keeps(most)) return std::nullopt;
    return last_that_keeps<Number>(most, -1, keeps, {1});
}

/// The longest time, or other number that is not whole, up to `most` that keeps something, as
/// every shorter one of `looked_at` (ascending) does; none where 0 does not. Short of the exact
/// one by no more than the tolerance.
///
/// Where `keeps` may change more than once, its changes must lie one between two of `looked_at`.
template <class Number, class Keeps>
[[nodiscard]] std::optional<Number> longest_that_keeps(std::vector<Number> looked_at, Number most,
                                                       const Keeps& keeps,
                                                       const Tolerance<Number>& near) {
    Number kept(0.0);
    if (!keeps(kept)) return std::nullopt;
    looked_at.push_back(most);
    for (const Number number : looked_at) {
        if (!keeps(number)) return last_that_keeps(kept, number, keeps, near);
        kept = number;
    }
    return most;
}

}  // namespace earbudget
