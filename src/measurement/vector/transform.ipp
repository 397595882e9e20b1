void window_eight(const float* x, std::size_t hop, const float* window, float* out,
                  std::size_t length) {
    for (std::size_t n = 0; n < length; n += lanes) {
        const auto gain = load<Eight>(window + n);
        Eight rows[lanes];
        HWY_UNROLL(8)
        for (std::size_t k = 0; k < lanes; ++k)
            rows[k] = gain * load<Eight>(x + k * hop + n);
        transpose(rows);
        HWY_UNROLL(8)
        for (std::size_t k = 0; k < lanes; ++k)
            store(out + (n + k) * lanes, rows[k]);
    }
}

struct Complex {
    Eight re, im;
};

HWY_INLINE Complex operator+(Complex a, Complex b) { return {a.re + b.re, a.im + b.im}; }
HWY_INLINE Complex operator-(Complex a, Complex b) { return {a.re - b.re, a.im - b.im}; }
/// a − i·b and a + i·b
HWY_INLINE Complex plus_turned(Complex a, Complex b) { return {a.re + b.im, a.im - b.re}; }
HWY_INLINE Complex minus_turned(Complex a, Complex b) { return {a.re - b.im, a.im + b.re}; }
HWY_INLINE Complex times(Complex a, float cosine, float sine) {
    const auto c = all<Eight>(cosine);
    const auto s = all<Eight>(sine);
    return {product_minus(a.re, c, a.im * s), product_plus(a.re, s, a.im * c)};
}

HWY_INLINE Complex point(const float* re, const float* im, std::size_t n) {
    return {load<Eight>(re + n * lanes), load<Eight>(im + n * lanes)};
}

HWY_INLINE void put(float* re, float* im, std::size_t n, Complex value) {
    store(re + n * lanes, value.re);
    store(im + n * lanes, value.im);
}

/// The first step of a transform of `length` points: four interleaved ones of a quarter each.
HWY_INLINE void split_in_four(float* re, float* im, std::size_t length, const float* twiddles) {
    const std::size_t quarter = length / 4;
    for (std::size_t j = 0; j < quarter; ++j) {
        const Complex a = point(re, im, j);
        const Complex b = point(re, im, j + quarter);
        const Complex c = point(re, im, j + 2 * quarter);
        const Complex d = point(re, im, j + 3 * quarter);
        const Complex even = a + c;
        const Complex odd = b + d;
        const Complex even_difference = a - c;
        const Complex odd_difference = b - d;
        const float* w = twiddles + 6 * j;
        put(re, im, j, even + odd);
        put(re, im, j + quarter, times(plus_turned(even_difference, odd_difference), w[0], w[1]));
        put(re, im, j + 2 * quarter, times(even - odd, w[2], w[3]));
        put(re, im, j + 3 * quarter,
            times(minus_turned(even_difference, odd_difference), w[4], w[5]));
    }
}

/// Depth first, so that small parts stay in the nearest cache.
void transform_eight(float* re, float* im, std::size_t length, const float* twiddles) {
    if (length == 2) {
        const Complex a = point(re, im, 0);
        const Complex b = point(re, im, 1);
        put(re, im, 0, a + b);
        put(re, im, 1, a - b);
        return;
    }
    split_in_four(re, im, length, twiddles);
    const std::size_t quarter = length / 4;
    if (quarter == 1) return;
    for (std::size_t k = 0; k < 4; ++k) {
        transform_eight(re + k * quarter * lanes, im + k * quarter * lanes, quarter,
                        twiddles + 6 * quarter);
    }
}

/// Σ re² + im² of each of eight points.
HWY_INLINE Eight powers(const float* re, const float* im, std::size_t n) {
    Eight rows[lanes];
    HWY_UNROLL(8)
    for (std::size_t k = 0; k < lanes; ++k) {
        const Complex value = point(re, im, n + k);
        rows[k] = product_plus(value.re, value.re, value.im * value.im);
    }
    return totals(rows);
}

void add_power(const float* re, const float* im, double* power, std::size_t length) {
    const hn::CappedTag<double, lanes> wide;
    const hn::Rebind<float, hn::CappedTag<double, lanes>> slim;
    for (std::size_t n = 0; n < length; n += lanes) {
        float sums[lanes];
        store(sums, powers(re, im, n));
        for (std::size_t k = 0; k < lanes; k += hn::Lanes(wide)) {
            const auto more = hn::PromoteTo(wide, hn::LoadU(slim, sums + k));
            hn::StoreU(hn::Add(hn::LoadU(wide, power + n + k), more), wide, power + n + k);
        }
    }
}
