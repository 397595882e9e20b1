#include "earbudget/decision/candidates.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

#include <fmt/format.h>

#include "earbudget/decision/advise.hpp"
#include "earbudget/decision/drawn_day.hpp"
#include "earbudget/decision/judge.hpp"
#include "earbudget/study/wearable_sets.hpp"

namespace earbudget {

namespace {

bool shares_one(const std::vector<std::string>& a, const std::vector<std::string>& b) {
    return std::any_of(a.begin(), a.end(), [&b](const std::string& id) {
        return std::find(b.begin(), b.end(), id) != b.end();
    });
}

// Lower is better, the first difference decides.
std::tuple<bool, bool, bool, std::size_t, double> rank_of(const Candidate& candidate,
                                                          LevelA least_useful) {
    const double above = candidate.at_ear ? (*candidate.at_ear - least_useful).dB() : 0.0;
    return {candidate.perhaps_over, above < 0.0, !candidate.stated_metal_free,
            candidate.wears.size(), std::abs(above)};
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

std::vector<Candidate> candidates_for(const Plan& plan, const Person& person) {
    std::vector<Candidate> candidates;
    const Limits limits = limits_for_protection(person);
    const auto permitted = [&](const Protector& protector) {
        return may_wear(plan, person, protector);
    };
    for (auto& wears : wearable_sets(plan.catalogue, permitted)) {
        if (are_same_set(wears, person.wears) || (person.PAR && shares_one(wears, person.wears))) {
            continue;
        }
        try {
            Candidate candidate{.wears = wears, .day = hear(plan, person, wears, Wearing{})};
            const auto peak = worst_peak_verdict(plan, person, candidate.day, PeakPlace::AtEar);
            candidate.over = is_over_any(person, candidate.day, limits) || peak == Verdict::Over;
            candidate.perhaps_over = candidate.over || peak == Verdict::Close ||
                                     peak == Verdict::Unknown ||
                                     perhaps_over(plan, person, candidate.day, limits);
            candidate.at_ear = level_while_scanning(candidate.day);
            candidate.stated_metal_free = std::ranges::none_of(wears, [&](const std::string& id) {
                return metal_unstated(plan, person, plan.catalogue.find(id)->protector).has_value();
            });
            candidates.push_back(std::move(candidate));
        } catch (const InputError&) {
            continue;  // the policy's method lacks the data for this one: nothing can be said of it
        }
    }
    return candidates;
}

const Candidate* best_within(const std::vector<Candidate>& candidates, LevelA least_useful) {
    const Candidate* best = nullptr;
    for (const Candidate& candidate : candidates) {
        if (candidate.over) continue;
        if (!best || rank_of(candidate, least_useful) < rank_of(*best, least_useful)) {
            best = &candidate;
        }
    }
    return best;
}

}  // namespace earbudget
