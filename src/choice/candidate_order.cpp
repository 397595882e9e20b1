#include "choice/candidate_order.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "choice/notes.hpp"
#include "computing/work_costs.hpp"
#include "earbudget/choice/phrases.hpp"
#include "earbudget/computing/work_meter.hpp"
#include "earbudget/day/methods.hpp"

namespace earbudget {

namespace {

// Own choice: more sounds say little that these do not.
constexpr std::size_t most_sounds = 3;

/// A sound of the day and its energy there outside, in seconds at 0 dB.
struct LoudSound {
    const SoundLevels* sound;
    double energy;
};

/// Those that hang on what is chosen, the loudest first.
std::vector<LoudSound> loudest_of(const Person& person, const ExposureDay& day) {
    std::vector<LoudSound> sounds;
    for (const ExposureRow& row : day.rows) {
        const bool stated = row.task && person.tasks[*row.task].wears;
        if (!row.sound || stated) continue;
        const double energy =
            relative_energy(row.sound->LAeq) * row.time.count() * day.times_a_day(row);
        const auto same = std::ranges::find(sounds, row.sound.get(), &LoudSound::sound);
        if (same == sounds.end()) {
            sounds.push_back({row.sound.get(), energy});
        } else {
            same->energy += energy;
        }
    }
    std::ranges::stable_sort(sounds, std::ranges::greater(), &LoudSound::energy);
    return sounds;
}

/// By how much the sounds together come out lower at the ear; none where no method reaches one.
std::optional<LevelDifference> reduction_of(const Plan& plan, const Person& person,
                                            const std::vector<std::string>& wears,
                                            const std::vector<LoudSound>& sounds) {
    const PredictionRules& rules = person.policy.rules;
    const auto worn = attenuation_of(plan.catalogue, wears, rules.performance.alpha());
    if (!worn) return std::nullopt;
    double outside = 0.0, at_ear = 0.0;
    for (const LoudSound& loud : sounds) {
        const ChosenMethod chosen = choose_method(*loud.sound, *worn, rules);
        if (!chosen.method || chosen.obstacle) return std::nullopt;
        const LevelDifference reduction =
            predict(*chosen.method, *loud.sound, *worn, rules).reduction;
        outside += loud.energy;
        at_ear += loud.energy * std::pow(10.0, -0.1 * reduction.dB());
    }
    if (outside <= 0.0 || at_ear <= 0.0) return std::nullopt;
    return LevelDifference(10.0 * std::log10(outside / at_ear));
}

}  // namespace

CandidateRank rank_of(std::optional<LevelDifference> above_least_useful, bool stated_metal_free,
                      std::size_t protectors) {
    const double above = above_least_useful ? above_least_useful->dB() : 0.0;
    return {above < 0.0, !stated_metal_free, protectors, std::abs(above)};
}

bool all_stated_metal_free(const Plan& plan, const Person& person,
                           const std::vector<std::string>& wears) {
    return std::ranges::none_of(wears, [&](const std::string& id) {
        return metal_unstated(plan, person, plan.catalogue.find(id)->protector).has_value();
    });
}

CandidateOrder::CandidateOrder(const Plan& plan, const Person& person,
                               const std::vector<std::vector<std::string>>& sets,
                               double most_work) {
    const ExposureDay bare = day_exposure(plan, person, {}, Wearing{});
    needed_ = missing_reduction(person, bare).value_or(LevelDifference(0.0));
    std::vector<LoudSound> sounds = loudest_of(person, bare);
    const double a_sound = cost::predicted_sound * static_cast<double>(sets.size());
    const double pairs =
        cost::of_pairs(plan.catalogue.pairs.size()) * static_cast<double>(sets.size());
    const auto allowed = static_cast<std::size_t>(
        std::clamp((most_work - pairs) / a_sound, 1.0, static_cast<double>(most_sounds)));
    if (sounds.size() > allowed) sounds.resize(allowed);
    work_ = a_sound * static_cast<double>(sounds.size()) + pairs;
    WorkMeter::spend(work_);
    const auto scanning = level_while_scanning(bare);
    estimates_.reserve(sets.size());
    for (const auto& wears : sets) {
        Estimate& estimate = estimates_.emplace_back();
        estimate.reduction = reduction_of(plan, person, wears, sounds);
        const auto reduction = estimate.reduction.value_or(LevelDifference(0.0));
        const auto above = scanning
                               ? std::optional(*scanning - reduction - person.policy.least_useful)
                               : std::nullopt;
        estimate.rank = rank_of(above, all_stated_metal_free(plan, person, wears), wears.size());
        highest_ = std::max(highest_, reduction);
    }
}

template <class Key>
std::vector<std::size_t> CandidateOrder::take(std::size_t number, const Key& key) {
    std::vector<std::size_t> order;
    for (std::size_t n = 0; n < estimates_.size(); ++n)
        if (!estimates_[n].taken) order.push_back(n);
    std::ranges::stable_sort(order, {}, [&](std::size_t n) { return key(estimates_[n]); });
    if (order.size() > number) order.resize(number);
    for (const std::size_t n : order)
        estimates_[n].taken = true;
    return order;
}

std::vector<std::size_t> CandidateOrder::take_strongest(std::size_t number) {
    return take(number, [](const Estimate& estimate) {
        return std::pair(!estimate.reduction, -estimate.reduction.value_or(LevelDifference(0.0)));
    });
}

std::vector<std::size_t> CandidateOrder::take_best(std::size_t number, LevelDifference needed) {
    return take(number, [needed](const Estimate& estimate) {
        const LevelDifference reduction = estimate.reduction.value_or(LevelDifference(0.0));
        const LevelDifference lacking = std::max(needed - reduction, LevelDifference(0.0));
        return std::tuple(!estimate.reduction, lacking, estimate.rank);
    });
}

namespace {

// Lower is better, the first difference decides. Levels less than a decibel apart say nothing
// beside what methods and people differ by.
using Keys = std::array<double, 10>;

Keys keys_of(const RankedChoice& choice, LevelA least_useful) {
    // What cannot be computed stands behind what is known to be over.
    const double verdict =
        choice.verdict == Verdict::Unknown ? 9.0 : static_cast<double>(choice.by_probability());
    const double apart =
        choice.while_scanning ? std::abs((*choice.while_scanning - least_useful).dB()) : 0.0;
    const bool over = choice.verdict == Verdict::Over;
    return {verdict,
            over && choice.margin_by_wearing ? -choice.margin_by_wearing->dB() : 0.0,
            choice.more_than_useful ? 1.0 : 0.0,
            choice.fits_head_coil ? 0.0 : 1.0,
            choice.stated_metal_free ? 0.0 : 1.0,
            choice.comfortable ? 0.0 : 1.0,
            static_cast<double>(choice.wears.size()),
            std::round(apart),
            choice.worn_now ? 0.0 : 1.0,
            apart};
}

Message why_behind(const Keys& above, const Keys& here, LevelA least_useful) {
    const auto differs = std::ranges::mismatch(above, here).in1 - above.begin();
    if (differs == 10) return say<ChoicePhrase::LaterInCatalogue>();
    if (differs == 7 || differs == 9) return say<ChoicePhrase::FurtherFromUseful>(least_useful);
    return say<ChoicePhrase::BehindFor>(differs + 1);
}

}  // namespace

void rank(std::vector<RankedChoice>& choices, LevelA least_useful) {
    std::ranges::stable_sort(
        choices, {}, [&](const RankedChoice& choice) { return keys_of(choice, least_useful); });
    for (std::size_t n = 1; n < choices.size(); ++n) {
        choices[n].reason = why_behind(keys_of(choices[n - 1], least_useful),
                                       keys_of(choices[n], least_useful), least_useful);
    }
}

}  // namespace earbudget
