#include "earbudget/exposure/random_draws.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
#include <map>
#include <mutex>
#include <utility>

namespace earbudget {

namespace {

// Numbers of draws whose middles are kept: a program asks for few.
constexpr std::size_t most_known = 8;

// Processors may differ in the last bits of a logarithm: rounded, the draws do not.
double rounded(double value) { return std::ldexp(std::nearbyint(std::ldexp(value, 40)), -40); }

/// The standard normal quantiles in the middles of `size`·`sets` equally likely intervals, those of
/// a set side by side and ascending: each set has every `sets`-th one. Made once a process.
std::shared_ptr<const Eigen::ArrayXd> middles_of(std::size_t size, std::size_t sets) {
    static std::mutex mutex;
    static std::map<std::pair<std::size_t, std::size_t>, std::shared_ptr<const Eigen::ArrayXd>>
        known;
    const std::lock_guard lock(mutex);
    const std::size_t count = size * sets;
    if (known.size() >= most_known) known.clear();
    auto& made = known[{size, sets}];
    if (made) return made;
    Eigen::ArrayXd middles = Eigen::ArrayXd::Zero(static_cast<Eigen::Index>(count));
    const auto at = [&](std::size_t i) -> double& {
        return middles[static_cast<Eigen::Index>(i % sets * size + i / sets)];
    };
    for (std::size_t i = 0; i < count / 2; ++i) {
        const double probability = (static_cast<double>(i) + 0.5) / static_cast<double>(count);
        at(i) = rounded(standard_normal_quantile(probability));
        at(count - 1 - i) = -at(i);
    }
    made = std::make_shared<const Eigen::ArrayXd>(std::move(middles));
    return made;
}

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

// Their middles stay in the cache.
constexpr std::size_t most_in_a_set = 8192;

using Places = std::array<std::uint16_t, 64>;

// A permutation of the numbers below 2^bits, at most 16 bits: each step can be undone. Many at
// once, since that is where drawing takes its time.
class Permutation {
  public:
    Permutation(std::uint64_t key, unsigned bits)
        : mask_(static_cast<std::uint16_t>((1U << bits) - 1)), shift_(bits / 2 + 1) {
        for (std::size_t round = 0; round < rounds; ++round) {
            add_[round] = static_cast<std::uint16_t>(mixed(key + 2 * round));
            factor_[round] = static_cast<std::uint16_t>(mixed(key + 2 * round + 1) | 1U);
        }
    }

    void permute(Places& places) const {
        const unsigned mask = mask_;
        const unsigned shift = shift_;
        for (std::size_t round = 0; round < rounds; ++round) {
            const unsigned add = add_[round];
            const unsigned factor = factor_[round];
            for (std::uint16_t& place : places) {
                const auto moved = static_cast<std::uint16_t>(((place + add) * factor) & mask);
                place = static_cast<std::uint16_t>(moved ^ (moved >> shift));
            }
        }
    }

    [[nodiscard]] std::uint16_t permuted(std::uint16_t place) const {
        Places places = {place};
        permute(places);
        return places.front();
    }

  private:
    static constexpr std::size_t rounds = 4;

