#include "computing/vector/target.hpp"

#include <algorithm>
#include <atomic>

namespace earbudget::vector {

namespace {

/// What Highway's code for a kind may use, but for what CMakeLists.txt keeps it from.
Target best_here() {
#if defined(__x86_64__) || defined(__i386__)
    if (!__builtin_cpu_supports("sse4.2")) return Target::Any;
    const bool avx2 = __builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma") &&
                      __builtin_cpu_supports("bmi") && __builtin_cpu_supports("bmi2");
    if (!avx2) return Target::SSE4;
    const bool avx512 = __builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512vl") &&
                        __builtin_cpu_supports("avx512dq") && __builtin_cpu_supports("avx512bw");
    return avx512 ? Target::AVX512 : Target::AVX2;
#else
    return Target::Any;
#endif
}

std::atomic<Target>& chosen() {
    static std::atomic<Target> target = best_here();
    return target;
}

}  // namespace

Target target() { return chosen().load(std::memory_order_relaxed); }

void use_at_most(Target target) { chosen() = std::min(target, best_here()); }

}  // namespace earbudget::vector
