#pragma once

#include "computing/vector/target.hpp"

namespace earbudget::test {

/// Calls `body` with the name of each kind of processor that this one can stand for, with the
/// vector code of that kind: the code of any processor first.
template <class Body>
void on_each_target(const Body& body) {
    struct Reset {
        ~Reset() { vector::use_at_most(vector::Target::AVX512); }
    } const reset;
    constexpr const char* names[] = {"any", "SSE4", "AVX2", "AVX512"};
    using enum vector::Target;
    for (const vector::Target target : {Any, SSE4, AVX2, AVX512}) {
        vector::use_at_most(target);
        if (vector::target() == target) body(names[static_cast<int>(target)]);
    }
}

}  // namespace earbudget::test
