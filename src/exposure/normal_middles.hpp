#pragma once

#include <cstddef>
#include <memory>

#include <Eigen/Core>

namespace earbudget {

/// The standard normal quantiles in the middles of `size`·`sets` equally likely intervals, those of
/// a set side by side and ascending: each set has every `sets`-th one. Made once a process.
[[nodiscard]] std::shared_ptr<const Eigen::ArrayXd> middles_of(std::size_t size, std::size_t sets);

}  // namespace earbudget
