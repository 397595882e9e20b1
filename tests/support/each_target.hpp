#pragma once

#include <cstdint>
#include <vector>

#include <hwy/targets.h>

namespace earbudget::test {

/// Calls `body` once for each kind of processor that this one can stand for, with the vector code
/// of that kind: the plain code of any processor among them.
template <class Body>
void on_each_target(const Body& body) {
    struct Reset {
        ~Reset() { hwy::SetSupportedTargetsForTest(0); }
    } const reset;
    std::vector<std::int64_t> targets = hwy::SupportedAndGeneratedTargets();
    targets.push_back(HWY_SCALAR);
    for (const std::int64_t target : targets) {
        hwy::SetSupportedTargetsForTest(target);
        body(hwy::TargetName(target));
    }
}

}  // namespace earbudget::test
