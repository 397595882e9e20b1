#include "earbudget/decision/candidates.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>
#include <utility>

#include <fmt/format.h>

#include "decision/work_costs.hpp"
#include "earbudget/decision/advise.hpp"
#include "earbudget/decision/choose_method.hpp"
#include "earbudget/decision/drawn_day.hpp"
#include "earbudget/decision/judge.hpp"
#include "earbudget/decision/work_meter.hpp"
#include "earbudget/decision/work_size.hpp"
#include "earbudget/study/wearable_sets.hpp"

namespace earbudget {

namespace {

bool shares_one(const std::vector<std::string>& a, const std::vector<std::string>& b) {
    return std::any_of(a.begin(), a.end(), [&b](const std::string& id) {
        return std::find(b.begin(), b.end(), id) != b.end();
    });
}

// Lower is better, the first difference decides, after how sure it is.
std::tuple<bool, bool, std::size_t, double> rank_of(const Candidate& candidate,
                                                    LevelA least_useful) {
    const double above = candidate.at_ear ? (*candidate.at_ear - least_useful).dB() : 0.0;
    return {above < 0.0, !candidate.stated_metal_free, candidate.wears.size(), std::abs(above)};
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

/// The sound that most of the day's energy outside is of; null where there is none.
const SoundLevels* loudest_of(const HearingDay& day) {
    const SoundLevels* loudest = nullptr;
    double most = 0.0;
    for (const HeardRow& row : day.rows) {
        if (!row.sound) continue;
        const double energy = relative_energy(row.sound->LAeq) * row.time.count();
        if (energy > most) loudest = row.sound.get();
        most = std::max(most, energy);
    }
    return loudest;
}

/// How far one sound comes out from the least useful level: above first, then below; last what no
/// method reaches.
std::pair<int, double> distance(const Plan& plan, const Person& person, const Wears& wears,
                                const SoundLevels& sound) {
    constexpr std::pair<int, double> unreached = {2, 0.0};
    WorkMeter::spend(cost::predicted_sound + cost::of_pairs(plan.catalogue.pairs.size()));
    const PredictionRules& rules = person.policy.rules;
    const auto worn = attenuation_of(plan.catalogue, wears, rules.performance.alpha());
    if (!worn) return unreached;
    const ChosenMethod chosen = choose_method(sound, *worn, rules);
    if (!chosen.method || chosen.obstacle) return unreached;
    const LevelA at_ear = sound.LAeq - predict(*chosen.method, sound, *worn, rules).reduction;
    const double above = (at_ear - person.policy.least_useful).dB();
    return {above < 0.0 ? 1 : 0, std::abs(above)};
}

/// Leaves the likeliest of the sets, in their order.
void keep_likeliest(const Plan& plan, const Person& person, std::size_t most,
                    std::vector<Wears>& sets) {
    const HearingDay bare = hear(plan, person, {}, Wearing{});
    const SoundLevels* const sound = loudest_of(bare);
    if (sound) {
        std::vector<std::pair<std::pair<int, double>, std::size_t>> order;
        for (std::size_t n = 0; n < sets.size(); ++n)
            order.emplace_back(distance(plan, person, sets[n], *sound), n);
        std::ranges::sort(order);
        order.resize(most);
        std::ranges::sort(order, {}, [](const auto& one) { return one.second; });
        std::vector<Wears> kept;
        for (const auto& one : order)
            kept.push_back(std::move(sets[one.second]));
        sets = std::move(kept);
    }
    sets.resize(most);
}

Candidate tried(const Plan& plan, const Person& person, const Wears& wears, Limits limits) {
    const HearingDay day = hear(plan, person, wears, Wearing{});
    const auto peak = worst_peak_verdict(plan, person, day, PeakPlace::AtEar);
    return {.wears = wears,
            .at_ear_LEX_8h = daily_exposure_level(day.at_ear()),
            .over = is_over_any(person, day, limits) || peak == Verdict::Over,
            .peak_unsure = peak == Verdict::Close || peak == Verdict::Unknown,
            .at_ear = level_while_scanning(day),
            .stated_metal_free = std::ranges::none_of(wears, [&](const std::string& id) {
                return metal_unstated(plan, person, plan.catalogue.find(id)->protector).has_value();
            })};
}

bool is_perhaps_over(const Plan& plan, const Person& person, const Candidate& candidate,
                     Limits limits) {
    if (candidate.peak_unsure) return true;
    return perhaps_over(plan, person, hear(plan, person, candidate.wears, Wearing{}), limits);
}

}  // namespace

std::optional<LevelA> level_while_scanning(const HearingDay& day) {
    std::vector<ExposurePart> parts;
    for (const HeardRow& row : day.rows) {
        if (row.sequence) parts.push_back({row.at_ear, row.time});
    }
    return time_average(parts);
}

bool agrees_to(const Person& person, const Protector& protector) {
    if (person.only == WearsOnly::Anything) return true;
    return protector.is_earmuff() == (person.only == WearsOnly::Earmuffs);
}

bool is_comfortable(const Person& person, const Protector& protector) {
    const auto& sizes = protector.canal;
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

std::optional<std::string> metal_forbids(const Plan& plan, const Person& person,
                                         const Protector& protector) {
    if (protector.metal_free.value_or(true) || !comes_near_magnet(plan, person))
        return std::nullopt;
    return fmt::format(
        "\"{}\" is not free of metal and must not {}", protector.id,
        person.role == Role::Participant ? "enter the bore" : "come near the magnet");
}

std::optional<std::string> metal_unstated(const Plan& plan, const Person& person,
                                          const Protector& protector) {
    if (protector.metal_free || !comes_near_magnet(plan, person)) return std::nullopt;
    return fmt::format(
        "\"{}\" is not stated to be free of metal: make sure before it {}", protector.id,
        person.role == Role::Participant ? "enters the bore" : "comes near the magnet");
}

std::optional<std::string> does_not_seat(const Person& person, const std::string& id) {
    if (!person.wearing.poor_fit || std::ranges::find(person.wears, id) == person.wears.end())
        return std::nullopt;
    return fmt::format("\"{}\" does not seat (fit = \"poor\" in the plan)", id);
}

std::vector<std::string> metal_near_magnet(const Plan& plan, const Person& person) {
    std::vector<std::string> metal;
    const auto add = [&](const std::vector<std::string>& wears) {
        for (const std::string& id : wears) {
            const bool holds_metal = plan.catalogue.find(id)->protector.metal_free == false;
            if (holds_metal && std::ranges::find(metal, id) == metal.end()) metal.push_back(id);
        }
    };
    if (comes_near_magnet(plan, person)) add(person.wears);
    for (const Task& task : person.tasks) {
        if (!task.wears || !task.position) continue;
        if (person.role == Role::Staff && !plan.positions[*task.position].near_magnet) continue;
        add(*task.wears);
    }
    return metal;
}

bool may_wear(const Plan& plan, const Person& person, const Protector& protector) {
    const auto& excluded = person.cannot_wear;
    if (std::find(excluded.begin(), excluded.end(), protector.id) != excluded.end()) return false;
    if (!is_comfortable(person, protector) || does_not_seat(person, protector.id)) return false;
    if (metal_forbids(plan, person, protector)) return false;
    return person.role != Role::Participant ||
           protector.fits_head_coil.value_or(!protector.is_earmuff());
}

Candidates candidates_for(const Plan& plan, const Person& person, const CandidateBudget& budget) {
    Candidates candidates{.budget = budget};
    const Limits limits = limits_for_protection(person);
    std::vector<Wears> sets = sets_for(plan, person);
    const std::size_t most = most_candidates(plan, person, budget);
    if (sets.size() > most) {
        candidates.left_out = sets.size() - most;
        keep_likeliest(plan, person, most, sets);
    }
    for (const Wears& wears : sets) {
        try {
            candidates.tried.push_back(tried(plan, person, wears, limits));
        } catch (const InputError&) {
            continue;  // the policy's method lacks the data for this one: nothing can be said of it
        }
    }
    return candidates;
}

std::optional<BestCandidate> best_within(const Plan& plan, const Person& person,
                                         Candidates& candidates) {
    std::vector<const Candidate*> within;
    for (const Candidate& candidate : candidates.tried)
        if (!candidate.over) within.push_back(&candidate);
    if (within.empty()) return std::nullopt;
    std::ranges::stable_sort(within, {}, [&](const Candidate* candidate) {
        return rank_of(*candidate, person.policy.least_useful);
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
