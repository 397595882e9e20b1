#pragma once

#include <deque>
#include <mutex>
#include <optional>
#include <span>
#include <vector>

#include <Eigen/Core>

#include "computing/vector/draws.hpp"
#include "earbudget/exposure/limit.hpp"
#include "earbudget/exposure/random_draws.hpp"
#include "earbudget/uncertainty/day_errors.hpp"

namespace earbudget {

[[nodiscard]] inline std::span<double> all_of(Eigen::ArrayXd& values) {
    return {values.data(), static_cast<std::size_t>(values.size())};
}

/// The draws of every variable of a day. As many as a lattice has are those of a lattice, in which
/// shares settle soonest; other numbers, and variables beyond the lattice's directions, are
/// stratified one by one. A draw follows from seed, stream and number alone, so that any block can
/// be had on any thread, at any time, and comes out the same.
///
/// Every question asked of a day reads all of them. Up to most_kept numbers (32 MB) they are
/// therefore drawn once and kept, as far as questions have gone; of more, each block is drawn again
/// for each question, into the scratch of whoever works on it.
class VariableDraws {
  public:
    /// Some draws, one variable a column.
    using Block = Eigen::Ref<const Eigen::ArrayXXd, 0, Eigen::OuterStride<>>;

    VariableDraws(const std::vector<ErrorVariable>& variables, const DrawSettings& settings);

    /// Points instead of draws: one a row, each variable's value in standard deviations.
    VariableDraws(const std::vector<ErrorVariable>& variables, Eigen::ArrayXXd points);

    /// The lattice, where all variables are drawn from it and kept, so that the draws may stand in
    /// another order; null elsewhere.
    [[nodiscard]] const LatticeDraws* lattice() const {
        return keeps_ && lattice_ && !draws_ ? &*lattice_ : nullptr;
    }

    /// From now on draw n is that of numbers[n]. Before any block is asked for, of a lattice.
    void put_in_order(std::vector<std::uint16_t> numbers) { numbers_ = std::move(numbers); }

    /// Draws `first` to `first + size` of all variables, which stay there as long as this and
    /// `scratch` do.
    [[nodiscard]] Block block(Eigen::Index first, Eigen::Index size,
                              Eigen::ArrayXXd& scratch) const;

    /// Whether `scratch` stays unused.
    [[nodiscard]] bool is_kept() const { return keeps_; }

  private:
    void write(Eigen::Index first, Eigen::Ref<Eigen::ArrayXXd> to) const;

    const std::vector<ErrorVariable>& variables_;
    std::optional<LatticeDraws> lattice_;
    std::optional<NormalDraws> draws_;  // of variables beyond the lattice's directions, or of all
    Eigen::Index count_;
    bool keeps_ = false;
    std::vector<std::uint16_t> numbers_ =
        {};  // of the lattice's draws in order; empty: as they are
    mutable std::mutex writing_;
    mutable Eigen::Index written_ = 0;
    mutable Eigen::ArrayXXd kept_;
};

/// What limits add up of the levels of one segment in a block of draws: rates
/// exp(growth·(L − reference)), with growth and reference of ExposureLimit.
///
/// All is done with such exponentials: a sum of errors in decibels is a product of factors there,
/// and a factor that many rows share (one instrument, one insertion, one person's ears) is worked
/// out once, where decibels would ask for an exponential a row, a limit and a draw. Holding a
/// reduction at 0 or at 10 dB becomes a smallest or largest factor; energies that are added
/// unreduced are added.
///
/// Three caches serve that, each for this block of draws:
/// - `rates_`: level outside and under the protector of the segment asked about, by growth; all
///   limits of one exchange rate take the same. Forgotten at the next segment.
/// - `factors_`: one for each set of errors and growth; other segments have the same. The oldest of
///   64 goes first: a thousand runs with an error each of their own never ask for theirs again, and
///   would otherwise be kept and looked through. The next block finds their memory again.
/// - `people_`: what a protector leaves of a sound over people, by growth. Its table (EnergyLeft)
///   holds for all draws and is kept when another block begins; its values are written anew. At
///   most 96, so that a thousand sounds do not fill the memory; of more, one at a time.
///
/// Memory: a number a draw for each entry, 8 kB in a block of 1024.
class MonteCarloLevels {
  public:
    using Marks = Eigen::Ref<Eigen::Array<bool, Eigen::Dynamic, 1>>;

    /// Begins with another block of draws, which must outlive its use.
    void begin(VariableDraws::Block variables);

    /// Sets the segment that is asked about from now on; `added` is a reduction under the
    /// protector, on top.
    void draw(const Segment& segment, LevelDifference added);

    /// The rate in each draw, averaged over the time with and without the protector; levels below
    /// the threshold count nothing. It stays until another is asked for.
    [[nodiscard]] const Eigen::ArrayXd& rate(double growth, bool at_ear,
                                             const std::optional<LevelA>& threshold);

    /// By what the segment's time is multiplied in each draw, never below 0; it must vary.
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
        double growth = 0.0;
        std::vector<ErrorTerm> terms = {};
        Eigen::ArrayXd values = {};
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
    /// exp(growth·Σ errors) in each draw.
    [[nodiscard]] const Eigen::ArrayXd& factor(double growth, std::span<const ErrorTerm> terms);
    [[nodiscard]] Factor& next_factor();
    [[nodiscard]] const Eigen::ArrayXd& people(double growth, const SegmentProtection& protection);
    /// A level with its errors.
    [[nodiscard]] vector::Sound sound(double growth, LevelA level,
                                      std::span<const ErrorTerm> errors);
    /// What a protector leaves of the segment's sound, or all of it, and what is added unreduced.
    [[nodiscard]] vector::Left all_left(double growth);
    [[nodiscard]] const Eigen::ArrayXd& outside(double growth);
    [[nodiscard]] const Eigen::ArrayXd& worn(double growth);

    std::optional<VariableDraws::Block> variables_;
    const Segment* segment_ = nullptr;
    LevelDifference added_{0.0};
    bool has_time_with_ = false, has_time_without_ = true;
    Eigen::ArrayXd fraction_, result_;  // the fraction only where it varies
    std::deque<Rates> rates_;
    std::deque<Factor> factors_;
    std::size_t factors_known_ = 0, next_factor_ = 0;
    std::vector<vector::Addend> addends_;
    std::deque<PeopleFactor> people_;
    std::optional<PeopleFactor> people_not_kept_;
};

}  // namespace earbudget
