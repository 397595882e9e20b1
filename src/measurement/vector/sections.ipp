HWY_INLINE void settle(float& value) {
    if (value < 1e-30F && value > -1e-30F) value = 0.0F;
}

void high_pass(HighPass& section, const float* x, float* y, std::size_t count) {
    const auto gain = all<Eight>(section.pole_8);
    Eight taps[lanes];
    for (std::size_t k = 0; k < lanes; ++k)
        taps[k] = all<Eight>(section.taps[k]);
    auto before = load<Eight>(section.past);
    std::size_t n = 0;
    for (; n + lanes <= count; n += lanes) {
        auto sum_0 = load<Eight>(x + n);
        auto sum_1 = all<Eight>(0.0F);
        HWY_UNROLL(4)
        for (std::size_t k = 0; k < lanes; k += 2) {
            sum_0 = product_plus(taps[k], load<Eight>(x + n - k - 1), sum_0);
            sum_1 = product_plus(taps[k + 1], load<Eight>(x + n - k - 2), sum_1);
        }
        // Last, so that the next eight wait for one operation only.
        before = product_plus(gain, before, sum_0 + sum_1);
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
