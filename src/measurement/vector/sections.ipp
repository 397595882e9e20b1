EARBUDGET_INLINE void settle(float& value) {
    if (value < 1e-30F && value > -1e-30F) value = 0.0F;
}

void high_pass(HighPass& section, const float* x, float* y, std::size_t count) {
    const Floats gain = all(section.pole_8);
    Floats taps[lanes];
    for (int k = 0; k < lanes; ++k)
        taps[k] = all(section.taps[k]);
    Floats before = load(section.past);
    std::size_t n = 0;
    for (; n + lanes <= count; n += lanes) {
        Floats sum_0 = load(x + n);
        Floats sum_1{};
#pragma GCC unroll 4
        for (std::size_t k = 0; k < lanes; k += 2) {
            sum_0 += taps[k] * load(x + n - k - 1);
            sum_1 += taps[k + 1] * load(x + n - k - 2);
        }
        // Last, so that the next eight wait for one operation only.
        before = (sum_0 + sum_1) + gain * before;
        store(y + n, before);
    }
    store(section.past, before);
    for (; n < count; ++n) {
        float sum = x[n] + section.pole_8 * section.past[0];
        for (std::size_t k = 0; k < lanes; ++k)
            sum += section.taps[k] * *(x + n - k - 1);
        y[n] = sum;
        for (std::size_t k = 0; k + 1 < lanes; ++k)
            section.past[k] = section.past[k + 1];
        section.past[lanes - 1] = sum;
    }
    // What decays would end in subnormal numbers, which are slow; this is −600 dB.
    for (float& value : section.past)
        settle(value);
    for (std::size_t k = 1; k <= lanes && k <= count; ++k)
        settle(y[count - k]);
}
