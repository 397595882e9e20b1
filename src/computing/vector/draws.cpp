#include "computing/vector/draws.hpp"

#include "computing/vector/target.hpp"

// Highway compiles this file once for each kind of processor, from the line after foreach_target.
#undef HWY_TARGET_INCLUDE
#define HWY_TARGET_INCLUDE "computing/vector/draws.cpp"
// clang-format off
#include <hwy/foreach_target.h>
#include <hwy/highway.h>
#include <hwy/contrib/math/math-inl.h>
// clang-format on

#ifndef EARBUDGET_LOOPS_OVER_DRAWS
#define EARBUDGET_LOOPS_OVER_DRAWS

namespace earbudget::vector {

namespace {

/// The functions of draws.hpp as one kind of processor has them.
struct Loops {
    decltype(vector::exponentials)* exponentials;
    decltype(vector::write_left)* write_left;
    decltype(vector::write_mixture)* write_mixture;
    decltype(vector::mark_above)* mark_above;
    decltype(vector::interpolate)* interpolate;
    decltype(vector::add_scaled)* add_scaled;
};

}  // namespace

}  // namespace earbudget::vector

#endif

HWY_BEFORE_NAMESPACE();
namespace earbudget::vector::HWY_NAMESPACE {

namespace hn = hwy::HWY_NAMESPACE;

using All = hn::ScalableTag<double>;
using One = hn::CappedTag<double, 1>;

/// Whole vectors, then the rest one by one.
template <class Body>
HWY_INLINE void for_each_place(std::size_t count, const Body& body) {
    const All all;
    std::size_t i = 0;
    for (; i + hn::Lanes(all) <= count; i += hn::Lanes(all))
        body(all, i);
    for (; i < count; ++i)
        body(One(), i);
}

struct Exponentials {
    std::span<const Addend> sum;
    double* HWY_RESTRICT to;

    template <class D>
    HWY_INLINE void operator()(D d, std::size_t i) const {
        auto exponent = hn::Zero(d);
        for (const Addend& addend : sum)
            exponent = hn::MulAdd(hn::Set(d, addend.size), hn::LoadU(d, addend.of + i), exponent);
        hn::StoreU(hn::Exp(d, exponent), d, to + i);
    }
};

template <class D>
HWY_INLINE hn::Vec<D> rate_of(D d, const Sound& sound, std::size_t i) {
    const auto rate = hn::Set(d, sound.rate);
    return sound.factor ? hn::Mul(rate, hn::LoadU(d, sound.factor + i)) : rate;
}

struct WriteLeft {
    const Left& left;
    double* HWY_RESTRICT to;

    template <class D>
    HWY_INLINE void operator()(D d, std::size_t i) const {
        auto part = hn::Set(d, left.part);
        for (const double* const factor : left.factors)
            if (factor) part = hn::Mul(part, hn::LoadU(d, factor + i));
        part = hn::Max(hn::Min(part, hn::Set(d, 1.0)), hn::Set(d, left.least));
        auto rate = hn::Mul(rate_of(d, left.sound, i), part);
        if (left.unreduced.rate > 0.0) {
            const auto rest = rate_of(d, left.unreduced, i);
            rate = left.to_energy == 1.0 ? hn::Add(rate, rest) : energies_added(d, rate, rest);
        }
        hn::StoreU(rate, d, to + i);
    }

    /// By how much less the smaller is, so that none is out of range.
    template <class D, class V>
    HWY_INLINE V energies_added(D d, V a, V b) const {
        const V greater = hn::Max(a, b);
        const V ratio = hn::Max(hn::Div(hn::Min(a, b), greater), hn::Set(d, 1e-300));
        const V energy = hn::Exp(d, hn::Mul(hn::Set(d, left.to_energy), hn::Log(d, ratio)));
        const V sum = hn::Log(d, hn::Add(hn::Set(d, 1.0), energy));
        return hn::Mul(greater, hn::Exp(d, hn::Mul(sum, hn::Set(d, 1.0 / left.to_energy))));
    }
};

struct WriteMixture {
    const Mixture& mixture;
    double* HWY_RESTRICT to;

    template <class D>
    HWY_INLINE void operator()(D d, std::size_t i) const {
        const auto least = hn::Set(d, mixture.least);
        auto worn = hn::Zero(d);
        auto outside = worn;
        if (mixture.worn) worn = hn::LoadU(d, mixture.worn + i);
        if (mixture.outside) outside = hn::LoadU(d, mixture.outside + i);
        worn = hn::IfThenElseZero(hn::Ge(worn, least), worn);
        outside = hn::IfThenElseZero(hn::Ge(outside, least), outside);
        if (mixture.worn && mixture.outside) {
            const auto fraction = mixture.fractions ? hn::LoadU(d, mixture.fractions + i)
                                                    : hn::Set(d, mixture.fraction);
            const auto rest = hn::Sub(hn::Set(d, 1.0), fraction);
            outside = hn::Mul(rest, outside);
            worn = hn::Mul(fraction, worn);
        }
        hn::StoreU(hn::Add(worn, outside), d, to + i);
    }
};

struct MarkAbove {
    const double* rates;
    double most;
    const Presence& presence;
    bool* marks;

