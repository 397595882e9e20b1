#include "earbudget/decision/hearing_day.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "decision/day_warnings.hpp"
#include "earbudget/decision/choose_method.hpp"

namespace earbudget {

namespace {

/// What is worn during some rows, and how it is predicted.
struct Protection {
    const AttenuationData& worn;
    const PredictionRules& rules;
    std::optional<Method> method;
    Wearing wearing;
};

std::shared_ptr<const Prediction> predicted(const SoundLevels& sound,
                                            const Protection& protection) {
    // Only a background or other noise can still lack data here; it then counts unreduced.
    const auto& method = protection.method;
    if (!method || find_obstacle(*method, sound, protection.worn, protection.rules)) {
        return nullptr;
    }
    return std::make_shared<const Prediction>(
        predict(*method, sound, protection.worn, protection.rules));
}

void protect(HeardRow& row, const Protection& protection) {
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

/// Protects rows, predicting each sound once.
void protect_all(std::vector<HeardRow*>& rows, const Protection& protection) {
    std::map<const SoundLevels*, std::shared_ptr<const Prediction>> known;
    for (HeardRow* row : rows) {
        if (row->sound) {
            const auto [same, is_new] = known.try_emplace(row->sound.get());
            if (is_new) same->second = predicted(*row->sound, protection);
            row->prediction = same->second;
        }
        protect(*row, protection);
    }
}

std::vector<ExposurePart> parts_of(const HearingDay& day, HeardAs as) {
    std::vector<ExposurePart> parts;
    const auto course = day.course();
    parts.reserve(course.size());
    for (const std::size_t i : course)
        add_parts(day.rows[i], as, parts);
    return parts;
}

HearingDay unprotected_day(const Plan& plan, const Person& person) {
    return {.rows = unprotected_rows(plan, person),
            .sessions = person.sessions_per_day,
            .days_per_week = person.days_per_week.value_or(1.0)};
}

/// The rows that one set of protectors is worn during.
std::vector<HeardRow*> rows_of(HearingDay& day, const Person& person,
                               std::optional<std::size_t> task) {
    std::vector<HeardRow*> rows;
    for (HeardRow& row : day.rows) {
        const bool own = row.task && person.tasks[*row.task].wears;
        if (task ? row.task == task : !own) rows.push_back(&row);
    }
    return rows;
}

/// What is worn, with a fit test of this person, and the rules that hold for it.
struct WornData {
    AttenuationData attenuation;
    PredictionRules rules;
};

std::optional<WornData> what_is_worn(const Plan& plan, const Person& person,
                                     const std::vector<std::string>& wears) {
    PredictionRules rules = person.policy.rules;
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
    std::optional<Method> method = std::nullopt;  ///< none: nothing worn, or nothing to predict
    Derating derating = {};
};

/// Protects some rows of a day.
Predicted wear(const Plan& plan, const Person& person, const std::vector<std::string>& wears,
               const Wearing& wearing, std::vector<HeardRow*> rows) {
    const auto worn = what_is_worn(plan, person, wears);
    if (!worn) {
        for (HeardRow* row : rows)
            row->while_worn = row->at_ear = row->outside();
        return {};
    }
    const auto method = choose_method(plan, person, worn->rules, wears, rows, worn->attenuation);
    protect_all(
        rows,
        {.worn = worn->attenuation, .rules = worn->rules, .method = method, .wearing = wearing});
    return {method, worn->rules.derating};
}

/// What is worn during tasks that name it.
void wear_for_tasks(const Plan& plan, const Person& person, HearingDay& day) {
    for (std::size_t task = 0; task < person.tasks.size(); ++task) {
        const Task& own = person.tasks[task];
        if (!own.wears) continue;
        const Predicted worn =
            wear(plan, person, *own.wears, own.wearing, rows_of(day, person, task));
        if (!day.method) {
            day.method = worn.method;
            day.derating = worn.derating;
        }
    }
}

}  // namespace

void add_parts(const HeardRow& row, HeardAs as, std::vector<ExposurePart>& parts) {
    switch (as) {
        case HeardAs::Outside:
            parts.push_back({row.outside(), row.time});
            return;
        case HeardAs::AtEar:
            parts.push_back({row.at_ear, row.time});
            return;
        case HeardAs::AtEarByWearing:
            break;
    }
    const double worn = row.prediction ? row.fraction_worn : 1.0;
    if (worn > 0.0) parts.push_back({row.while_worn, worn * row.time});
    if (worn < 1.0) {
        parts.push_back({row.outside(), (1.0 - worn) * row.time});
    }
}

std::vector<ExposurePart> HearingDay::outside() const { return parts_of(*this, HeardAs::Outside); }

std::vector<ExposurePart> HearingDay::at_ear() const { return parts_of(*this, HeardAs::AtEar); }

std::vector<ExposurePart> HearingDay::at_ear_by_wearing() const {
    return parts_of(*this, HeardAs::AtEarByWearing);
}

std::vector<std::size_t> HearingDay::course() const {
    std::vector<std::size_t> once;
    std::vector<std::size_t> session;
    for (std::size_t i = 0; i < rows.size(); ++i)
        (rows[i].once_a_day ? once : session).push_back(i);
    once.reserve(once.size() + sessions * session.size());
    for (unsigned n = 0; n < sessions; ++n)
        once.insert(once.end(), session.begin(), session.end());
    return once;
}

HearingDay hear(const Plan& plan, const Person& person, const std::vector<std::string>& wears,
                const Wearing& wearing) {
    HearingDay day = unprotected_day(plan, person);
    day.wears = wears;
    day.wearing = wearing;
    const Predicted worn = wear(plan, person, wears, wearing, rows_of(day, person, std::nullopt));
    day.method = worn.method;
    day.derating = worn.derating;
    wear_for_tasks(plan, person, day);
    warn_of_day(plan, person, day);
    return day;
}

HearingDay hear_through(const Plan& plan, const Person& person, const AttenuationData& worn,
                        Method method, const PredictionRules& rules) {
    HearingDay day = unprotected_day(plan, person);
    day.method = method;
    auto rows = rows_of(day, person, std::nullopt);
    protect_all(rows, {.worn = worn, .rules = rules, .method = method, .wearing = {}});
    wear_for_tasks(plan, person, day);
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
                                    const HearingDay& day, const SoundLevels& sound) {
    const auto worn = what_is_worn(plan, person, wears);
    if (!worn) return sound.LAeq;
    const auto prediction = predicted(sound, {.worn = worn->attenuation,
                                              .rules = worn->rules,
                                              .method = day.method,
                                              .wearing = wearing});
    if (!prediction) return std::nullopt;
    return sound.LAeq - reduction_as_fitted(prediction->reduction, wearing.poor_fit);
}

HearingDay hear(const Plan& plan, const Person& person) {
    return hear(plan, person, person.wears, person.wearing);
}

}  // namespace earbudget
