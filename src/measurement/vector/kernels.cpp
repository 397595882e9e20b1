#include "measurement/vector/kernels.hpp"

namespace earbudget::vector {

extern const Kernels kernels_any;
#if defined(EARBUDGET_AVX2)
extern const Kernels kernels_avx2;
#endif

const Kernels& kernels() {
#if defined(EARBUDGET_AVX2)
    static const bool newer = __builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma");
    if (newer) return kernels_avx2;
#endif
    return kernels_any;
}

HighPass high_pass_with_pole(double pole) {
    HighPass section{};
    double power = 1.0;
    for (int k = 0; k + 1 < high_pass_reach; ++k, power *= pole)
        section.taps[k] = static_cast<float>((pole - 1.0) * power);
    section.taps[high_pass_reach - 1] = static_cast<float>(-power);
    section.pole_8 = static_cast<float>(power * pole);
    return section;
}

}  // namespace earbudget::vector