    template <class D>
    HWY_INLINE void operator()(D d, std::size_t i) const {
        const auto above = hn::Gt(hn::LoadU(d, rates + i), hn::Set(d, most));
        if (hn::AllFalse(d, above)) return;
        for (std::size_t k = i; k < i + hn::Lanes(d); ++k)
            if (rates[k] > most && is_there(k)) marks[k] = true;
    }

    HWY_INLINE bool is_there(std::size_t k) const {
        if (!presence.fractions) return true;
        return presence.is_worn ? presence.fractions[k] > 0.0 : presence.fractions[k] < 1.0;
    }
};

/// The piece of each x, and its place in that piece.
struct FindPieces {
    const Pieces& pieces;
    const double* HWY_RESTRICT x;
    double* HWY_RESTRICT places;
    std::int64_t* HWY_RESTRICT found;

    template <class D>
    HWY_INLINE void operator()(D d, std::size_t i) const {
        const hn::RebindToSigned<D> whole;
        // A number below 2^52 that is added to 2^52 stands in the last bits of the sum.
        const auto to_whole = hn::Set(d, 4503599627370496.0);
        const auto count = static_cast<double>(pieces.cubics.size());
        auto place = hn::Mul(hn::Sub(hn::LoadU(d, x + i), hn::Set(d, pieces.begin)),
                             hn::Set(d, pieces.per_unit));
        place = hn::Min(hn::Max(place, hn::Zero(d)), hn::Set(d, count));
        const auto piece = hn::Min(hn::Floor(place), hn::Set(d, count - 1.0));
        hn::StoreU(hn::Sub(place, piece), d, places + i);
        const auto number =
            hn::Xor(hn::BitCast(whole, hn::Add(piece, to_whole)), hn::BitCast(whole, to_whole));
        hn::StoreU(number, whole, found + i);
    }
};

struct AddScaled {
    double scale;
    const double* HWY_RESTRICT x;
    double* HWY_RESTRICT sums;

    template <class D>
    HWY_INLINE void operator()(D d, std::size_t i) const {
        const auto sum = hn::LoadU(d, sums + i);
        hn::StoreU(hn::MulAdd(hn::Set(d, scale), hn::LoadU(d, x + i), sum), d, sums + i);
    }
};

void exponentials_on(std::span<const Addend> sum, std::span<double> to) {
    for_each_place(to.size(), Exponentials{sum, to.data()});
}

void write_left_on(const Left& left, std::span<double> to) {
    for_each_place(to.size(), WriteLeft{left, to.data()});
}

void write_mixture_on(const Mixture& mixture, std::span<double> to) {
    for_each_place(to.size(), WriteMixture{mixture, to.data()});
}

void mark_above_on(std::span<const double> rates, double most, const Presence& presence,
                   bool* marks) {
    for_each_place(rates.size(), MarkAbove{rates.data(), most, presence, marks});
}

void interpolate_on(const Pieces& pieces, std::span<const double> x, double* HWY_RESTRICT to) {
    // Cubics are looked up one by one: on most processors a gather is no faster.
    constexpr std::size_t at_once = 128;
    std::int64_t found[at_once];
    for (std::size_t begin = 0; begin < x.size(); begin += at_once) {
        const std::size_t count = HWY_MIN(at_once, x.size() - begin);
        double* const values = to + begin;
        for_each_place(count, FindPieces{pieces, x.data() + begin, values, found});
        for (std::size_t i = 0; i < count; ++i) {
            const double t = values[i];
            const auto& cubic = pieces.cubics[static_cast<std::size_t>(found[i])];
            values[i] = cubic[0] + t * (cubic[1] + t * (cubic[2] + t * cubic[3]));
        }
    }
}

void add_scaled_on(double scale, std::span<const double> x, double* sums) {
    for_each_place(x.size(), AddScaled{scale, x.data(), sums});
}

const Loops& all_loops() {
    static constexpr Loops loops = {exponentials_on, write_left_on,  write_mixture_on,
                                    mark_above_on,   interpolate_on, add_scaled_on};
    return loops;
}

}  // namespace earbudget::vector::HWY_NAMESPACE
HWY_AFTER_NAMESPACE();

#if HWY_ONCE

namespace earbudget::vector {

namespace {

const Loops& loops() {
    static constexpr ForTargets<const Loops&()> kinds = EARBUDGET_ON_TARGETS(all_loops);
    return kinds.chosen()();
}

}  // namespace

void exponentials(std::span<const Addend> sum, std::span<double> to) {
    loops().exponentials(sum, to);
}

void write_left(const Left& left, std::span<double> to) { loops().write_left(left, to); }

void write_mixture(const Mixture& mixture, std::span<double> to) {
    loops().write_mixture(mixture, to);
}

void mark_above(std::span<const double> rates, double most, const Presence& presence, bool* marks) {
    loops().mark_above(rates, most, presence, marks);
}

void interpolate(const Pieces& pieces, std::span<const double> x, double* to) {
    loops().interpolate(pieces, x, to);
}

void add_scaled(double scale, std::span<const double> x, double* sums) {
    loops().add_scaled(scale, x, sums);
}

}  // namespace earbudget::vector

#endif
