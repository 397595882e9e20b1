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

}  // namespace earbudget::vector
