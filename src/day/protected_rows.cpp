#include "day/protected_rows.hpp"

#include <algorithm>
#include <map>

#include "computing/work_costs.hpp"
#include "earbudget/computing/work_meter.hpp"

namespace earbudget {

AskedOfPerson asked_of(const Person& person) { return {person.policy.rules, person.PAR}; }

AskedOfPerson asked_of(const Person& person, Method method) {
    AskedOfPerson asked = asked_of(person);
    asked.rules.method = method;
    if (!is_defined(asked.rules.derating.kind, method)) asked.rules.derating = {};
    if (method != Method::Par) asked.PAR.reset();
    return asked;
}

std::vector<std::string> what_counts(const Catalogue& catalogue, const Person& person,
                                     const std::vector<std::string>& wears) {
    std::vector<std::string> counting = wears;
    if (person.unfitted_ear) {
        std::erase_if(counting, [&](const std::string& id) {
            return !catalogue.find(id)->protector.is_earmuff();
        });
    }
    return counting;
}

std::optional<WornData> what_is_worn(const Plan& plan, const Person& person,
                                     const AskedOfPerson& asked,
                                     const std::vector<std::string>& stated) {
    const std::vector<std::string> wears = what_counts(plan.catalogue, person, stated);
    const PredictionRules& rules = asked.rules;
    if (wears.size() > 1) WorkMeter::spend(cost::of_pairs(plan.catalogue.pairs.size()));
    auto attenuation = attenuation_of(plan.catalogue, wears, rules.performance.alpha());
    if (!attenuation) return std::nullopt;
    WornData worn{*std::move(attenuation), rules};
    // A fit test tells about the protector that was tested, which is the one the person wears.
    if (asked.PAR && are_same_set(wears, person.wears)) {
        worn.attenuation.ratings.PAR = asked.PAR;
        // The pair was tested on this person.
        worn.attenuation.estimated_pair = false;
        worn.attenuation.one_unknown = false;
        worn.rules.method = Method::Par;
        if (!is_defined(rules.derating.kind, Method::Par)) worn.rules.derating = {};
    }
    return worn;
}

std::vector<ExposureRow*> rows_of(ExposureDay& day, const Person& person,
                                  std::optional<std::size_t> task) {
    std::vector<ExposureRow*> rows;
    rows.reserve(day.rows.size());
    for (ExposureRow& row : day.rows) {
        const bool own = row.task && person.tasks[*row.task].wears;
        if (task ? row.task == task : !own) rows.push_back(&row);
    }
    return rows;
}

void leave_bare(ExposureRow& row) { row.while_worn = row.at_ear = row.outside(); }

void protect(ExposureRow& row, const Wearing& wearing) {
    row.with_protector = true;
    row.fraction_worn = wearing.fraction_of_time;
    row.poor_fit = wearing.poor_fit;
    leave_bare(row);
    if (!row.prediction) return;
    row.while_worn = row.with_unreduced(
        row.sound->LAeq - reduction_as_fitted(row.prediction->reduction, wearing.poor_fit));
    row.at_ear = level_over_wearing_time(*row.outside(), *row.while_worn, row.fraction_worn);
}

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

}  // namespace earbudget
