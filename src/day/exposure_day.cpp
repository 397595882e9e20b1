#include "earbudget/day/exposure_day.hpp"

#include <algorithm>
#include <memory>

#include "computing/work_costs.hpp"
#include "day/day_warnings.hpp"
#include "day/protected_rows.hpp"
#include "day/traced_day.hpp"
#include "earbudget/computing/add_once.hpp"
#include "earbudget/computing/work_meter.hpp"
#include "earbudget/day/methods.hpp"
#include "protection/predictor.hpp"

namespace earbudget {

namespace {

using SharedPrediction = std::shared_ptr<const Prediction>;

Result<ExposureDay> unprotected_day(const Plan& plan, const Person& person) {
    WorkMeter::spend(cost::exposure_row * static_cast<double>(number_of_rows(plan, person)));
    auto rows = unprotected_rows(plan, person);
    if (!rows) return rows.obstacle();
    return ExposureDay{.rows = *std::move(rows),
                       .sessions = person.sessions_per_day,
                       .days_per_week = person.days_per_week.value_or(1.0)};
}

Obstacle undefined(const Person& person, const ChosenMethod& chosen) {
    const Message& why = chosen.obstacle->says;
    return {person.policy.stated_at,
            chosen.method ? say<ObstaclePhrase::ByBestMethod>(name_of(*chosen.method), why) : why};
}

/// How what is worn was predicted.
struct Predicted {
    std::optional<Method> method = std::nullopt;  ///< none: nothing worn, or nothing reached
    Derating derating = {};
};

Message name_of(const Plan& plan, const Person& person, const ExposureRow& row) {
    if (row.sequence) return say<WarningPhrase::Quoted>(plan.sequences[*row.sequence].id);
    const bool own = row.task && person.tasks[*row.task].levels;
    return own ? say<WarningPhrase::OtherNoise>() : say<WarningPhrase::TheBackground>();
}

/// Whether why() says the same of both.
bool is_for_the_same(const Unreached& one, const Unreached& other) {
    if (one.method != other.method || one.protector != other.protector) return false;
    const bool same =
        one.protector ? one.wears == other.wears : one.sounds.front() == other.sounds.front();
    return same && one.lacks == other.lacks;
}

/// One for each card that lacks data, one for each protector.
void add_unreached(Unreached sound, std::vector<Unreached>& all) {
    const auto same = std::ranges::find_if(all, [&](const Unreached& other) {
        return other.sequence == sound.sequence && is_for_the_same(other, sound);
    });
    if (same == all.end()) {
        all.push_back(std::move(sound));
    } else {
        add_once(std::move(sound.sounds.front()), same->sounds);
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
    const auto worn = what_is_worn(plan, person, asked_of(person), wears);
    if (!worn) {
        for (ExposureRow* row : rows)
            leave_bare(*row);
        return Predicted{};
    }
    Predictor predictor(worn->attenuation, worn->rules);
    std::optional<Obstacle> obstacle_of_policy;
    const auto predicted_if_reached = [&](const ExposureRow& row) -> SharedPrediction {
        WorkMeter::spend(cost::predicted_sound);
        const ChosenMethod chosen = choose_method(*row.sound, worn->attenuation, worn->rules);
        const auto& obstacle = chosen.obstacle;
        if (!obstacle)
            return std::make_shared<const Prediction>(predictor.of(*chosen.method, *row.sound));
        if (obstacle->cause == Unavailable::Cause::Combination) {
            if (!obstacle_of_policy) obstacle_of_policy = undefined(person, chosen);
            return nullptr;
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
        return nullptr;
    };
    protect_all(rows, wearing, predicted_if_reached);
    if (obstacle_of_policy) return *obstacle_of_policy;
    warn_of_methods({plan, person, wears, worn->attenuation, worn->rules, rows}, day.warnings);
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
    Predictor predictor(worn, rules);
    protect_all(rows_of(day, person, std::nullopt), {},
                [&](const ExposureRow& row) -> SharedPrediction {
                    WorkMeter::spend(cost::predicted_sound);
                    if (find_obstacle(method, *row.sound, worn, rules)) return nullptr;
                    return std::make_shared<const Prediction>(predictor.of(method, *row.sound));
                });
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
    const auto worn = what_is_worn(plan, person, asked_of(person), wears);
    if (!worn) return sound.LAeq;
    if (!day.method || find_obstacle(*day.method, sound, worn->attenuation, worn->rules))
        return std::nullopt;
    const auto prediction = Predictor(worn->attenuation, worn->rules).of(*day.method, sound);
    // A check that is on the safe side for noise is not so for speech.
    if (is_check(prediction.form)) return std::nullopt;
    return sound.LAeq - reduction_as_fitted(prediction.reduction, wearing.poor_fit);
}

ExposureDay day_exposure(const Plan& plan, const Person& person, Trace* trace) {
    return day_exposure(plan, person, person.wears, person.wearing, trace);
}

}  // namespace earbudget
