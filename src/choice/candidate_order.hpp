#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <tuple>
#include <vector>

#include "earbudget/choice/candidates.hpp"
#include "earbudget/computing/solver.hpp"
#include "earbudget/day/exposure_day.hpp"

namespace earbudget {

/// The least reduction, to the next tenth of a decibel, that keeps something; none where not even
/// highest_attenuation does. `keeps` is false up to some reduction and true from there on.
template <class Keeps>
[[nodiscard]] std::optional<LevelDifference> least_reduction(const Keeps& keeps) {
    const auto reduction = [](int tenths) { return LevelDifference(0.1 * tenths); };
    const auto least = least_that_keeps(static_cast<int>(10.0 * highest_attenuation.dB()),
                                        [&](int tenths) { return keeps(reduction(tenths)); });
    return least ? std::optional(reduction(*least)) : std::nullopt;
}

/// How much more reduction than now keeps every exposure limit that counts for protection, to the
/// next tenth of a decibel; none where no reduction that people can get would.
[[nodiscard]] std::optional<LevelDifference> missing_reduction(const Person& person,
                                                               const ExposureDay& day);

/// Which of several that keep every limit is better: lower is, the first difference decides.
using CandidateRank = std::tuple<bool, bool, std::size_t, double>;

/// Of so many protectors, with the level at the ear so far above the least useful one, where it is
/// known.
[[nodiscard]] CandidateRank rank_of(std::optional<LevelDifference> above_least_useful,
                                    bool stated_metal_free, std::size_t protectors);

/// Whether all of what is worn is stated free of metal, or metal does no harm.
[[nodiscard]] bool all_stated_metal_free(const Plan& plan, const Person& person,
                                         const std::vector<std::string>& wears);

/// In which order to try what a person could wear, of more than can be tried: by a first-order
/// estimate, the reduction of the loudest sounds of the day, which costs far less than the day.
class CandidateOrder {
  public:
    /// Estimates all sets, by as many of the loudest sounds as `most_work` (ns) allows, at least
    /// one.
    CandidateOrder(const Plan& plan, const Person& person,
                   const std::vector<std::vector<std::string>>& sets, double most_work);

    /// Work that the estimates took, ns.
    [[nodiscard]] double work() const { return work_; }

    /// The reduction with which the day keeps every exposure limit; 0 where none does.
    [[nodiscard]] LevelDifference needed() const { return needed_; }

    /// The highest of all estimates.
    [[nodiscard]] LevelDifference highest() const { return highest_; }

    /// So many, as indices, of those not taken before: those with the highest reduction.
    [[nodiscard]] std::vector<std::size_t> take_strongest(std::size_t number);

    /// The same: the best by rank of those that reduce by so much, then those that come nearest to
    /// it.
    [[nodiscard]] std::vector<std::size_t> take_best(std::size_t number, LevelDifference needed);

  private:
    struct Estimate {
        std::optional<LevelDifference> reduction = std::nullopt;  ///< none: no method reaches it
        CandidateRank rank = {};
        bool taken = false;
    };

    template <class Key>
    std::vector<std::size_t> take(std::size_t number, const Key& key);

    std::vector<Estimate> estimates_;
    double work_ = 0.0;
    LevelDifference needed_{0.0}, highest_{0.0};
};

}  // namespace earbudget
