#pragma once

namespace earbudget {

/// α at which labels of H, M, L and SNR hold: 84 % of people (ISO 4869-2:2018, clause 5).
inline constexpr double alpha_of_labels = 1.0;

/// Protection performance of ISO 4869-2:2018: the percentage of people who get at least the assumed
/// protection, and the α that belongs to it.
class ProtectionPerformance {
  public:
    static constexpr double lowest_percent = 50.0;
    static constexpr double highest_percent = 98.0;

    /// That of labels.
    constexpr ProtectionPerformance() = default;

    /// `percent` from 50 to 98.
    explicit constexpr ProtectionPerformance(double percent) : percent_(percent) {}

    [[nodiscard]] constexpr double percent() const { return percent_; }

    /// α of ISO 4869-2:2018, table 1, where the percentage is tabled, else the normal quantile,
    /// held between the tabled neighbours.
    [[nodiscard]] double alpha() const;

    /// The performance that labels are made for: 84 %, α = 1 (ISO 4869-2:2018, clause 5).
    [[nodiscard]] bool is_of_labels() const { return alpha() == alpha_of_labels; }

    /// Whether more people are to be protected than a label says.
    [[nodiscard]] bool is_above_labels() const { return alpha() > alpha_of_labels; }

    constexpr bool operator==(const ProtectionPerformance&) const = default;

  private:
    static constexpr double label_percent = 84.0;

    double percent_ = label_percent;
};

}  // namespace earbudget
