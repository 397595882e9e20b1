#include <array>
#include <cstdint>

#include "earbudget/exposure/random_draws.hpp"
#include "exposure/normal_middles.hpp"

namespace earbudget {

namespace {

// Odd, so that each order is a permutation. Found one after the other, each the best of 40 at
// random, by the mean over all points of the product of 1 + g·2π²·(x² − x + 1/6), x the fraction
// along each direction n and g = 0.1/(1 + n/4) (own choice; figure of merit P2: Sloan and Joe 1994,
// memory).
constexpr std::array<std::uint32_t, LatticeDraws::dimensions> steps = {
    1,     37975, 51323, 54059, 47103, 49505, 29339, 6295,  47841, 24653, 49821, 7431,  58495,
    40129, 35765, 6075,  28561, 35131, 28153, 61779, 44677, 11101, 57595, 48523, 20689, 20241,
    64495, 14243, 43829, 6421,  15405, 23053, 51709, 38699, 18959, 60265, 19119, 48399, 48079,
    31339, 57535, 23841, 32621, 44001, 15925, 45043, 14729, 21837, 12611, 2309,  63077, 61023,
    39633, 61905, 43927, 26031, 49959, 28507, 28775, 5297,  25083, 54259, 27849, 27751};

}  // namespace

LatticeDraws::LatticeDraws(std::uint64_t seed)
    : seed_(seed), middles_(middles_of(lattice_size, 1)) {}

void LatticeDraws::write(std::uint64_t stream, std::size_t direction, std::size_t first,
                         Eigen::Ref<Eigen::ArrayXd> draws) const {
    constexpr std::uint64_t mask = lattice_size - 1;
    const std::uint64_t step = steps.at(direction);
    std::uint64_t place = mixed(seed_ ^ mixed(stream)) + step * first;
    for (double& draw : draws) {
        draw = (*middles_)[static_cast<Eigen::Index>(place & mask)];
        place += step;
    }
}

}  // namespace earbudget
