#include "earbudget/choice/candidates.hpp"

#include <algorithm>
#include <utility>

#include "choice/candidate_order.hpp"
#include "day/traced_day.hpp"
#include "earbudget/acoustics/step_phrases.hpp"
#include "earbudget/choice/phrases.hpp"
#include "earbudget/choice/work_size.hpp"
#include "earbudget/computing/add_once.hpp"
#include "earbudget/computing/work_meter.hpp"
#include "earbudget/limits/judge.hpp"
#include "earbudget/study/catalogue.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"

namespace earbudget {

namespace {

// Own choices of how a part of what can be worn is tried: so much of the time goes into the
// first-order estimates at most, where one sound of each takes less; so many are tried for being
// the strongest, at most a quarter; and the others in so many rounds.
constexpr double part_for_estimates = 0.25;
constexpr std::size_t most_of_the_strongest = 20, rounds = 8;

bool shares_one(const std::vector<std::string>& a, const std::vector<std::string>& b) {
    return std::any_of(a.begin(), a.end(), [&b](const std::string& id) {
        return std::find(b.begin(), b.end(), id) != b.end();
    });
}

using Wears = std::vector<std::string>;

std::vector<Wears> sets_for(const Plan& plan, const Person& person) {
    const auto permitted = [&](const Protector& protector) {
        return may_wear(plan, person, protector);
    };
    std::vector<Wears> sets = wearable_sets(plan.catalogue, permitted);
    std::erase_if(sets, [&](const Wears& wears) {
        return are_same_set(wears, person.wears) || (person.PAR && shares_one(wears, person.wears));
    });
    return sets;
}

/// None where the policy's method lacks the data for it, so that nothing can be said of it.
std::optional<Candidate> tried(const Plan& plan, const Person& person, const Wears& wears,
                               Limits limits) {
    const auto day = day_or_obstacle(plan, person, wears, Wearing{});
    if (!day) return std::nullopt;
    const auto peak = worst_peak_verdict(plan, person, *day, PeakPlace::AtEar);
    return Candidate{.wears = wears,
                     .at_ear_LEX_8h = daily_exposure_level(day->at_ear()),
                     .over = is_over_any(person, *day, limits) || peak == Verdict::Over,
                     .peak_unsure = peak == Verdict::Close || peak == Verdict::Unknown,
                     .at_ear = level_while_scanning(*day),
                     .stated_metal_free = all_stated_metal_free(plan, person, wears)};
}

/// Sets of which some are tried.
class Trials {
  public:
    Trials(const Plan& plan, const Person& person, std::vector<Wears> sets)
        : plan_(plan), person_(person), sets_(std::move(sets)), tried_(sets_.size()) {}

    [[nodiscard]] std::size_t size() const { return sets_.size(); }
    [[nodiscard]] const std::vector<Wears>& sets() const { return sets_; }

    /// Tells whether it keeps every limit.
    bool try_one(std::size_t n) {
        tried_[n] = tried(plan_, person_, sets_[n], limits_);
        return tried_[n] && !tried_[n]->over;
    }

    /// Tells whether any of them keeps every limit.
    bool try_these(const std::vector<std::size_t>& these) {
        bool any = false;
        for (const std::size_t n : these)
            any = try_one(n) || any;
        return any;
    }

    void try_all() {
        for (std::size_t n = 0; n < sets_.size(); ++n)
            static_cast<void>(try_one(n));
    }

    [[nodiscard]] std::vector<Candidate> in_order() && {
        std::vector<Candidate> all;
        for (std::optional<Candidate>& one : tried_)
            if (one) all.push_back(std::move(*one));
        return all;
    }

