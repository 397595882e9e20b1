#include "uncertainty/monte_carlo_levels.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "computing/work_costs.hpp"
#include "earbudget/computing/work_meter.hpp"

namespace earbudget {

namespace {

// The sizes of what is kept: monte_carlo_levels.hpp says why.
constexpr Eigen::Index most_kept = Eigen::Index{1} << 22;

constexpr std::size_t most_factors = 64;

constexpr std::size_t most_people_kept = 96;

Eigen::Index column(std::size_t variable) { return static_cast<Eigen::Index>(variable); }

double rate_at(double growth, double level_dB) {
    return std::exp(growth * (level_dB - ExposureLimit::reference.dB()));
}

}  // namespace

VariableDraws::VariableDraws(const std::vector<ErrorVariable>& variables,
                             const DrawSettings& settings)
    : variables_(variables), count_(static_cast<Eigen::Index>(settings.draws)) {
    keeps_ = count_ * column(variables.size()) <= most_kept;
    if (settings.draws == lattice_size) lattice_.emplace(settings.seed);
    if (!lattice_ || variables.size() > LatticeDraws::dimensions)
        draws_.emplace(settings.seed, settings.draws);
}

VariableDraws::VariableDraws(const std::vector<ErrorVariable>& variables, Eigen::ArrayXXd points)
    : variables_(variables),
      count_(points.rows()),
      keeps_(true),
      written_(points.rows()),
      kept_(std::move(points)) {}

void VariableDraws::write(Eigen::Index first, Eigen::Ref<Eigen::ArrayXXd> to) const {
    WorkMeter::spend(cost::variable_of_draw * static_cast<double>(to.size()));
    for (std::size_t i = 0; i < variables_.size(); ++i) {
        const ErrorVariable& variable = variables_[i];
        const auto begin = static_cast<std::size_t>(first);
        if (lattice_ && variable.direction < LatticeDraws::dimensions) {
            if (numbers_.empty()) {
                lattice_->write(variable.stream, variable.direction, begin, to.col(column(i)));
            } else {
                const auto some =
                    std::span(numbers_).subspan(begin, static_cast<std::size_t>(to.rows()));
                lattice_->write(variable.stream, variable.direction, some, to.col(column(i)));
            }
        } else {
            draws_->write(variable.stream, begin, to.col(column(i)));
        }
    }
}

VariableDraws::Block VariableDraws::block(Eigen::Index first, Eigen::Index size,
                                          Eigen::ArrayXXd& scratch) const {
    if (keeps_) {
        // Not std::call_once: the C library aborts where memory fails and an exception leaves it.
        const std::lock_guard one_writes(writing_);
        if (written_ == 0) kept_.resize(count_, column(variables_.size()));
        if (written_ < first + size) {
            const Eigen::Index until = lattice() ? first + size : count_;
            write(written_, kept_.middleRows(written_, until - written_));
            written_ = until;
        }
        return kept_.middleRows(first, size);
    }
    scratch.resize(size, column(variables_.size()));
    write(first, scratch);
    return scratch;
}

void MonteCarloLevels::begin(VariableDraws::Block variables) {
    variables_.emplace(variables);
    factors_known_ = next_factor_ = 0;
    for (PeopleFactor& people : people_)
        people.known = false;
}

void MonteCarloLevels::draw(const Segment& segment, LevelDifference added) {
    segment_ = &segment;
    added_ = added;
    has_time_with_ = false;
    has_time_without_ = true;
    if (segment.protection) find_fraction(*segment.protection);
    for (Rates& rates : rates_)
        rates.outside_known = rates.worn_known = false;
}

void MonteCarloLevels::find_fraction(const SegmentProtection& protection) {
    const double stated = protection.fraction_worn;
    if (!protection.wearing_time) {
        has_time_with_ = stated > 0.0;
        has_time_without_ = stated < 1.0;
        return;
    }
    const ErrorTerm& error = *protection.wearing_time;
    fraction_ = (stated + error.size * drawn(error.variable)).max(0.0).min(1.0);
    has_time_with_ = has_time_without_ = true;
}

MonteCarloLevels::Rates& MonteCarloLevels::rates_of(double growth) {
    for (Rates& rates : rates_)
        if (rates.growth == growth) return rates;
    return rates_.emplace_back(Rates{growth});
}

/// The oldest where all are known.
MonteCarloLevels::Factor& MonteCarloLevels::next_factor() {
    factors_known_ = std::min(factors_known_ + 1, most_factors);
    const std::size_t place = std::exchange(next_factor_, (next_factor_ + 1) % most_factors);
    return place < factors_.size() ? factors_[place] : factors_.emplace_back();
}

const Eigen::ArrayXd& MonteCarloLevels::factor(double growth, std::span<const ErrorTerm> terms) {
    for (std::size_t i = 0; i < factors_known_; ++i) {
        const Factor& known = factors_[i];
        if (known.growth == growth && std::ranges::equal(known.terms, terms)) return known.values;
    }
    Factor& made = next_factor();
    made.growth = growth;
    made.terms.assign(terms.begin(), terms.end());
    made.values.resize(variables_->rows());
    addends_.clear();
    for (const ErrorTerm& term : terms)
        addends_.push_back({growth * term.size, drawn(term.variable).data()});
    vector::exponentials(addends_, all_of(made.values));
    return made.values;
}

const Eigen::ArrayXd& MonteCarloLevels::people(double growth, const SegmentProtection& protection) {
    const auto same = std::ranges::find_if(people_, [&](const PeopleFactor& known) {
        return known.spread == protection.spread && known.growth == growth;
    });
    const auto made = [&]() -> PeopleFactor& {
        PeopleFactor fresh{protection.spread, growth, protection.spread->energy_left(growth)};
        if (people_.size() < most_people_kept) return people_.emplace_back(std::move(fresh));
        return people_not_kept_.emplace(std::move(fresh));
    };
    PeopleFactor& people = same != people_.end() ? *same : made();
    if (!std::exchange(people.known, true)) {
        people.values.resize(variables_->rows());
        people.left.write(drawn(*protection.people), people.values);
    }
    return people.values;
}

vector::Sound MonteCarloLevels::sound(double growth, LevelA level,
                                      std::span<const ErrorTerm> errors) {
    return {rate_at(growth, level.dB()), errors.empty() ? nullptr : factor(growth, errors).data()};
}

vector::Left MonteCarloLevels::all_left(double growth) {
    vector::Left left{.sound = sound(growth, segment_->outside, segment_->errors)};
    if (segment_->unreduced) {
        left.unreduced = sound(growth, *segment_->unreduced, segment_->errors_of_unreduced);
        // Energies add, whatever else grows with the level.
        left.to_energy = growth_of_energy / growth;
    }
    return left;
}

const Eigen::ArrayXd& MonteCarloLevels::outside(double growth) {
    Rates& rates = rates_of(growth);
    if (!std::exchange(rates.outside_known, true)) {
        rates.outside.resize(variables_->rows());
        vector::write_left(all_left(growth), all_of(rates.outside));
    }
    return rates.outside;
}

const Eigen::ArrayXd& MonteCarloLevels::worn(double growth) {
    Rates& rates = rates_of(growth);
    if (std::exchange(rates.worn_known, true)) return rates.worn;
    const SegmentProtection& protection = *segment_->protection;
    vector::Left left = all_left(growth);
    // A reduction is never below 0, and by a poor fit not above 10 dB.
    left.part = std::exp(-growth * (protection.reduction + added_).dB());
    if (protection.poor_fit) left.least = std::exp(-growth * (poor_fit_reduction + added_).dB());
    const auto factor_of = [&](const std::optional<ErrorTerm>& error) {
        return error ? factor(-growth, {&*error, 1}).data() : nullptr;
    };
    left.factors = {protection.spread ? people(growth, protection).data() : nullptr,
                    factor_of(protection.fit), factor_of(protection.spectrum)};
    rates.worn.resize(variables_->rows());
    vector::write_left(left, all_of(rates.worn));
    return rates.worn;
}

const Eigen::ArrayXd& MonteCarloLevels::rate(double growth, bool at_ear,
                                             const std::optional<LevelA>& threshold) {
    const bool with = at_ear && has_time_with_;
    const bool without = !at_ear || has_time_without_;
    const double least = threshold ? rate_at(growth, (*threshold - level_slack).dB()) : 0.0;
    if (!threshold && !(with && without)) return with ? worn(growth) : outside(growth);
    vector::Mixture mixture{.least = least};
    if (with) mixture.worn = worn(growth).data();
    if (without) mixture.outside = outside(growth).data();
    if (with && without) {
        const SegmentProtection& protection = *segment_->protection;
        mixture.fraction = protection.fraction_worn;
        if (protection.wearing_time) mixture.fractions = fraction_.data();
    }
    result_.resize(variables_->rows());
    vector::write_mixture(mixture, all_of(result_));
    return result_;
}

Eigen::ArrayXd MonteCarloLevels::time_factor() const {
    const ErrorTerm& error = segment_->duration.value();
    return (1.0 + error.size * drawn(error.variable)).max(0.0);
}

void MonteCarloLevels::mark_above(double growth, bool at_ear, LevelA level, Marks marks) {
    const double most = rate_at(growth, (level + level_slack).dB());
    const bool varies = at_ear && segment_->protection && segment_->protection->wearing_time;
    const double* const fractions = varies ? fraction_.data() : nullptr;
    const auto mark = [&](const Eigen::ArrayXd& rates, const vector::Presence& presence) {
        vector::mark_above({rates.data(), static_cast<std::size_t>(rates.size())}, most, presence,
                           marks.data());
    };
    if (at_ear && has_time_with_) mark(worn(growth), {fractions, true});
    if (!at_ear || has_time_without_) mark(outside(growth), {fractions, false});
}

}  // namespace earbudget
