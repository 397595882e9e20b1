#include "day/levels_by_method.hpp"

#include <utility>

#include "computing/work_costs.hpp"
#include "earbudget/computing/work_meter.hpp"
#include "earbudget/day/methods.hpp"
#include "protection/predictor.hpp"

namespace earbudget {

LevelsByMethod::LevelsByMethod(const Plan& plan, const Person& person,
                               const std::vector<std::string>& wears, const Wearing& wearing)
    : plan_(plan), person_(person), wears_(wears), wearing_(wearing) {
    auto rows = unprotected_rows(plan, person);
    if (!rows) {
        obstacle_ = true;
        return;
    }
    day_ = {.rows = *std::move(rows),
            .sessions = person.sessions_per_day,
            .days_per_week = person.days_per_week.value_or(1.0)};
}

const ExposureDay* LevelsByMethod::by(const AskedOfPerson& asked) {
    WorkMeter::spend(cost::exposure_row * static_cast<double>(number_of_rows(plan_, person_)));
    if (obstacle_) return nullptr;
    day_.method = std::nullopt;
    if (!wear(asked, wears_, wearing_, std::nullopt)) return nullptr;
    for (std::size_t task = 0; task < person_.tasks.size(); ++task) {
        const Task& own = person_.tasks[task];
        if (own.wears && !wear(asked, *own.wears, own.wearing, task)) return nullptr;
    }
    return &day_;
}

bool LevelsByMethod::wear(const AskedOfPerson& asked, const std::vector<std::string>& wears,
                          const Wearing& wearing, std::optional<std::size_t> task) {
    const auto rows = rows_of(day_, person_, task);
    const auto worn = what_is_worn(plan_, person_, asked, wears);
    if (!worn) {
        for (ExposureRow* row : rows)
            leave_bare(*row);
        return true;
    }
    Predictor predictor(worn->attenuation, worn->rules);
    bool in_the_way = false;
    protect_all(rows, wearing, [&](const ExposureRow& row) -> std::shared_ptr<const Prediction> {
        if (in_the_way) return nullptr;
        WorkMeter::spend(cost::predicted_sound);
        const ChosenMethod chosen = choose_method(*row.sound, worn->attenuation, worn->rules);
        if (!chosen.obstacle)
            return std::make_shared<const Prediction>(predictor.of(*chosen.method, *row.sound));
        in_the_way = row.sequence || chosen.obstacle->cause == Unavailable::Cause::Combination;
        return nullptr;
    });
    if (!day_.method) day_.method = method_of_most(day_, rows);
    return !in_the_way;
}

}  // namespace earbudget
