#include "files/criterion_reader.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "files/ids.hpp"
#include "files/limits.hpp"
#include "files/sequence_card.hpp"

namespace earbudget::files {

namespace {

constexpr NumberRange criterion_level_range{40.0, 140.0, "dB"};
constexpr NumberRange exchange_range{1.0, 10.0, "dB"};
constexpr NumberRange hours_range{0.01, 168.0, "h"};
constexpr NumberRange peak_range{90.0, 190.0, "dB"};

const std::vector<std::string> criterion_keys = {
    "id",         "title",    "level_dB", "exchange_dB",     "hours", "weekly", "threshold_dB",
    "ceiling_dB", "peak_dBC", "peak_dB",  "with_protection", "for",   "source"};

std::vector<Role> read_roles(TableReader& table) {
    const auto names = table.texts("for");
    // Who accompanies a participant is no worker and no subject: only where the plan says so.
    if (!names) return {Role::Participant, Role::Staff};
    if (names->value.empty())
        table.report("for", fmt::format("is empty; accepted: {}", accepted_roles));
    std::vector<Role> result;
    for (const auto& name : names->value)
        table.errors().attempt([&] { result.push_back(role_named(name)); });
    return result;
}

std::optional<PeakLimit> read_peak_limit(TableReader& table) {
    const auto C = table.number("peak_dBC", peak_range);
    const auto unweighted = table.number("peak_dB", peak_range);
    if (C && unweighted) {
        table.refuse("peak_dB", "stands beside peak_dBC; accepted: one of them");
    }
    if (C) return PeakLimit{pressure_of(PeakLevelC(C->value)), PeakLimit::Weighting::C};
    if (!unweighted) return std::nullopt;
    return PeakLimit{pressure_of(PeakLevelZ(unweighted->value)), PeakLimit::Weighting::None};
}

Criterion read_criterion(TableReader& table, const std::string& id) {
    const auto title = table.text("title");
    const auto source = table.text("source");
    LevelA level{0.0};
    table.errors().attempt(
        [&] { level = LevelA(table.require_number("level_dB", criterion_level_range).value); });
    Criterion criterion{
        .id = id,
        .title = title ? title->value : id,
        .quantity = ExposureQuantity::Dose,
        .rule = {.level = level, .exchange = LevelDifference(3.0), .hours = Hours(8)},
        .roles = read_roles(table),
        .source = source ? source->value : "the plan, which states no source",
    };
    if (const auto exchange = table.number("exchange_dB", exchange_range)) {
        criterion.rule.exchange = LevelDifference(exchange->value);
    }
    if (const auto hours = table.number("hours", hours_range)) {
        criterion.rule.hours = Hours(hours->value);
    }
    if (const auto threshold = table.number("threshold_dB", criterion_level_range)) {
        criterion.rule.threshold = LevelA(threshold->value);
    }
    if (const auto ceiling = table.number("ceiling_dB", criterion_level_range)) {
        criterion.rule.ceiling = LevelA(ceiling->value);
    }
    if (const auto weekly = table.boolean("weekly"); weekly && weekly->value) {
        table.attempt([&] {
            if (!table.has("hours"))
                table.refuse("weekly", "needs the hours of a week; accepted: with \"hours\"");
        });
        criterion.quantity = ExposureQuantity::WeeklyDose;
    }
    if (const auto flag = table.boolean("with_protection")) criterion.with_protection = flag->value;
    table.attempt([&] { criterion.peak = read_peak_limit(table); });
    if (criterion.peak && criterion.peak->weighting == PeakLimit::Weighting::C) {
        criterion.peak->at_ear = criterion.with_protection;
    }
    return criterion;
}

std::vector<std::string> ids_of(std::span<const Criterion> criteria) {
    std::vector<std::string> ids;
    for (const Criterion& criterion : criteria)
        ids.push_back(criterion.id);
    return ids;
}

const Criterion* find_criterion(std::span<const Criterion> criteria, std::string_view id) {
    const auto found = std::find_if(criteria.begin(), criteria.end(),
                                    [id](const Criterion& c) { return c.id == id; });
    return found == criteria.end() ? nullptr : &*found;
}

const Criterion& criterion_named(const Located<std::string>& id,
                                 const std::vector<Criterion>& own_criteria, ErrorList& errors) {
    if (const Criterion* own = find_criterion(own_criteria, id.value)) return *own;
    if (const Criterion* known = find_published_criterion(id.value)) return *known;
    std::vector<std::string> ids = ids_of(published_criteria());
    const auto own_ids = ids_of(own_criteria);
    ids.insert(ids.end(), own_ids.begin(), own_ids.end());
    list_unknown_id(errors, "criterion", id, ids, "");
    throw AlreadyListed();
}

}  // namespace

Role role_named(const Located<std::string>& name) {
    for (const Role role : all_roles) {
        if (name_of(role) == name.value) return role;
    }
    throw InputError(name.position,
                     fmt::format("role is \"{}\"; accepted: {}", name.value, accepted_roles));
}

std::vector<Criterion> read_own_criteria(TableReader& plan) {
    std::vector<Criterion> criteria;
    for (TableReader& table :
         plan.tables("criterion", "[[criterion]]", criterion_keys, most_own_criteria)) {
        std::string id;
        if (!plan.errors().attempt([&] { id = require_id(table).value; }))
            plan.errors().lose("criterion", std::nullopt);
        if (find_criterion(criteria, id) || find_published_criterion(id)) {
            table.report("id", fmt::format("\"{}\" is taken; accepted: an id of its own", id));
            plan.errors().lose("criterion", std::nullopt);
        }
        criteria.push_back(read_criterion(table, id));
    }
    if (plan.is_misspelt("criterion")) plan.errors().lose("criterion", std::nullopt);
    return criteria;
}

void read_criteria(TableReader& table, const std::vector<Criterion>& own_criteria, Policy& policy) {
    const auto ids = table.texts("criteria");
    if (!ids) return;
    if (ids->value.empty()) table.report("criteria", "is empty; accepted: at least one criterion");
    policy.criteria.clear();
    for (const auto& id : ids->value) {
        table.errors().attempt([&] {
            const Criterion& criterion = criterion_named(id, own_criteria, table.errors());
            if (find_criterion(policy.criteria, criterion.id)) {
                throw InputError(
                    id.position,
                    fmt::format("criterion \"{}\" stands twice; accepted: each once", id.value));
            }
            policy.criteria.push_back(criterion);
        });
    }
}

void settle_criteria(Person& person) {
    Policy& policy = person.policy;
    if (policy.criteria.empty()) {
        policy.criteria_by_default = true;
        policy.criteria = default_criteria(person.role);
    }
    if (!policy.weekly_average || !person.days_per_week) return;
    for (Criterion& criterion : policy.criteria)
        criterion = averaged_over_week(std::move(criterion));
}

void add_unnamed_criteria(const std::vector<Criterion>& own_criteria, const Policy& facility,
                          std::vector<Person>& people) {
    for (const Criterion& own : own_criteria) {
        // Naming it for who it is not for is naming it for nobody.
        const auto has_it = [&own](const Person& person) {
            return own.is_for(person.role) && find_criterion(person.policy.criteria, own.id);
        };
        if (find_criterion(facility.criteria, own.id) || std::ranges::any_of(people, has_it))
            continue;
        for (Person& person : people)
            if (own.is_for(person.role)) person.policy.criteria.push_back(own);
    }
}

}  // namespace earbudget::files
