constexpr std::size_t results_at_once = 8;  // vectors of eight

/// Adds the products of `groups` times eight taps. What eight samples are worth is added to several
/// results while they are at hand: those that lie eight taps apart.
template <std::size_t groups>
HWY_INLINE void add_products(const float* taps, const float* x, Eight (&sums)[results_at_once]) {
    for (std::size_t k = 0; k < lanes; ++k) {
        Eight tap[groups];
        for (std::size_t g = 0; g < groups; ++g)
            tap[g] = all<Eight>(taps[k + g * lanes]);
        HWY_UNROLL(11)
        for (std::size_t at = 0; at < results_at_once + groups - 1; ++at) {
            const auto samples = load<Eight>(x + k + at * lanes);
            HWY_UNROLL(4)
            for (std::size_t g = 0; g < groups; ++g) {
                if (at >= g && at - g < results_at_once)
                    sums[at - g] = product_plus(tap[g], samples, sums[at - g]);
            }
        }
    }
}

template <std::size_t results>
HWY_INLINE void add_product(float tap, const float* x, Eight (&sums)[results]) {
    const auto taps = all<Eight>(tap);
    HWY_UNROLL(8)
    for (std::size_t r = 0; r < results; ++r)
        sums[r] = product_plus(taps, load<Eight>(x + r * lanes), sums[r]);
}

void correlate(const float* taps, std::size_t tap_count, const float* x, float* y,
               std::size_t count) {
    std::size_t n = 0;
    for (; n + results_at_once * lanes <= count; n += results_at_once * lanes) {
        Eight sums[results_at_once];
        for (Eight& sum : sums)
            sum = all<Eight>(0.0F);
        std::size_t k = 0;
        for (; k + 4 * lanes <= tap_count; k += 4 * lanes)
            add_products<4>(taps + k, x + n + k, sums);
        for (; k < tap_count; ++k)
            add_product(taps[k], x + n + k, sums);
        for (std::size_t r = 0; r < results_at_once; ++r)
            store(y + n + r * lanes, sums[r]);
    }
    for (; n + lanes <= count; n += lanes) {
        Eight sum[1] = {all<Eight>(0.0F)};
        for (std::size_t k = 0; k < tap_count; ++k)
            add_product(taps[k], x + n + k, sum);
        store(y + n, sum[0]);
    }
    for (; n < count; ++n) {
        float sum = 0.0F;
        for (std::size_t k = 0; k < tap_count; ++k)
            sum += taps[k] * x[n + k];
        y[n] = sum;
    }
}

double sum(const float* x, std::size_t count) {
    auto sums_0 = all<Wide>(0.0F);
    auto sums_1 = sums_0;
    std::size_t n = 0;
    for (; n + 2 * wide_lanes <= count; n += 2 * wide_lanes) {
        sums_0 = sums_0 + load<Wide>(x + n);
        sums_1 = sums_1 + load<Wide>(x + n + wide_lanes);
    }
    auto result = static_cast<double>(total(sums_0 + sums_1));
    for (; n < count; ++n)
        result += static_cast<double>(x[n]);
    return result;
}

double squared_deviations(const float* x, std::size_t count, float mean) {
    const auto means = all<Wide>(mean);
    auto sums_0 = all<Wide>(0.0F);
    auto sums_1 = sums_0;
    std::size_t n = 0;
    for (; n + 2 * wide_lanes <= count; n += 2 * wide_lanes) {
        const auto v_0 = load<Wide>(x + n) - means;
        const auto v_1 = load<Wide>(x + n + wide_lanes) - means;
        sums_0 = product_plus(v_0, v_0, sums_0);
        sums_1 = product_plus(v_1, v_1, sums_1);
    }
    auto result = static_cast<double>(total(sums_0 + sums_1));
    for (; n < count; ++n) {
        const auto v = static_cast<double>(x[n] - mean);
        result += v * v;
    }
    return result;
}

/// Of as many whole vectors as fit in.
HWY_INLINE Eight squares_in(const float* x, std::size_t length) {
    auto squares = all<Eight>(0.0F);
    for (std::size_t n = 0; n + lanes <= length; n += lanes) {
        const auto v = load<Eight>(x + n);
        squares = product_plus(v, v, squares);
    }
    return squares;
}

void sums_of_squares(const float* x, std::size_t length, std::size_t blocks, float* sums) {
    std::size_t block = 0;
    for (; block + lanes <= blocks; block += lanes) {
        Eight rows[lanes];
        HWY_UNROLL(8)
        for (std::size_t k = 0; k < lanes; ++k)
            rows[k] = squares_in(x + (block + k) * length, length);
        store(sums + block, totals(rows));
    }
    for (; block < blocks; ++block)
        sums[block] = total(squares_in(x + block * length, length));
    for (block = 0; length % lanes != 0 && block < blocks; ++block) {
        const float* const begin = x + block * length;
        for (std::size_t n = length / lanes * lanes; n < length; ++n)
            sums[block] += begin[n] * begin[n];
    }
}

