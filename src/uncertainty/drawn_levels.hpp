#pragma once

#include <deque>
#include <mutex>
#include <optional>
#include <vector>

#include <Eigen/Core>

#include "earbudget/exposure/limit.hpp"
#include "earbudget/exposure/random_draws.hpp"
#include "earbudget/uncertainty/day_errors.hpp"

namespace earbudget {

/// Some draws of every variable of a day: those of a few are kept, of many worked out again. As
/// many as a lattice has are those of a lattice, but for variables beyond its directions.
class VariableDraws {
  public:
    /// Some draws, one variable a column.
    using Block = Eigen::Ref<const Eigen::ArrayXXd, 0, Eigen::OuterStride<>>;

    VariableDraws(const std::vector<ErrorVariable>& variables, const DrawSettings& settings);

    /// Draws `first` to `first + size` of all variables; `scratch` may be used.
    [[nodiscard]] Block block(Eigen::Index first, Eigen::Index size,
                              Eigen::ArrayXXd& scratch) const;

    /// Whether blocks stay where they are, `scratch` unused.
    [[nodiscard]] bool is_kept() const { return keeps_; }

  private:
    void write(Eigen::Index first, Eigen::ArrayXXd& to) const;

    const std::vector<ErrorVariable>& variables_;
    std::optional<LatticeDraws> lattice_;
    std::optional<NormalDraws> draws_;  // of variables beyond the lattice's directions, or of all
    Eigen::Index count_;
    bool keeps_ = false;
    mutable std::mutex writing_;
    mutable bool is_written_ = false;
    mutable Eigen::ArrayXXd kept_;
};

/// What limits add up of the levels of one segment in some draws: exp(growth·(L − reference)), with
/// growth and reference of ExposureLimit.
class DrawnLevels {
  public:
    using Marks = Eigen::Ref<Eigen::Array<bool, Eigen::Dynamic, 1>>;

    /// Begins with other draws, which must outlive their use.
    void begin(VariableDraws::Block variables);

    /// The segment asked about from now on; `added` is a reduction under the protector, on top.
    void draw(const Segment& segment, LevelDifference added);

    /// Averaged over the time with and without the protector; levels below the threshold count
    /// nothing.
    [[nodiscard]] const Eigen::ArrayXd& rate(double growth, bool at_ear,
                                             const std::optional<LevelA>& threshold);

    /// By what the time is multiplied, where it varies; never below 0.
    [[nodiscard]] Eigen::ArrayXd time_factor() const;

    /// Marks the draws in which some of the time is above a level.
    void mark_above(double growth, bool at_ear, LevelA level, Marks marks);

  private:
    struct Rates {
        double growth;
        bool outside_known = false, worn_known = false;
        Eigen::ArrayXd outside = {}, worn = {};
    };
    struct Factor {
        double growth;
        std::vector<ErrorTerm> terms;
        Eigen::ArrayXd values;
    };
    struct PeopleFactor {
        const PeopleSpread* spread;
        double growth;
        EnergyLeft left;
        bool known = false;
        Eigen::ArrayXd values = {};
    };

    [[nodiscard]] Eigen::Ref<const Eigen::ArrayXd> drawn(std::size_t variable) const {
        return variables_->col(static_cast<Eigen::Index>(variable));
    }
    void find_fraction(const SegmentProtection& protection);
    [[nodiscard]] Rates& rates_of(double growth);
    [[nodiscard]] const Eigen::ArrayXd& factor(double growth, const std::vector<ErrorTerm>& terms);
    [[nodiscard]] const Eigen::ArrayXd& people(double growth, const SegmentProtection& protection);
    [[nodiscard]] Eigen::ArrayXd sound(double growth);
    void add_unreduced(double growth, Eigen::ArrayXd& rates);
    [[nodiscard]] const Eigen::ArrayXd& outside(double growth);
    [[nodiscard]] const Eigen::ArrayXd& worn(double growth);

    std::optional<VariableDraws::Block> variables_;
    const Segment* segment_ = nullptr;
    LevelDifference added_{0.0};
    bool has_time_with_ = false, has_time_without_ = true;
    Eigen::ArrayXd fraction_, result_;  // the fraction only where it varies
    std::deque<Rates> rates_;
    std::deque<Factor> factors_;
    std::deque<PeopleFactor> people_;
    std::optional<PeopleFactor> people_not_kept_;
};

}  // namespace earbudget
