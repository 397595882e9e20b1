#include "decision/drawn_levels.hpp"

#include <algorithm>
#include <numbers>

namespace earbudget {

namespace {

constexpr Eigen::Index most_kept = Eigen::Index{1} << 22;  // 32 MB

constexpr double dB_by_nepers = 10.0 / std::numbers::ln10;

// As DoseRule::counts.
constexpr double threshold_slack = 1e-9;

void write(const std::vector<ErrorVariable>& variables, const NormalDraws& draws,
           Eigen::Index first, Eigen::ArrayXXd& to) {
    for (std::size_t i = 0; i < variables.size(); ++i) {
        draws.write(variables[i].stream, static_cast<std::size_t>(first),
                    to.col(static_cast<Eigen::Index>(i)));
    }
}

Eigen::Index column(std::size_t variable) { return static_cast<Eigen::Index>(variable); }

void add_errors(const std::vector<ErrorTerm>& errors,
                const Eigen::Ref<const Eigen::ArrayXXd>& variables, Eigen::ArrayXd& levels) {
    for (const ErrorTerm& error : errors)
        levels += error.size * variables.col(column(error.variable));
}

/// Of two levels in each draw: the louder one with what the other adds to it.
void add_energy(const Eigen::ArrayXd& more, Eigen::ArrayXd& levels) {
    levels = levels.max(more) +
             (1.0 + (-(levels - more).abs() / dB_by_nepers).exp()).log() * dB_by_nepers;
}

}  // namespace

VariableDraws::VariableDraws(const std::vector<ErrorVariable>& variables, const NormalDraws& draws)
    : variables_(variables), draws_(draws) {
    const auto count = static_cast<Eigen::Index>(draws.count());
    if (count * column(variables.size()) > most_kept) return;
    kept_.resize(count, column(variables.size()));
    write(variables, draws, 0, kept_);
}

Eigen::Ref<const Eigen::ArrayXXd> VariableDraws::block(Eigen::Index first, Eigen::Index size,
                                                       Eigen::ArrayXXd& scratch) const {
    if (kept_.rows() > 0) return kept_.middleRows(first, size);
    scratch.resize(size, column(variables_.size()));
    write(variables_, draws_, first, scratch);
    return scratch;
}

void DrawnLevels::draw(const Segment& segment, const Eigen::Ref<const Eigen::ArrayXXd>& variables,
                       LevelDifference added) {
    outside_.setConstant(variables.rows(), segment.outside.dB());
    add_errors(segment.errors, variables, outside_);
    is_reduced_ = segment.protection.has_value();
    if (is_reduced_) reduce(*segment.protection, variables, added);
    if (segment.unreduced) {
        unreduced_.setConstant(variables.rows(), segment.unreduced->dB());
        add_errors(segment.errors_of_unreduced, variables, unreduced_);
        add_energy(unreduced_, outside_);
        if (is_reduced_) add_energy(unreduced_, worn_);
    }
    for (Rates& rates : rates_)
        rates.outside_known = rates.worn_known = false;
}

void DrawnLevels::reduce(const SegmentProtection& protection,
                         const Eigen::Ref<const Eigen::ArrayXXd>& variables,
                         LevelDifference added) {
    worn_.setConstant(variables.rows(), protection.reduction.dB());
    if (protection.spread) {
        protection.spread->add_to(worn_, variables.col(column(*protection.people)));
    }
    if (protection.fit) {
        worn_ += protection.fit->size * variables.col(column(protection.fit->variable));
    }
    worn_ = worn_.max(0.0);
    if (protection.poor_fit) worn_ = worn_.min(poor_fit_reduction.dB());
    worn_ = outside_ - worn_ - added.dB();
    if (!protection.wearing_time) {
        fraction_.setConstant(variables.rows(), protection.fraction_worn);
        has_time_with_ = protection.fraction_worn > 0.0;
        has_time_without_ = protection.fraction_worn < 1.0;
        return;
    }
    const ErrorTerm& error = *protection.wearing_time;
    fraction_ = (protection.fraction_worn + error.size * variables.col(column(error.variable)))
                    .max(0.0)
                    .min(1.0);
    has_time_with_ = (fraction_ > 0.0).any();
    has_time_without_ = (fraction_ < 1.0).any();
}

DrawnLevels::Rates& DrawnLevels::rates_of(double growth) {
    for (Rates& rates : rates_)
        if (rates.growth == growth) return rates;
    return rates_.emplace_back(Rates{growth, false, false, {}, {}});
}

const Eigen::ArrayXd& DrawnLevels::rate(double growth, bool at_ear,
                                        const std::optional<LevelA>& threshold) {
    const bool reduced = at_ear && is_reduced_;
    const bool without = !reduced || has_time_without_;
    const bool with = reduced && has_time_with_;
    Rates& rates = rates_of(growth);
    if (without && !std::exchange(rates.outside_known, true)) {
        rates.outside = (growth * (outside_ - reference.dB())).exp();
    }
    if (with && !std::exchange(rates.worn_known, true)) {
        rates.worn = (growth * (worn_ - reference.dB())).exp();
    }
    if (!reduced && !threshold) return rates.outside;
    const double least = threshold ? threshold->dB() - threshold_slack : -1e9;
    if (!reduced) {
        result_ = (outside_ >= least).select(rates.outside, 0.0);
        return result_;
    }
    if (with && !without && !threshold) return rates.worn;
    result_.setZero(outside_.size());
    if (with) result_ += fraction_ * (worn_ >= least).select(rates.worn, 0.0);
    if (without) result_ += (1.0 - fraction_) * (outside_ >= least).select(rates.outside, 0.0);
    return result_;
}

}  // namespace earbudget