void narrow(const double* x, double offset, float* y, std::size_t count) {
    using Wider = hn::ScalableTag<double>;
    const Wider wide;
    const hn::Rebind<float, Wider> slim;
    constexpr std::size_t step = hn::MaxLanes(Wider());
    constexpr std::size_t at_once = 4;
    const auto offsets = hn::Set(wide, offset);
    std::size_t n = 0;
    for (; n + at_once * step <= count; n += at_once * step) {
        HWY_UNROLL(4)
        for (std::size_t k = n; k < n + at_once * step; k += step)
            hn::StoreU(hn::DemoteTo(slim, hn::Sub(hn::LoadU(wide, x + k), offsets)), slim, y + k);
    }
    for (; n < count; ++n)
        y[n] = static_cast<float>(x[n] - offset);
}

using All = hn::ScalableTag<float>;
constexpr std::size_t all_lanes = hn::MaxLanes(All());

Extremes extremes(const float* x, std::size_t count) {
    const All d;
    auto lowest = hn::Set(d, x[0]);
    auto highest = lowest;
    auto lowest_1 = lowest;
    auto highest_1 = lowest;
    std::size_t n = 0;
    for (; n + 2 * all_lanes <= count; n += 2 * all_lanes) {
        const auto v = hn::LoadU(d, x + n);
        const auto v_1 = hn::LoadU(d, x + n + all_lanes);
        lowest = hn::Min(lowest, v);
        highest = hn::Max(highest, v);
        lowest_1 = hn::Min(lowest_1, v_1);
        highest_1 = hn::Max(highest_1, v_1);
    }
    Extremes result{hn::GetLane(hn::MinOfLanes(d, hn::Min(lowest, lowest_1))),
                    hn::GetLane(hn::MaxOfLanes(d, hn::Max(highest, highest_1)))};
    for (; n < count; ++n) {
        if (x[n] < result.lowest) result.lowest = x[n];
        if (x[n] > result.highest) result.highest = x[n];
    }
    return result;
}

std::size_t find_crest(const float* x, std::size_t n, std::size_t end, float below, float above) {
    const All d;
    const auto low = hn::Set(d, below);
    const auto high = hn::Set(d, above);
    for (; n + all_lanes <= end; n += all_lanes) {
        const auto here = hn::LoadU(d, x + n);
        const auto is_high = hn::Gt(here, high);
        const auto is_low = hn::Lt(here, low);
        if (hn::AllFalse(d, hn::Or(is_high, is_low))) continue;
        const auto before = hn::LoadU(d, x + n - 1);
        const auto after = hn::LoadU(d, x + n + 1);
        const auto top = hn::And(hn::Ge(here, before), hn::Ge(here, after));
        const auto bottom = hn::And(hn::Le(here, before), hn::Le(here, after));
        const auto crest = hn::Or(hn::And(is_high, top), hn::And(is_low, bottom));
        const auto lane = hn::FindFirstTrue(d, crest);
        if (lane >= 0) return n + static_cast<std::size_t>(lane);
    }
    for (; n < end; ++n) {
        if (x[n] > above && x[n] >= x[n - 1] && x[n] >= x[n + 1]) return n;
        if (x[n] < below && x[n] <= x[n - 1] && x[n] <= x[n + 1]) return n;
    }
    return end;
}

bool has_flat_outside(const float* x, std::size_t count, float low, float high) {
    const All d;
    const auto lows = hn::Set(d, low);
    const auto highs = hn::Set(d, high);
    auto found = hn::FirstN(d, 0);
    std::size_t n = 0;
    for (; n + all_lanes <= count; n += all_lanes) {
        const auto first = hn::LoadU(d, x + n);
        const auto second = hn::LoadU(d, x + n + 1);
        const auto third = hn::LoadU(d, x + n + 2);
        const auto flat = hn::And(hn::Eq(first, second), hn::Eq(second, third));
        const auto outside = hn::Or(hn::Le(first, lows), hn::Ge(first, highs));
        found = hn::Or(found, hn::And(flat, outside));
    }
    if (!hn::AllFalse(d, found)) return true;
    for (; n < count; ++n) {
        if (x[n] == x[n + 1] && x[n] == x[n + 2] && (x[n] <= low || x[n] >= high)) return true;
    }
    return false;
}

float dot_product(const float* a, const float* b, std::size_t count) {
    auto sums = all<Eight>(0.0F);
    for (std::size_t k = 0; k < count; k += lanes)
        sums = product_plus(load<Eight>(a + k), load<Eight>(b + k), sums);
    return total(sums);
}
