#pragma once

#include <cstring>

/// Marks a function that is compiled twice, for any processor and for one with AVX2 and FMA; the
/// loader picks ("arch=haswell" would be picked on that one processor alone). Such a function must
/// be free, not a template, and inline everything it calls.
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && \
    !defined(__SANITIZE_ADDRESS__) && defined(__linux__)
#define EARBUDGET_VECTOR_CODE __attribute__((target_clones("arch=x86-64-v3", "default")))
#else
#define EARBUDGET_VECTOR_CODE
#endif

#define EARBUDGET_INLINE [[gnu::always_inline]] inline

namespace earbudget::vector_code {

/// Eight numbers on which the operators work one by one. Without AVX the compiler makes two halves
/// of it.
using Floats = float __attribute__((vector_size(32)));
inline constexpr int lanes = 8;

EARBUDGET_INLINE void load(Floats& to, const float* from) {
    std::memcpy(&to, from, sizeof(Floats));
}
EARBUDGET_INLINE void store(float* to, const Floats& from) {
    std::memcpy(to, &from, sizeof(Floats));
}

}  // namespace earbudget::vector_code
