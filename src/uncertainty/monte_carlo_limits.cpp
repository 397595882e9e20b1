#include "uncertainty/monte_carlo_limits.hpp"

#include <algorithm>
#include <atomic>
#include <set>

#include "computing/work_costs.hpp"
#include "earbudget/computing/for_each_at_once.hpp"
#include "earbudget/computing/work_meter.hpp"

namespace earbudget {

namespace {

constexpr Eigen::Index draws_at_once = 1024;
constexpr Eigen::Index most_blocks = 64;

/// Part of the segments that have a sound, or a spread between people, that none of the last ones
/// before had, whose factors are then known.
double part_with_factors_anew(const std::vector<Segment>& segments) {
    const auto spread_of = [](const Segment& segment) {
        return segment.protection ? segment.protection->spread : nullptr;
    };
    std::size_t anew = 0;
    for (std::size_t i = 0; i < segments.size(); ++i) {
        const auto here = segments.begin() + static_cast<std::ptrdiff_t>(i);
        const auto last = here - static_cast<std::ptrdiff_t>(std::min(i, cost::most_known));
        anew += std::none_of(last, here, [&](const Segment& other) {
            return other.errors == here->errors && spread_of(other) == spread_of(*here);
        });
    }
    return static_cast<double>(anew) / static_cast<double>(segments.size());
}

}  // namespace

/// What one thread works with.
struct MonteCarloLimits::Work {
    const SegmentTimes& times;
    LevelDifference added;
    const std::vector<bool>& wanted;
    bool keeps;
    bool only_over;
    const HourWindows* hours = nullptr;  ///< once they are looked for
    Eigen::ArrayXXd scratch = {};
    std::vector<Eigen::MatrixXd> energies = {};  // of each hour: draws by segments
    Eigen::ArrayXd timed = {};                   // a rate times what its time varies by
    MonteCarloLevels own_levels = {};
    MonteCarloLevels* levels = &own_levels;  ///< of the block worked on
};

MonteCarloLimits::MonteCarloLimits(const DayErrors& errors, const VariableDraws& variables,
                                   std::vector<ExposureLimit> limits, Eigen::Index draws,
                                   unsigned threads)
    : errors_(errors),
      variables_(variables),
      limits_(std::move(limits)),
      draws_(draws),
      threads_(threads) {
    if (!errors.segments.empty()) factors_anew_ = part_with_factors_anew(errors.segments);
    const auto all = static_cast<Eigen::Index>(limits_.size() * errors.segments.size());
    if (all * draws <= most_kept) kept_.resize(static_cast<std::size_t>(all));
    // A lattice is drawn for times alone, which are several questions: the first counts as second.
    if (draws >= static_cast<Eigen::Index>(lattice_size)) asked_ = 1;
    const Eigen::Index blocks = (draws + draws_at_once - 1) / draws_at_once;
    if (threads == 1 && variables.is_kept() && blocks <= most_blocks) {
        levels_.resize(static_cast<std::size_t>(blocks));
    }
}

void MonteCarloLimits::add(std::size_t segment, Eigen::Index first, Eigen::Index size, Work& work,
                           std::vector<MonteCarloOutcome>& outcomes) const {
    MonteCarloLevels& levels = *work.levels;
    for (std::size_t i = 0; i < limits_.size(); ++i) {
        if (!work.wanted[i]) continue;
        const ExposureLimit& limit = limits_[i];
        const bool at_ear = limit.criterion().with_protection;
        const auto& ceiling = limit.criterion().rule.ceiling;
        Kept* const keep = work.keeps ? &kept(i, segment) : nullptr;
        // How long a part lasts changes no level, nor (docs/uncertainty.md) the highest hour.
        const bool timed = limit.is_sum() && errors_.segments[segment].duration;
        if (keep && keep->known <= first) {
            keep->rate.segment(first, size) =
                levels.rate(limit.growth(), at_ear, limit.threshold());
            if (timed) keep->rate.segment(first, size) *= levels.time_factor();
            if (ceiling) {
                levels.mark_above(limit.growth(), at_ear, *ceiling,
                                  keep->above_ceiling.segment(first, size));
            }
        }
        if (keep) {
            add_rate(i, segment, first, keep->rate.segment(first, size), work, outcomes[i]);
        } else if (timed) {
            work.timed =
                levels.rate(limit.growth(), at_ear, limit.threshold()) * levels.time_factor();
            add_rate(i, segment, first, work.timed, work, outcomes[i]);
        } else {
            add_rate(i, segment, first, levels.rate(limit.growth(), at_ear, limit.threshold()),
                     work, outcomes[i]);
        }
        if (!ceiling) continue;
        auto above = outcomes[i].above_ceiling.segment(first, size);
        if (keep) {
            above = above || keep->above_ceiling.segment(first, size);
        } else {
            levels.mark_above(limit.growth(), at_ear, *ceiling, above);
        }
    }
}

void MonteCarloLimits::add_rate(std::size_t limit, std::size_t segment, Eigen::Index first,
                                const Eigen::Ref<const Eigen::ArrayXd>& rate, Work& work,
                                MonteCarloOutcome& outcome) const {
    auto used = outcome.used.segment(first, rate.size());
    const double factor = limits_[limit].used_at_reference();
    switch (limits_[limit].accumulation()) {
        case Accumulation::Sum:
            vector::add_scaled(factor * work.times.seconds[segment],
                               {rate.data(), static_cast<std::size_t>(rate.size())}, used.data());
            break;
        case Accumulation::Loudest:
            used = used.max(factor * rate);
            break;
        case Accumulation::HighestHour:
            work.energies[limit].col(static_cast<Eigen::Index>(segment)) = factor * rate;
    }
}

/// Takes the levels of the block, or begins it with the thread's own where none are kept.
void MonteCarloLimits::choose_levels(Eigen::Index first, Eigen::Index size, Work& work) const {
    if (levels_.empty()) {
        work.own_levels.begin(variables_.block(first, size, work.scratch));
        return;
    }
    auto& levels = levels_[static_cast<std::size_t>(first / draws_at_once)];
    if (!levels) {
        levels = std::make_unique<MonteCarloLevels>();
        levels->begin(variables_.block(first, size, work.scratch));
    }
    work.levels = levels.get();
}

void MonteCarloLimits::work_on(Eigen::Index first, Eigen::Index size, Work& work,
                               std::vector<MonteCarloOutcome>& outcomes) const {
    choose_levels(first, size, work);
    work.energies.resize(limits_.size());
    const auto is_hour = [&](std::size_t i) {
        return work.wanted[i] && limits_[i].accumulation() == Accumulation::HighestHour &&
               !errors_.segments.empty();
    };
    const auto all = static_cast<Eigen::Index>(errors_.segments.size());
    for (std::size_t i = 0; i < limits_.size(); ++i)
        if (is_hour(i)) work.energies[i].setZero(size, all);
    for (std::size_t i = 0; i < errors_.segments.size(); ++i) {
        if (!(work.times.seconds[i] > 0.0)) continue;
        work.levels->draw(errors_.segments[i], work.added);
        add(i, first, size, work, outcomes);
    }
    for (std::size_t i = 0; i < limits_.size(); ++i) {
        if (!is_hour(i)) continue;
        if (work.only_over && !is_above_limit(work.energies[i].maxCoeff())) {
            outcomes[i].used.segment(first, size) = work.energies[i].rowwise().maxCoeff().array();
            continue;
        }
        if (!work.hours) work.hours = &windows_of(work.times.course);
        WorkMeter::spend(work.hours->cost_of_a_draw() * static_cast<double>(size));
        outcomes[i].used.segment(first, size) = work.hours->loudest(work.energies[i]);
    }
}

/// Made when they are first needed: most hours are plainly within.
const HourWindows& MonteCarloLimits::windows_of(const std::vector<CoursePart>& course) const {
    const std::lock_guard one_at_a_time(making_hours_);
    if (hours_.empty() || course != course_) {
        course_ = course;
        hours_ = HourWindows(course, errors_.segments.size(), averaging_hour);
    }
    return hours_;
}

/// Room for what is not known yet, to be marked as known when all draws are done.
std::vector<MonteCarloLimits::Kept*> MonteCarloLimits::make_room(const SegmentTimes& times,
                                                                 const std::vector<bool>& wanted,
                                                                 Eigen::Index end) const {
    std::vector<Kept*> fresh;
    for (std::size_t limit = 0; limit < limits_.size(); ++limit) {
        if (!wanted[limit]) continue;
        for (std::size_t segment = 0; segment < errors_.segments.size(); ++segment) {
            Kept& room = kept(limit, segment);
            if (!(times.seconds[segment] > 0.0) || room.known >= end) continue;
            if (room.known == 0) {
                room.rate.resize(draws_);
                if (limits_[limit].criterion().rule.ceiling)
                    room.above_ceiling.setConstant(draws_, false);
            }
            fresh.push_back(&room);
        }
    }
    return fresh;
}

/// What one level of one draw costs for one of these limits, on average.
double MonteCarloLimits::cost_of_rate(const std::vector<bool>& wanted, std::size_t exposed) const {
    std::set<double> growths, all_growths;
    for (std::size_t i = 0; i < limits_.size(); ++i) {
        all_growths.insert(limits_[i].growth());
        if (wanted[i]) growths.insert(limits_[i].growth());
    }
    // Each has factors of its own.
    const bool known =
        !levels_.empty() && levels_.front() && exposed * all_growths.size() <= cost::most_known;
    if (known) return cost::rate_again;
    const auto limits = static_cast<double>(std::ranges::count(wanted, true));
    const double rates = factors_anew_ * static_cast<double>(growths.size());
    return limits > 0.0 ? cost::of_rates(limits, rates) / limits : 0.0;
}

/// What is about to be computed, but for hours.
void MonteCarloLimits::count_work(const SegmentTimes& times, const std::vector<bool>& wanted,
                                  bool keeps, std::size_t fresh, Eigen::Index draws) const {
    const auto exposed =
        std::ranges::count_if(times.seconds, [](double time) { return time > 0.0; });
    const auto rates = static_cast<double>(exposed * std::ranges::count(wanted, true));
    double hours = 0.0;
    for (std::size_t i = 0; i < limits_.size(); ++i)
        if (wanted[i] && limits_[i].accumulation() == Accumulation::HighestHour) hours += 1.0;
    const double anew = keeps ? static_cast<double>(fresh) : rates;
    WorkMeter::spend(static_cast<double>(draws) *
                     (cost_of_rate(wanted, static_cast<std::size_t>(exposed)) * anew +
                      cost::kept_rate_of_draw * (rates - anew) +
                      cost::hour_of_draw * hours * static_cast<double>(exposed)));
}

std::vector<MonteCarloOutcome> MonteCarloLimits::outcomes(const SegmentTimes& times,
                                                          LevelDifference added,
                                                          const std::vector<bool>& wanted,
                                                          bool only_over) const {
    std::vector<MonteCarloOutcome> outcomes(limits_.size());
    find(times, added, wanted, only_over, {0, draws_}, outcomes);
    return outcomes;
}

void MonteCarloLimits::find(const SegmentTimes& times, LevelDifference added,
                            const std::vector<bool>& wanted, bool only_over, DrawRange range,
                            std::vector<MonteCarloOutcome>& outcomes) const {
    for (std::size_t i = 0; i < limits_.size(); ++i) {
        if (!wanted[i]) continue;
        outcomes[i].used.conservativeResize(range.end);
        outcomes[i].used.tail(range.end - range.first).setZero();
        outcomes[i].above_ceiling.conservativeResize(range.end);
        outcomes[i].above_ceiling.tail(range.end - range.first).setConstant(false);
    }
    if (range.first == 0) ++asked_;
    const bool keeps = !kept_.empty() && added == LevelDifference(0.0) && asked_ > 1;
    const std::vector<Kept*> fresh =
        keeps ? make_room(times, wanted, range.end) : std::vector<Kept*>();
    count_work(times, wanted, keeps, fresh.size(), range.end - range.first);
    std::atomic<Eigen::Index> next = range.first;
    const auto work_off = [&](unsigned) {
        Work work{.times = times,
                  .added = added,
                  .wanted = wanted,
                  .keeps = keeps,
                  .only_over = only_over};
        for (Eigen::Index first = next.fetch_add(draws_at_once); first < range.end;
             first = next.fetch_add(draws_at_once)) {
            work_on(first, std::min(draws_at_once, range.end - first), work, outcomes);
        }
        return true;
    };
    static_cast<void>(for_each_at_once(std::vector<unsigned>(threads_), work_off));
    for (Kept* one : fresh)
        one->known = std::max(one->known, range.end);
}

MonteCarloLimits MonteCarloLimits::of_loudest_part(std::size_t limit) const {
    return {errors_, variables_, {limits_[limit].of_loudest_part()}, draws_, threads_};
}

}  // namespace earbudget
