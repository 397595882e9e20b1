/// Rows become columns.
EARBUDGET_INLINE void transpose(Floats (&r)[lanes]) {
    Floats a[lanes];
    for (int k = 0; k < lanes; k += 2) {
        a[k] = __builtin_shufflevector(r[k], r[k + 1], 0, 8, 1, 9, 4, 12, 5, 13);
        a[k + 1] = __builtin_shufflevector(r[k], r[k + 1], 2, 10, 3, 11, 6, 14, 7, 15);
    }
    Floats b[lanes];
    for (int k = 0; k < lanes; k += 4) {
        b[k] = __builtin_shufflevector(a[k], a[k + 2], 0, 1, 8, 9, 4, 5, 12, 13);
        b[k + 1] = __builtin_shufflevector(a[k], a[k + 2], 2, 3, 10, 11, 6, 7, 14, 15);
        b[k + 2] = __builtin_shufflevector(a[k + 1], a[k + 3], 0, 1, 8, 9, 4, 5, 12, 13);
        b[k + 3] = __builtin_shufflevector(a[k + 1], a[k + 3], 2, 3, 10, 11, 6, 7, 14, 15);
    }
    for (int k = 0; k < 4; ++k) {
        r[k] = __builtin_shufflevector(b[k], b[k + 4], 0, 1, 2, 3, 8, 9, 10, 11);
        r[k + 4] = __builtin_shufflevector(b[k], b[k + 4], 4, 5, 6, 7, 12, 13, 14, 15);
    }
}

void window_eight(const float* x, std::size_t hop, const float* window, float* out,
                  std::size_t length) {
    for (std::size_t n = 0; n < length; n += lanes) {
        const Floats gain = load(window + n);
        Floats rows[lanes];
#pragma GCC unroll 8
        for (std::size_t k = 0; k < lanes; ++k)
            rows[k] = gain * load(x + k * hop + n);
        transpose(rows);
#pragma GCC unroll 8
        for (std::size_t k = 0; k < lanes; ++k)
            store(out + (n + k) * lanes, rows[k]);
    }
}

struct Complex {
    Floats re, im;
};

EARBUDGET_INLINE Complex operator+(Complex a, Complex b) { return {a.re + b.re, a.im + b.im}; }
EARBUDGET_INLINE Complex operator-(Complex a, Complex b) { return {a.re - b.re, a.im - b.im}; }
EARBUDGET_INLINE Complex turned(Complex a) { return {a.im, -a.re}; }  // times −i
EARBUDGET_INLINE Complex times(Complex a, float cosine, float sine) {
    const Floats c = all(cosine);
    const Floats s = all(sine);
    return {a.re * c - a.im * s, a.re * s + a.im * c};
}

EARBUDGET_INLINE Complex point(const float* re, const float* im, std::size_t n) {
    return {load(re + n * lanes), load(im + n * lanes)};
}

EARBUDGET_INLINE void put(float* re, float* im, std::size_t n, Complex value) {
    store(re + n * lanes, value.re);
    store(im + n * lanes, value.im);
}

/// The first step of a transform of `length` points: four interleaved ones of a quarter each.
EARBUDGET_INLINE void split_in_four(float* re, float* im, std::size_t length,
                                    const float* twiddles) {
    const std::size_t quarter = length / 4;
    for (std::size_t j = 0; j < quarter; ++j) {
        const Complex a = point(re, im, j);
        const Complex b = point(re, im, j + quarter);
        const Complex c = point(re, im, j + 2 * quarter);
        const Complex d = point(re, im, j + 3 * quarter);
        const Complex even = a + c;
        const Complex odd = b + d;
        const Complex even_difference = a - c;
        const Complex odd_difference = turned(b - d);
        const float* w = twiddles + 6 * j;
        put(re, im, j, even + odd);
        put(re, im, j + quarter, times(even_difference + odd_difference, w[0], w[1]));
        put(re, im, j + 2 * quarter, times(even - odd, w[2], w[3]));
        put(re, im, j + 3 * quarter, times(even_difference - odd_difference, w[4], w[5]));
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

void add_power(const float* re, const float* im, double* power, std::size_t length) {
    for (std::size_t n = 0; n < length; ++n) {
        const Complex value = point(re, im, n);
        power[n] += static_cast<double>(total(value.re * value.re + value.im * value.im));
    }
}