  private:
    const Plan& plan_;
    const Person& person_;
    std::vector<Wears> sets_;
    std::vector<std::optional<Candidate>> tried_;
    Limits limits_ = limits_for_protection(person_);
};

/// Tries the strongest few, then in rounds the best of those that keep every limit at first order.
/// Where none of a round does, more reduction is needed than that order says: how much is found by
/// halving. Tells how many were left out.
std::size_t try_likeliest(const Plan& plan, const Person& person, const CandidateBudget& budget,
                          Trials& trials) {
    CandidateOrder order(plan, person, trials.sets(), part_for_estimates * budget.for_days);
    const CandidateBudget rest{.for_days = std::max(budget.for_days - order.work(), 0.0)};
    const std::size_t most = std::min(most_candidates(plan, person, rest), trials.size());
    const std::size_t strongest = std::min(most / 4, most_of_the_strongest);
    static_cast<void>(trials.try_these(order.take_strongest(strongest)));
    const std::size_t round = std::max<std::size_t>((most - strongest) / rounds, 1);
    LevelDifference too_little = order.needed(), needed = order.needed(), enough = order.highest();
    bool failed = false;
    for (std::size_t left = most - strongest; left > 0;) {
        const auto best = order.take_best(std::min(round, left), needed);
        left -= best.size();
        const bool any = trials.try_these(best);
        failed = failed || !any;
        if (!failed) continue;
        (any ? enough : too_little) = needed;
        needed = too_little + 0.5 * std::max(enough - too_little, LevelDifference(0.0));
    }
    return trials.size() - most;
}

bool is_perhaps_over(const Plan& plan, const Person& person, const Candidate& candidate,
                     Limits limits) {
    if (candidate.peak_unsure) return true;
    return perhaps_over(plan, person, day_exposure(plan, person, candidate.wears, Wearing{}),
                        limits);
}

}  // namespace

std::optional<LevelA> level_while_scanning(const ExposureDay& day) {
    std::vector<ExposurePart> parts;
    for (const ExposureRow& row : day.rows) {
        if (row.sequence) parts.push_back({row.at_ear, row.time});
    }
    return time_average(parts);
}

void leave_scanning(const Plan& plan, const Person& person, const ExposureDay& day,
                    const std::optional<LevelA>& level, const std::string& of, Trace& trace) {
    if (!level) return;
    StepOf step(say<StepPhrase::WhileScanning>(), {of}, formula_while_scanning);
    step.columns({"row", "L_dB", "t_s"});
    for (const ExposureRow& row : day.rows) {
        if (row.sequence) step.row(words_of(plan, person, row), row.at_ear, row.time);
    }
    trace.leave(step.is(level, "dB(A)"));
}

bool agrees_to(const Person& person, const Protector& protector) {
    if (person.only == WearsOnly::Anything) return true;
    return protector.is_earmuff() == (person.only == WearsOnly::Earmuffs);
}

bool is_comfortable(const Person& person, const Protector& protector) {
    const auto& sizes = protector.canal;
    if (person.unfitted_ear && !protector.is_earmuff()) return false;
    return agrees_to(person, protector) &&
           (!person.canal || sizes.empty() ||
            std::find(sizes.begin(), sizes.end(), *person.canal) != sizes.end());
}

bool comes_near_magnet(const Plan& plan, const Person& person) {
    return person.role != Role::Staff ||
           std::ranges::any_of(person.tasks, [&plan](const Task& task) {
               return task.position && plan.positions[*task.position].near_magnet;
           });
}

std::optional<Message> metal_forbids(const Plan& plan, const Person& person,
                                     const Protector& protector) {
    if (protector.metal_free.value_or(true) || !comes_near_magnet(plan, person))
        return std::nullopt;
    return person.role == Role::Participant ? say<WarningPhrase::MetalInBore>(protector.id)
                                            : say<WarningPhrase::MetalNearMagnet>(protector.id);
}

std::optional<Message> metal_unstated(const Plan& plan, const Person& person,
                                      const Protector& protector) {
    if (protector.metal_free || !comes_near_magnet(plan, person)) return std::nullopt;
    return say<WarningPhrase::MetalUnstated>(protector.id, person.role == Role::Participant);
}

std::optional<Message> does_not_seat(const Person& person, const std::string& id) {
    if (!person.wearing.poor_fit || std::ranges::find(person.wears, id) == person.wears.end())
        return std::nullopt;
    return say<ChoicePhrase::DoesNotSeat>(id);
}

std::vector<std::string> metal_near_magnet(const Plan& plan, const Person& person) {
    std::vector<std::string> metal;
    const auto add = [&](const std::vector<std::string>& wears) {
        for (const std::string& id : wears) {
            const bool holds_metal = plan.catalogue.find(id)->protector.metal_free == false;
            if (holds_metal) add_once(id, metal);
        }
    };
    if (comes_near_magnet(plan, person)) {
        add(person.wears);
        add(person.instead);
    }
    for (const Task& task : person.tasks) {
        if (!task.wears || !task.position) continue;
        if (person.role == Role::Staff && !plan.positions[*task.position].near_magnet) continue;
        add(*task.wears);
    }
    return metal;
}

bool is_for(const Plan& plan, const Person& person, const Protector& protector) {
    const std::string& owner = plan.catalogue.find(protector.id)->owner;
    return owner.empty() || owner == person.id;
}

bool may_wear(const Plan& plan, const Person& person, const Protector& protector) {
    if (!is_for(plan, person, protector)) return false;
    const auto& excluded = person.cannot_wear;
    if (std::find(excluded.begin(), excluded.end(), protector.id) != excluded.end()) return false;
    if (!is_comfortable(person, protector) || does_not_seat(person, protector.id)) return false;
    if (metal_forbids(plan, person, protector)) return false;
    return person.role != Role::Participant ||
           protector.fits_head_coil.value_or(!protector.is_earmuff());
}

Candidates candidates_for(const Plan& plan, const Person& person, const CandidateBudget& budget) {
    Candidates candidates{.budget = budget};
    Trials trials(plan, person, sets_for(plan, person));
    if (trials.size() > most_candidates(plan, person, budget)) {
        candidates.left_out = try_likeliest(plan, person, budget, trials);
    } else {
        trials.try_all();
    }
    candidates.tried = std::move(trials).in_order();
    return candidates;
}

std::optional<BestCandidate> best_within(const Plan& plan, const Person& person,
                                         Candidates& candidates) {
    std::vector<const Candidate*> within;
    for (const Candidate& candidate : candidates.tried)
        if (!candidate.over) within.push_back(&candidate);
    if (within.empty()) return std::nullopt;
    std::ranges::stable_sort(within, {}, [&](const Candidate* candidate) {
        const auto& at_ear = candidate->at_ear;
        return rank_of(at_ear ? std::optional(*at_ear - person.policy.least_useful) : std::nullopt,
                       candidate->stated_metal_free, candidate->wears.size());
    });
    const Limits limits = limits_for_protection(person);
    const double begin = WorkMeter::spent_by_this_thread();
    candidates.asked = candidates.not_asked = 0;
    for (const Candidate* candidate : within) {
        if (WorkMeter::spent_by_this_thread() - begin > candidates.budget.for_draws) {
            candidates.not_asked = within.size() - candidates.asked;
            break;
        }
        ++candidates.asked;
        if (!is_perhaps_over(plan, person, *candidate, limits))
            return BestCandidate{candidate, false};
    }
    return BestCandidate{within.front(), true};
}

}  // namespace earbudget
