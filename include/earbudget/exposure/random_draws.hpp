#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <span>
#include <string_view>

#include <Eigen/Core>

namespace earbudget {

/// Draws of a lattice: see LatticeDraws.
inline constexpr std::size_t lattice_size = std::size_t{1} << 16U;

/// How many draws, and of which seed: the same settings give the same numbers on any number of
/// threads.
struct DrawSettings {
    std::size_t draws = 8192;
    std::uint64_t seed = 1;
    unsigned threads = 1;  ///< at most; worth it from some 100,000 draws
    /// Where it matters on which side of the accepted probability a share lies: for times, runs,
    /// sessions and reductions that keep it, and for probabilities near it. Never fewer than
    /// `draws`; lattice_size of them are a lattice.
    std::size_t draws_of_times = lattice_size;
};

/// A 64-bit number that looks random and is the same for the same input everywhere: the finaliser
/// of SplitMix64 (Steele, Lea and Flood 2014; memory).
[[nodiscard]] std::uint64_t mixed(std::uint64_t number);

/// A stream of draws named by a text: FNV-1a, 64 bits (memory), mixed.
[[nodiscard]] std::uint64_t stream_named(std::string_view name);

/// The standard normal quantile by Wichura's AS 241, PPND16 (1988; coefficients from memory, held
/// against the inverse of erfc by a test), to 1e-15 of the value; 0 < probability < 1.
[[nodiscard]] double standard_normal_quantile(double probability);

/// Draws of standard normal variables, every one of which is stratified: the middles of `count`
/// equally likely intervals, each once, in an order of its own (Latin hypercube, McKay, Beckman and
/// Conover 1979; memory). The order is a permutation worked out from the seed, the stream and the
/// number of the draw alone: no state, so that any part can be had on any thread. More than 8192
/// draws are sets of 8192, each stratified, which share out the middles of all sets together; of
/// the last set only some may be drawn.
class NormalDraws {
  public:
    /// `count` from 1 to 2^31.
    NormalDraws(std::uint64_t seed, std::size_t count);

    [[nodiscard]] std::size_t count() const { return count_; }

    /// Writes the draws `first`, `first + 1`, … of a stream; as many as `draws` holds.
    void write(std::uint64_t stream, std::size_t first, Eigen::Ref<Eigen::ArrayXd> draws) const;

  private:
    void write_of_set(std::uint64_t stream, std::size_t set, std::size_t first,
                      Eigen::Ref<Eigen::ArrayXd> draws) const;

    std::uint64_t seed_;
    std::size_t count_;
    std::size_t set_size_, sets_;
    unsigned bits_;                                  // the permutation is one of 2^bits numbers
    std::shared_ptr<const Eigen::ArrayXd> middles_;  // set after set
};

/// lattice_size draws of standard normal variables: the middles of equally likely intervals, each
/// once, as above, in orders that fill the space of many variables together evenly (rank-1 lattice,
/// shifted by the seed: Sloan and Joe 1994; Cranley and Patterson 1976; memory), so that a quantile
/// of a day strays far less than by orders that know nothing of one another. The most even
/// directions are the first.
class LatticeDraws {
  public:
    static constexpr std::size_t dimensions = 64;

    explicit LatticeDraws(std::uint64_t seed);

    /// Writes the draws `first`, `first + 1`, … of a stream along a direction of its own, below
    /// `dimensions`.
    void write(std::uint64_t stream, std::size_t direction, std::size_t first,
               Eigen::Ref<Eigen::ArrayXd> draws) const;

    /// Writes the draws of those numbers, in their order.
    void write(std::uint64_t stream, std::size_t direction, std::span<const std::uint16_t> numbers,
               Eigen::Ref<Eigen::ArrayXd> draws) const;

    /// Where draw 0 of a stream stands among the middles; each further one stands `step_along` on.
    [[nodiscard]] std::uint16_t place_of_first(std::uint64_t stream) const;
    [[nodiscard]] static std::uint16_t step_along(std::size_t direction);
    [[nodiscard]] const Eigen::ArrayXd& middles() const { return *middles_; }

  private:
    std::uint64_t seed_;
    std::shared_ptr<const Eigen::ArrayXd> middles_;  // in order
};

/// All `count` draws of one stream.
[[nodiscard]] Eigen::ArrayXd normal_draws(std::uint64_t seed, std::uint64_t stream,
                                          std::size_t count);

}  // namespace earbudget
