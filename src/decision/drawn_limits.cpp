#include "decision/drawn_limits.hpp"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <numbers>
#include <thread>

namespace earbudget {

namespace {

// What a level needs in the innermost cache with a few more beside it.
constexpr Eigen::Index draws_at_once = 1024;

constexpr double growth_of_energy = std::numbers::ln10 / 10.0;

DrawnLimit::Kind kind_of(ExposureQuantity quantity) {
    switch (quantity) {
        case ExposureQuantity::LAeq_1h:
            return DrawnLimit::Kind::Hour;
        case ExposureQuantity::LAeq_loudest:
            return DrawnLimit::Kind::Loudest;
        case ExposureQuantity::Dose:
        case ExposureQuantity::WeeklyDose:
        case ExposureQuantity::LEX_8h:
            break;
    }
    return DrawnLimit::Kind::Sum;
}

}  // namespace

DrawnLimit DrawnLimit::of(const Criterion& criterion, double days_per_week) {
    const bool dose = is_dose(criterion.quantity);
    const DoseRule& rule = criterion.rule;
    DrawnLimit limit{.kind = kind_of(criterion.quantity),
                     .at_ear = criterion.with_protection,
                     .growth = dose ? std::numbers::ln2 / rule.exchange.dB() : growth_of_energy,
                     .factor = 1.0,
                     .threshold = dose ? rule.threshold : std::nullopt,
                     .ceiling = rule.ceiling,
                     .criterion = criterion};
    limit.factor = std::exp(limit.growth * (DrawnLevels::reference - rule.level).dB());
    if (limit.kind == Kind::Sum) {
        const Seconds permitted = dose ? Seconds(rule.hours) : reference_day;
        limit.factor *= criterion.days_counted(days_per_week) / permitted.count();
        if (dose) limit.factor *= 100.0 / criterion.dose_limit_percent;
    }
    return limit;
}

double DrawnLimit::value_of(double part) const {
    if (is_dose(criterion.quantity)) return part * criterion.limit();
    return criterion.limit() + 10.0 * std::log10(part);
}

LevelDifference DrawnLimit::margin_of(double part) const {
    return LevelDifference(-std::log(part) / growth);
}

/// What one thread works with.
struct DrawnLimits::Work {
    const SegmentTimes& times;
    LevelDifference added;
    const std::vector<bool>& wanted;
    const std::vector<Eigen::MatrixXd>& windows;  // of each limit; empty but for hours
    Eigen::ArrayXXd scratch = {};
    std::vector<Eigen::MatrixXd> energies = {};  // of each hour: draws by segments
    DrawnLevels levels = {};
};

void DrawnLimits::add(std::size_t segment, Eigen::Index first, Eigen::Index size, Work& work,
                      std::vector<DrawnOutcome>& outcomes) const {
    DrawnLevels& levels = work.levels;
    for (std::size_t i = 0; i < limits_.size(); ++i) {
        if (!work.wanted[i]) continue;
        const DrawnLimit& limit = limits_[i];
        const Eigen::ArrayXd& rate = levels.rate(limit.growth, limit.at_ear, limit.threshold);
        auto part = outcomes[i].part.segment(first, size);
        switch (limit.kind) {
            case DrawnLimit::Kind::Sum:
                part += limit.factor * work.times.seconds[segment] * rate;
                break;
            case DrawnLimit::Kind::Loudest:
                part = part.max(limit.factor * rate);
                break;
            case DrawnLimit::Kind::Hour:
                work.energies[i].col(static_cast<Eigen::Index>(segment)) = limit.factor * rate;
        }
        if (limit.ceiling) {
            levels.mark_above(limit.growth, limit.at_ear, *limit.ceiling,
                              outcomes[i].above_ceiling.segment(first, size));
        }
    }
}

void DrawnLimits::work_on(Eigen::Index first, Eigen::Index size, Work& work,
                          std::vector<DrawnOutcome>& outcomes) const {
    work.levels.begin(variables_.block(first, size, work.scratch));
    work.energies.resize(limits_.size());
    for (std::size_t i = 0; i < limits_.size(); ++i)
        if (work.windows[i].size() > 0) work.energies[i].setZero(size, work.windows[i].cols());
    for (std::size_t i = 0; i < errors_.segments.size(); ++i) {
        if (!(work.times.seconds[i] > 0.0)) continue;
        work.levels.draw(errors_.segments[i], work.added);
        add(i, first, size, work, outcomes);
    }
    for (std::size_t i = 0; i < limits_.size(); ++i) {
        if (work.windows[i].size() == 0) continue;
        outcomes[i].part.segment(first, size) =
            (work.energies[i] * work.windows[i].transpose()).rowwise().maxCoeff().array();
    }
}

std::vector<DrawnOutcome> DrawnLimits::outcomes(const SegmentTimes& times, LevelDifference added,
                                                const std::vector<bool>& wanted) const {
    std::vector<DrawnOutcome> outcomes(limits_.size());
    std::vector<Eigen::MatrixXd> windows(limits_.size());
    for (std::size_t i = 0; i < limits_.size(); ++i) {
        if (!wanted[i]) continue;
        outcomes[i].part.setZero(draws_);
        outcomes[i].above_ceiling.setConstant(draws_, false);
        if (limits_[i].kind == DrawnLimit::Kind::Hour) {
            windows[i] = windows_of(times.course, errors_.segments.size(), Hours(1));
        }
    }
    std::atomic<Eigen::Index> next = 0;
    const auto work_off = [&] {
        Work work{.times = times, .added = added, .wanted = wanted, .windows = windows};
        for (Eigen::Index first = next.fetch_add(draws_at_once); first < draws_;
             first = next.fetch_add(draws_at_once)) {
            work_on(first, std::min(draws_at_once, draws_ - first), work, outcomes);
        }
    };
    std::vector<std::jthread> others;
    for (unsigned k = 1; k < threads_; ++k)
        others.emplace_back(work_off);
    work_off();
    others.clear();
    return outcomes;
}

bool DrawnLimits::hour_matters(std::size_t limit, double share) const {
    DrawnLimits loudest(errors_, variables_, {limits_[limit]}, draws_, threads_);
    loudest.limits_.front().kind = DrawnLimit::Kind::Loudest;
    const SegmentTimes any{.seconds = std::vector<double>(errors_.segments.size(), 1.0)};
    const auto outcome = std::move(loudest.outcomes(any, LevelDifference(0.0), {true}).front());
    return static_cast<double>(outcome.over().count()) > share * static_cast<double>(draws_);
}

}  // namespace earbudget
