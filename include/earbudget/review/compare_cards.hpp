#pragma once

#include <optional>
#include <string>
#include <vector>

#include "earbudget/review/review.hpp"

namespace earbudget {

/// One level of a card before and now, dB; none: not stated.
struct LevelChange {
    std::string name;  ///< as on cards: "LAeq", "uncertainty"; a band by its frequency, "500 Hz"
    std::optional<double> before;
    std::optional<double> now;

    [[nodiscard]] std::optional<double> difference() const {
        return before && now ? std::optional(*now - *before) : std::nullopt;
    }
};

/// Every level that at least one of two cards states (bands unweighted), and their uncertainties,
/// stated or by default.
[[nodiscard]] std::vector<LevelChange> level_changes(const Sequence& before, const Sequence& now);

/// A permitted time a day before and now, by the best estimate; none: not decidable.
struct TimeChange {
    std::vector<std::string> wears;
    const Criterion* criterion;
    std::optional<PermittedTime> before = std::nullopt;
    std::optional<PermittedTime> now = std::nullopt;
    /// The same with no more than the accepted probability of being over.
    std::optional<PermittedTime> confident_before = std::nullopt, confident_now = std::nullopt;
};

/// Every choice and criterion of two reviews by the same terms.
[[nodiscard]] std::vector<TimeChange> time_changes(const SequenceReview& before,
                                                   const SequenceReview& now);

}  // namespace earbudget
