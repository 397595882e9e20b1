#pragma once

#include <cstring>

#define EARBUDGET_INLINE [[gnu::always_inline]] inline

namespace earbudget::vector {

/// Eight numbers on which the operators work one by one. Without AVX the compiler makes two halves
/// of it.
using Floats = float __attribute__((vector_size(32)));
using Mask = decltype(Floats{} < Floats{});
inline constexpr int lanes = 8;

}  // namespace earbudget::vector