    std::uint16_t mask_;
    unsigned shift_;
    std::array<std::uint16_t, rounds> add_ = {};
    std::array<std::uint16_t, rounds> factor_ = {};
};

}  // namespace

std::uint64_t mixed(std::uint64_t number) {
    number += 0x9e3779b97f4a7c15U;
    number = (number ^ (number >> 30U)) * 0xbf58476d1ce4e5b9U;
    number = (number ^ (number >> 27U)) * 0x94d049bb133111ebU;
    return number ^ (number >> 31U);
}

std::uint64_t stream_named(std::string_view name) {
    std::uint64_t hash = 0xcbf29ce484222325U;
    for (const char letter : name)
        hash = (hash ^ static_cast<unsigned char>(letter)) * 0x100000001b3U;
    return mixed(hash);
}

NormalDraws::NormalDraws(std::uint64_t seed, std::size_t count)
    : seed_(seed),
      count_(count),
      set_size_(std::min(count, most_in_a_set)),
      sets_((count + set_size_ - 1) / set_size_),
      bits_(static_cast<unsigned>(std::bit_width(set_size_ - 1))),
      middles_(middles_of(set_size_, sets_)) {}

void NormalDraws::write(std::uint64_t stream, std::size_t first,
                        Eigen::Ref<Eigen::ArrayXd> draws) const {
    const auto size = static_cast<std::size_t>(draws.size());
    for (std::size_t done = 0; done < size;) {
        const std::size_t set = (first + done) / set_size_;
        const std::size_t begin = (first + done) % set_size_;
        const std::size_t some = std::min(size - done, set_size_ - begin);
        write_of_set(
            stream, set, begin,
            draws.segment(static_cast<Eigen::Index>(done), static_cast<Eigen::Index>(some)));
        done += some;
    }
}

void NormalDraws::write_of_set(std::uint64_t stream, std::size_t set, std::size_t first,
                               Eigen::Ref<Eigen::ArrayXd> draws) const {
    const std::uint64_t key = mixed(seed_ ^ mixed(stream));
    const Permutation permutation(mixed(key + set), bits_);
    // Another set of middles for each stream, so that no two are extreme together.
    const double* const middles = middles_->data() + (key + set) % sets_ * set_size_;
    Places places;
    for (Eigen::Index begin = 0; begin < draws.size();
         begin += static_cast<Eigen::Index>(places.size())) {
        const std::size_t from = first + static_cast<std::size_t>(begin);
        for (std::size_t i = 0; i < places.size(); ++i)
            places[i] = static_cast<std::uint16_t>(from + i);
        permutation.permute(places);
        const Eigen::Index some =
            std::min(static_cast<Eigen::Index>(places.size()), draws.size() - begin);
        for (Eigen::Index i = 0; i < some; ++i) {
            std::uint16_t place = places[static_cast<std::size_t>(i)];
            while (place >= set_size_)
                place = permutation.permuted(place);
            draws[begin + i] = middles[place];
        }
    }
}

LatticeDraws::LatticeDraws(std::uint64_t seed)
    : seed_(seed), middles_(middles_of(lattice_size, 1)) {}

void LatticeDraws::write(std::uint64_t stream, std::size_t direction, std::size_t first,
                         Eigen::Ref<Eigen::ArrayXd> draws) const {
    const unsigned step = step_along(direction);
    unsigned place = place_of_first(stream) + step * static_cast<unsigned>(first);
    for (double& draw : draws) {
        draw = (*middles_)[static_cast<std::uint16_t>(place)];
        place += step;
    }
}

void LatticeDraws::write(std::uint64_t stream, std::size_t direction,
                         std::span<const std::uint16_t> numbers,
                         Eigen::Ref<Eigen::ArrayXd> draws) const {
    const unsigned step = step_along(direction);
    const unsigned first = place_of_first(stream);
    for (std::size_t i = 0; i < numbers.size(); ++i) {
        draws[static_cast<Eigen::Index>(i)] =
            (*middles_)[static_cast<std::uint16_t>(first + step * numbers[i])];
    }
}

std::uint16_t LatticeDraws::place_of_first(std::uint64_t stream) const {
    return static_cast<std::uint16_t>(mixed(seed_ ^ mixed(stream)));
}

std::uint16_t LatticeDraws::step_along(std::size_t direction) {
    return static_cast<std::uint16_t>(steps.at(direction));
}

Eigen::ArrayXd normal_draws(std::uint64_t seed, std::uint64_t stream, std::size_t count) {
    Eigen::ArrayXd draws(static_cast<Eigen::Index>(count));
    NormalDraws(seed, count).write(stream, 0, draws);
    return draws;
}

}  // namespace earbudget
