EARBUDGET_INLINE Floats load(const float* from) {
    Floats to;
    std::memcpy(&to, from, sizeof(Floats));
    return to;
}

EARBUDGET_INLINE void store(float* to, Floats from) { std::memcpy(to, &from, sizeof(Floats)); }

EARBUDGET_INLINE Floats all(float x) { return Floats{x, x, x, x, x, x, x, x}; }

EARBUDGET_INLINE bool any(Mask mask) {
    long long parts[4];
    std::memcpy(parts, &mask, sizeof parts);
    return ((parts[0] | parts[1]) | (parts[2] | parts[3])) != 0;
}
