#include "earbudget/day/exposure_day.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "computing/work_costs.hpp"
#include "day/day_warnings.hpp"
#include "day/traced_day.hpp"
#include "earbudget/computing/work_meter.hpp"
#include "earbudget/day/methods.hpp"

namespace earbudget {

namespace {

/// What is worn during some rows, and how it is predicted.
struct Protection {
    const AttenuationData& worn;
    const PredictionRules& rules;
    Wearing wearing;
};

std::shared_ptr<const Prediction> predicted(const SoundLevels& sound, Method method,
                                            const Protection& protection) {
    if (find_obstacle(method, sound, protection.worn, protection.rules)) return nullptr;
    return std::make_shared<const Prediction>(
        predict(method, sound, protection.worn, protection.rules));
}

void protect(ExposureRow& row, const Protection& protection) {
    row.with_protector = true;
    row.fraction_worn = protection.wearing.fraction_of_time;
    row.poor_fit = protection.wearing.poor_fit;
    row.while_worn = row.at_ear = row.outside();
    if (!row.prediction) return;
    row.while_worn =
        row.with_unreduced(row.sound->LAeq - reduction_as_fitted(row.prediction->reduction,
                                                                 protection.wearing.poor_fit));
    row.at_ear = level_over_wearing_time(*row.outside(), *row.while_worn, row.fraction_worn);
}

/// Protects rows, predicting each sound once by the method that `choose` names for it, if any.
template <class Choose>
void protect_all(const std::vector<ExposureRow*>& rows, const Protection& protection,
                 Choose choose) {
    std::map<const SoundLevels*, std::shared_ptr<const Prediction>> known;
    for (ExposureRow* row : rows) {
        if (row->sound) {
            const auto [same, is_new] = known.try_emplace(row->sound.get());
            if (is_new) {
                WorkMeter::spend(cost::predicted_sound);
                const std::optional<Method> method = choose(*row);
                if (method) same->second = predicted(*row->sound, *method, protection);
            }
            row->prediction = same->second;
        }
        protect(*row, protection);
    }
}

Result<ExposureDay> unprotected_day(const Plan& plan, const Person& person) {
    WorkMeter::spend(cost::exposure_row * static_cast<double>(number_of_rows(plan, person)));
    auto rows = unprotected_rows(plan, person);
    if (!rows) return rows.obstacle();
    return ExposureDay{.rows = *std::move(rows),
                       .sessions = person.sessions_per_day,
                       .days_per_week = person.days_per_week.value_or(1.0)};
}

/// The rows that one set of protectors is worn during.
std::vector<ExposureRow*> rows_of(ExposureDay& day, const Person& person,
                                  std::optional<std::size_t> task) {
    std::vector<ExposureRow*> rows;
    for (ExposureRow& row : day.rows) {
        const bool own = row.task && person.tasks[*row.task].wears;
        if (task ? row.task == task : !own) rows.push_back(&row);
    }
    return rows;
}

Obstacle undefined(const Person& person, const ChosenMethod& chosen) {
    const Message& why = chosen.obstacle->says;
    return {person.policy.stated_at,
            chosen.method ? say<ObstaclePhrase::ByBestMethod>(name_of(*chosen.method), why) : why};
}

/// What is worn, with a fit test of this person, and the rules that hold for it.
struct WornData {
    AttenuationData attenuation;
    PredictionRules rules;
};

std::optional<WornData> what_is_worn(const Plan& plan, const Person& person,
                                     const std::vector<std::string>& wears) {
    PredictionRules rules = person.policy.rules;
    if (wears.size() > 1) WorkMeter::spend(cost::of_pairs(plan.catalogue.pairs.size()));
    auto attenuation = attenuation_of(plan.catalogue, wears, rules.performance.alpha());
    if (!attenuation) return std::nullopt;
    WornData worn{*std::move(attenuation), rules};
    // A fit test tells about the protector that was tested, which is the one the person wears.
    if (person.PAR && are_same_set(wears, person.wears)) {
        worn.attenuation.ratings.PAR = person.PAR;
        // The pair was tested on this person.
        worn.attenuation.estimated_pair = false;
        worn.attenuation.one_unknown = false;
        worn.rules.method = Method::Par;
        if (!is_defined(rules.derating.kind, Method::Par)) worn.rules.derating = {};
    }
    return worn;
}

/// How what is worn was predicted.
struct Predicted {
    std::optional<Method> method = std::nullopt;  ///< none: nothing worn, or nothing reached
    Derating derating = {};
};

/// The method of most of the energy outside; none where nothing is predicted.
std::optional<Method> method_of_most(const ExposureDay& day,
                                     const std::vector<ExposureRow*>& rows) {
    std::map<Method, double> energy;
    for (const ExposureRow* row : rows) {
        if (!row->prediction) continue;
        energy[row->prediction->method] += relative_energy(row->sound->LAeq) * row->time.count() *
                                           static_cast<double>(day.times_a_day(*row));
    }
    const auto most = std::ranges::max_element(
        energy, {}, [](const auto& of_method) { return of_method.second; });
    return most == energy.end() ? std::nullopt : std::optional(most->first);
}

Message name_of(const Plan& plan, const Person& person, const ExposureRow& row) {
    if (row.sequence) return say<WarningPhrase::Quoted>(plan.sequences[*row.sequence].id);
    const bool own = row.task && person.tasks[*row.task].levels;
    return own ? say<WarningPhrase::OtherNoise>() : say<WarningPhrase::TheBackground>();
}

/// One for each card that lacks data, one for each protector.
void add_unreached(Unreached sound, std::vector<Unreached>& all) {
    const auto same = std::ranges::find_if(all, [&](const Unreached& other) {
        return other.sequence == sound.sequence && other.why() == sound.why();
    });
    if (same == all.end()) {
        all.push_back(std::move(sound));
    } else if (std::ranges::find(same->sounds, sound.sounds.front()) == same->sounds.end()) {
        same->sounds.push_back(std::move(sound.sounds.front()));
    }
}

/// Where the missing datum belongs: at the card, or at what is worn.
std::optional<SourcePosition> place_of(const Plan& plan, const ExposureRow& row, bool protector,
                                       const std::vector<std::string>& wears) {
    if (protector) return plan.catalogue.find(wears.front())->stated_at;
    if (row.sequence) return plan.sequences[*row.sequence].stated_at;
    return std::nullopt;
}

/// Protects some rows of a day; an obstacle where no publication defines the method with the
/// derating.
Result<Predicted> wear(const Plan& plan, const Person& person,
                       const std::vector<std::string>& wears, const Wearing& wearing,
                       const std::vector<ExposureRow*>& rows, ExposureDay& day) {
    const auto worn = what_is_worn(plan, person, wears);
    if (!worn) {
        for (ExposureRow* row : rows)
            row->while_worn = row->at_ear = row->outside();
        return Predicted{};
    }
    std::optional<Obstacle> obstacle_of_policy;
    const auto choose = [&](const ExposureRow& row) {
        const ChosenMethod chosen = choose_method(*row.sound, worn->attenuation, worn->rules);
        const auto& obstacle = chosen.obstacle;
        if (!obstacle) return chosen.method;
        if (obstacle->cause == Unavailable::Cause::Combination) {
            if (!obstacle_of_policy) obstacle_of_policy = undefined(person, chosen);
            return std::optional<Method>();
        }
        const bool protector = obstacle->cause == Unavailable::Cause::Protector;
        add_unreached({.sounds = {name_of(plan, person, row)},
                       .wears = in_order(plan.catalogue, wears),
                       .method = worn->rules.method,
                       .lacks = obstacle->says,
                       .protector = protector,
                       .sequence = row.sequence.has_value(),
                       .where = place_of(plan, row, protector, wears)},
                      day.unreached);
        return std::optional<Method>();
    };
    protect_all(rows, {.worn = worn->attenuation, .rules = worn->rules, .wearing = wearing},
                choose);
    if (obstacle_of_policy) return *obstacle_of_policy;
    warn_of_methods({plan, wears, worn->attenuation, rows}, day.warnings);
    return Predicted{method_of_most(day, rows), worn->rules.derating};
}

/// What is worn during tasks that name it; tells what stands in its way.
std::optional<Obstacle> wear_for_tasks(const Plan& plan, const Person& person, ExposureDay& day) {
    for (std::size_t task = 0; task < person.tasks.size(); ++task) {
        const Task& own = person.tasks[task];
        if (!own.wears) continue;
        const auto worn =
            wear(plan, person, *own.wears, own.wearing, rows_of(day, person, task), day);
        if (!worn) return worn.obstacle();
        if (!day.method) {
            day.method = worn->method;
            day.derating = worn->derating;
        }
    }
    return std::nullopt;
}

}  // namespace

Result<ExposureDay> day_or_obstacle(const Plan& plan, const Person& person,
                                    const std::vector<std::string>& wears, const Wearing& wearing,
                                    Trace* trace) {
    auto day = unprotected_day(plan, person);
    if (!day) return day;
    day->wears = wears;
    day->wearing = wearing;
    const auto worn = wear(plan, person, wears, wearing, rows_of(*day, person, std::nullopt), *day);
    if (!worn) return worn.obstacle();
    day->method = worn->method;
    day->derating = worn->derating;
    if (const auto obstacle = wear_for_tasks(plan, person, *day)) return *obstacle;
    warn_of_day(plan, person, *day);
    if (trace) leave_levels(plan, person, *day, *trace);
    return day;
}

Result<ExposureDay> day_or_obstacle(const Plan& plan, const Person& person, Trace* trace) {
    return day_or_obstacle(plan, person, person.wears, person.wearing, trace);
}

Message Unreached::why(bool each) const {
    return say<WarningPhrase::NotReached>(method.has_value(),
                                          method ? name_of(*method) : std::string_view(),
                                          protector ? say<WarningPhrase::QuotedSet>(wears)
                                          : each    ? say<WarningPhrase::Each>()
                                                    : sounds.front(),
                                          lacks);
}

ExposureDay day_exposure(const Plan& plan, const Person& person,
                         const std::vector<std::string>& wears, const Wearing& wearing,
                         Trace* trace) {
    return day_or_obstacle(plan, person, wears, wearing, trace).or_throw();
}

ExposureDay day_exposure_through(const Plan& plan, const Person& person,
                                 const AttenuationData& worn, Method method,
                                 const PredictionRules& rules) {
    ExposureDay day = unprotected_day(plan, person).or_throw();
    day.method = method;
    protect_all(rows_of(day, person, std::nullopt), {.worn = worn, .rules = rules, .wearing = {}},
                [method](const ExposureRow&) { return std::optional(method); });
    if (const auto obstacle = wear_for_tasks(plan, person, day)) throw *obstacle;
    return day;
}

Person poorly_seated(Person person) {
    person.wearing.poor_fit = true;
    for (Task& task : person.tasks)
        task.wearing.poor_fit = true;
    return person;
}

bool wears_anything(const Person& person) {
    return !person.wears.empty() || std::ranges::any_of(person.tasks, [](const Task& task) {
        return task.wears && !task.wears->empty();
    });
}

std::optional<LevelA> level_through(const Plan& plan, const Person& person,
                                    const std::vector<std::string>& wears, const Wearing& wearing,
                                    const ExposureDay& day, const SoundLevels& sound) {
    const auto worn = what_is_worn(plan, person, wears);
    if (!worn) return sound.LAeq;
    if (!day.method) return std::nullopt;
    const auto prediction = predicted(
        sound, *day.method, {.worn = worn->attenuation, .rules = worn->rules, .wearing = wearing});
    // A check that is on the safe side for noise is not so for speech.
    if (!prediction || is_check(prediction->form)) return std::nullopt;
    return sound.LAeq - reduction_as_fitted(prediction->reduction, wearing.poor_fit);
}

ExposureDay day_exposure(const Plan& plan, const Person& person, Trace* trace) {
    return day_exposure(plan, person, person.wears, person.wearing, trace);
}

}  // namespace earbudget
