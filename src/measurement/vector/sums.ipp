EARBUDGET_INLINE float total(Floats v) {
    v += __builtin_shufflevector(v, v, 4, 5, 6, 7, 0, 1, 2, 3);
    v += __builtin_shufflevector(v, v, 2, 3, 0, 1, 6, 7, 4, 5);
    return v[0] + v[1];
}

/// Four times eight results at once share each tap.
void correlate(const float* taps, std::size_t tap_count, const float* x, float* y,
               std::size_t count) {
    std::size_t n = 0;
    for (; n + 4 * lanes <= count; n += 4 * lanes) {
        Floats sum_0{};
        Floats sum_1{};
        Floats sum_2{};
        Floats sum_3{};
        for (std::size_t k = 0; k < tap_count; ++k) {
            const Floats tap = all(taps[k]);
            const float* from = x + n + k;
            sum_0 += tap * load(from);
            sum_1 += tap * load(from + lanes);
            sum_2 += tap * load(from + 2 * lanes);
            sum_3 += tap * load(from + 3 * lanes);
        }
        store(y + n, sum_0);
        store(y + n + lanes, sum_1);
        store(y + n + 2 * lanes, sum_2);
        store(y + n + 3 * lanes, sum_3);
    }
    for (; n < count; ++n) {
        float sum = 0.0F;
        for (std::size_t k = 0; k < tap_count; ++k)
            sum += taps[k] * x[n + k];
        y[n] = sum;
    }
}

double sum(const float* x, std::size_t count) {
    Floats sums_0{};
    Floats sums_1{};
    std::size_t n = 0;
    for (; n + 2 * lanes <= count; n += 2 * lanes) {
        sums_0 += load(x + n);
        sums_1 += load(x + n + lanes);
    }
    double result = static_cast<double>(total(sums_0 + sums_1));
    for (; n < count; ++n)
        result += static_cast<double>(x[n]);
    return result;
}

double squared_deviations(const float* x, std::size_t count, float mean) {
    const Floats means = all(mean);
    Floats sums_0{};
    Floats sums_1{};
    std::size_t n = 0;
    for (; n + 2 * lanes <= count; n += 2 * lanes) {
        const Floats v_0 = load(x + n) - means;
        const Floats v_1 = load(x + n + lanes) - means;
        sums_0 += v_0 * v_0;
        sums_1 += v_1 * v_1;
    }
    double result = static_cast<double>(total(sums_0 + sums_1));
    for (; n < count; ++n) {
        const auto v = static_cast<double>(x[n] - mean);
        result += v * v;
    }
    return result;
}

void sums_of_squares(const float* x, std::size_t length, std::size_t blocks, float* sums) {
    for (std::size_t block = 0; block < blocks; ++block, x += length) {
        Floats squares{};
        std::size_t n = 0;
        for (; n + lanes <= length; n += lanes) {
            const Floats v = load(x + n);
            squares += v * v;
        }
        float result = total(squares);
        for (; n < length; ++n)
            result += x[n] * x[n];
        sums[block] = result;
    }
}

void narrow(const double* x, double offset, float* y, std::size_t count) {
    using Doubles = double __attribute__((vector_size(64)));
    std::size_t n = 0;
    for (; n + lanes <= count; n += lanes) {
        Doubles v;
        std::memcpy(&v, x + n, sizeof v);
        store(y + n, __builtin_convertvector(v - offset, Floats));
    }
    for (; n < count; ++n)
        y[n] = static_cast<float>(x[n] - offset);
}

Extremes extremes(const float* x, std::size_t count) {
    Floats lowest = all(x[0]);
    Floats highest = lowest;
    std::size_t n = 0;
    for (; n + lanes <= count; n += lanes) {
        const Floats v = load(x + n);
        lowest = v < lowest ? v : lowest;
        highest = v > highest ? v : highest;
    }
    Extremes result{x[0], x[0]};
    for (int lane = 0; lane < lanes; ++lane) {
        if (lowest[lane] < result.lowest) result.lowest = lowest[lane];
        if (highest[lane] > result.highest) result.highest = highest[lane];
    }
    for (; n < count; ++n) {
        if (x[n] < result.lowest) result.lowest = x[n];
        if (x[n] > result.highest) result.highest = x[n];
    }
    return result;
}

std::size_t find_crest(const float* x, std::size_t n, std::size_t end, float below, float above) {
    const Floats low = all(below);
    const Floats high = all(above);
    for (; n + lanes <= end; n += lanes) {
        const Floats here = load(x + n);
        if (!any((here > high) | (here < low))) continue;
        const Floats before = load(x + n - 1);
        const Floats after = load(x + n + 1);
        const Mask crest = ((here > high) & (here >= before) & (here >= after)) |
                           ((here < low) & (here <= before) & (here <= after));
        if (!any(crest)) continue;
        std::size_t lane = 0;
        while (crest[lane] == 0)
            ++lane;
        return n + lane;
    }
    for (; n < end; ++n) {
        if (x[n] > above && x[n] >= x[n - 1] && x[n] >= x[n + 1]) return n;
        if (x[n] < below && x[n] <= x[n - 1] && x[n] <= x[n + 1]) return n;
    }
    return end;
}

bool has_flat_outside(const float* x, std::size_t count, float low, float high) {
    const Floats lows = all(low);
    const Floats highs = all(high);
    Mask found{};
    std::size_t n = 0;
    for (; n + lanes <= count; n += lanes) {
        const Floats first = load(x + n);
        const Floats second = load(x + n + 1);
        const Floats third = load(x + n + 2);
        found |= (first == second) & (second == third) & ((first <= lows) | (first >= highs));
    }
    if (any(found)) return true;
    for (; n < count; ++n) {
        if (x[n] == x[n + 1] && x[n] == x[n + 2] && (x[n] <= low || x[n] >= high)) return true;
    }
    return false;
}

float dot_product(const float* a, const float* b, std::size_t count) {
    Floats sums{};
    for (std::size_t k = 0; k < count; k += lanes)
        sums += load(a + k) * load(b + k);
    return total(sums);
}
