#pragma once

#include <cstddef>

/// Kinds of processor that vector code is compiled for by Highway, and which of them runs this.
///
/// Highway's own choice is not used, for which its library would have to be linked: that measures
/// the clock for 3 ms at each start of a program.
namespace earbudget::vector {

/// The best last. Any is what the compiler takes for granted: on ARM NEON, on x86-64 plain numbers,
/// since Highway 1.0 knows no SSE2.
enum class Target { Any, SSE4, AVX2, AVX512 };

/// Of this processor, or what tests ask for.
[[nodiscard]] Target target();

/// From now on no better one, for tests.
void use_at_most(Target target);

/// One function for each of them, null where it was not compiled for that kind.
template <class Function>
struct ForTargets {
    Function* of[4];

    [[nodiscard]] Function* chosen() const {
        auto kind = static_cast<std::size_t>(target());
        while (kind > 0 && !of[kind])
            --kind;
        return of[kind];
    }
};

}  // namespace earbudget::vector

/// What foreach_target has made of a function, for ForTargets.
#define EARBUDGET_ON_TARGETS(function)                                                           \
    {                                                                                            \
        {                                                                                        \
            HWY_CHOOSE_FALLBACK(function), HWY_CHOOSE_SSE4(function), HWY_CHOOSE_AVX2(function), \
                HWY_CHOOSE_AVX3(function),                                                       \
        }                                                                                        \
    }
