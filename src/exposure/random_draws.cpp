#include "earbudget/exposure/random_draws.hpp"

#include <algorithm>
#include <array>
#include <bit>

#include "exposure/normal_middles.hpp"

namespace earbudget {

namespace {

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

Eigen::ArrayXd normal_draws(std::uint64_t seed, std::uint64_t stream, std::size_t count) {
    Eigen::ArrayXd draws(static_cast<Eigen::Index>(count));
    NormalDraws(seed, count).write(stream, 0, draws);
    return draws;
}

}  // namespace earbudget
