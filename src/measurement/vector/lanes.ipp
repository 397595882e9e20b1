/// So many numbers side by side, in as few vectors as the processor can.
template <std::size_t Width>
struct Floats {
    using Tag = hn::CappedTag<float, Width>;
    static constexpr std::size_t in_a_part = hn::MaxLanes(Tag());
    static constexpr std::size_t parts = Width / in_a_part;

    hn::Vec<Tag> part[parts];
};

using Eight = Floats<8>;
constexpr std::size_t lanes = 8;

/// As many as a vector holds, eight at least, so that a sum has as many parts on any processor.
constexpr std::size_t wide_lanes = HWY_MAX(lanes, hn::MaxLanes(hn::ScalableTag<float>()));
using Wide = Floats<wide_lanes>;

template <class F>
HWY_INLINE F load(const float* from) {
    F to;
    for (std::size_t p = 0; p < F::parts; ++p)
        to.part[p] = hn::LoadU(typename F::Tag(), from + p * F::in_a_part);
    return to;
}

template <std::size_t W>
HWY_INLINE void store(float* to, const Floats<W>& from) {
    for (std::size_t p = 0; p < from.parts; ++p)
        hn::StoreU(from.part[p], typename Floats<W>::Tag(), to + p * from.in_a_part);
}

template <class F>
HWY_INLINE F all(float x) {
    F to;
    for (auto& part : to.part)
        part = hn::Set(typename F::Tag(), x);
    return to;
}

template <std::size_t W>
HWY_INLINE Floats<W> operator+(Floats<W> a, const Floats<W>& b) {
    for (std::size_t p = 0; p < a.parts; ++p)
        a.part[p] = hn::Add(a.part[p], b.part[p]);
    return a;
}

template <std::size_t W>
HWY_INLINE Floats<W> operator-(Floats<W> a, const Floats<W>& b) {
    for (std::size_t p = 0; p < a.parts; ++p)
        a.part[p] = hn::Sub(a.part[p], b.part[p]);
    return a;
}

template <std::size_t W>
HWY_INLINE Floats<W> operator*(Floats<W> a, const Floats<W>& b) {
    for (std::size_t p = 0; p < a.parts; ++p)
        a.part[p] = hn::Mul(a.part[p], b.part[p]);
    return a;
}

/// a·b + c
template <std::size_t W>
HWY_INLINE Floats<W> product_plus(Floats<W> a, const Floats<W>& b, const Floats<W>& c) {
    for (std::size_t p = 0; p < a.parts; ++p)
        a.part[p] = hn::MulAdd(a.part[p], b.part[p], c.part[p]);
    return a;
}

/// a·b − c
template <std::size_t W>
HWY_INLINE Floats<W> product_minus(Floats<W> a, const Floats<W>& b, const Floats<W>& c) {
    for (std::size_t p = 0; p < a.parts; ++p)
        a.part[p] = hn::MulSub(a.part[p], b.part[p], c.part[p]);
    return a;
}

template <std::size_t W>
HWY_INLINE float total(const Floats<W>& v) {
    auto sum = v.part[0];
    for (std::size_t p = 1; p < v.parts; ++p)
        sum = hn::Add(sum, v.part[p]);
    return hn::GetLane(hn::SumOfLanes(typename Floats<W>::Tag(), sum));
}

#if HWY_TARGET == HWY_SCALAR

/// Rows become columns.
HWY_INLINE void transpose(Eight (&r)[lanes]) {
    for (std::size_t k = 0; k < lanes; ++k) {
        for (std::size_t n = 0; n < k; ++n) {
            const auto kept = r[k].part[n];
            r[k].part[n] = r[n].part[k];
            r[n].part[k] = kept;
        }
    }
}

#else

/// Rows of four become columns, in each half of a vector of eight by itself.
template <class Tag>
HWY_INLINE void transpose_fours(Tag d, hn::Vec<Tag>& a, hn::Vec<Tag>& b, hn::Vec<Tag>& c,
                                hn::Vec<Tag>& e) {
    const hn::Repartition<double, Tag> pairs;
    const auto ab_0 = hn::BitCast(pairs, hn::InterleaveLower(d, a, b));
    const auto ab_1 = hn::BitCast(pairs, hn::InterleaveUpper(d, a, b));
    const auto ce_0 = hn::BitCast(pairs, hn::InterleaveLower(d, c, e));
    const auto ce_1 = hn::BitCast(pairs, hn::InterleaveUpper(d, c, e));
    a = hn::BitCast(d, hn::InterleaveLower(pairs, ab_0, ce_0));
    b = hn::BitCast(d, hn::InterleaveUpper(pairs, ab_0, ce_0));
    c = hn::BitCast(d, hn::InterleaveLower(pairs, ab_1, ce_1));
    e = hn::BitCast(d, hn::InterleaveUpper(pairs, ab_1, ce_1));
}

/// Rows become columns.
HWY_INLINE void transpose(Eight (&r)[lanes]) {
    const Eight::Tag d;
    for (std::size_t p = 0; p < Eight::parts; ++p) {
        transpose_fours(d, r[0].part[p], r[1].part[p], r[2].part[p], r[3].part[p]);
        transpose_fours(d, r[4].part[p], r[5].part[p], r[6].part[p], r[7].part[p]);
    }
    for (std::size_t k = 0; k < 4; ++k) {
        const auto lower = r[k].part[0];
        if constexpr (Eight::parts == 1) {
            r[k].part[0] = hn::ConcatLowerLower(d, r[k + 4].part[0], lower);
            r[k + 4].part[0] = hn::ConcatUpperUpper(d, r[k + 4].part[0], lower);
        } else {
            const auto kept = r[k].part[1];
            r[k].part[1] = r[k + 4].part[0];
            r[k + 4].part[0] = kept;
        }
    }
}

#endif

/// The sum of each row.
HWY_INLINE Eight totals(Eight (&rows)[lanes]) {
    transpose(rows);
    return ((rows[0] + rows[1]) + (rows[2] + rows[3])) +
           ((rows[4] + rows[5]) + (rows[6] + rows[7]));
}
