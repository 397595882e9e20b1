#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "earbudget/day/criteria_of_person.hpp"
#include "files/ids.hpp"
#include "files/study_files.hpp"
#include "files/text_inputs.hpp"

namespace earbudget::files {

namespace {

std::vector<Role> read_roles(TableReader& table) {
    const std::size_t before = table.errors().size();
    auto roles = table.choices("for", role_rows);
    // Who accompanies a participant is no worker and no subject: only where the plan says so.
    if (!roles) return {Role::Participant, Role::Staff};
    if (roles->empty() && table.errors().size() == before)
        table.report("for", "is empty; accepted: " + accepted_by(criterion_keys.at("for")));
    return *std::move(roles);
}

std::optional<PeakLimit> read_peak_limit(TableReader& table) {
    const auto C = table.number("peak_dBC");
    const auto unweighted = table.number("peak_dB");
    if (C && unweighted) {
        table.refuse("peak_dB", "stands beside peak_dBC; accepted: one of them");
    }
    if (C) return PeakLimit{pressure_of(PeakLevelC(C->value)), PeakLimit::Weighting::C};
    if (!unweighted) return std::nullopt;
    return PeakLimit{pressure_of(PeakLevelZ(unweighted->value)), PeakLimit::Weighting::None};
}

Criterion read_criterion(TableReader& table, const std::string& id) {
    LevelA level{0.0};
    table.errors().attempt([&] { level = LevelA(table.require_number("level_dB").value); });
    Criterion criterion{
        .id = id,
        .title = id,
        .quantity = ExposureQuantity::Dose,
        .rule = {.level = level, .exchange = LevelDifference(3.0), .hours = Hours(8)},
        .roles = read_roles(table),
        .source = "the plan, which states no source",
    };
    table.put("title", criterion.title);
    table.put("source", criterion.source);
    table.put("exchange_dB", criterion.rule.exchange);
    table.put("hours", criterion.rule.hours);
    table.put("threshold_dB", criterion.rule.threshold);
    table.put("ceiling_dB", criterion.rule.ceiling);
    if (const auto weekly = table.boolean("weekly"); weekly && weekly->value) {
        table.attempt([&] {
            if (!table.has("hours"))
                table.refuse("weekly", "needs the hours of a week; accepted: with \"hours\"");
        });
        criterion.quantity = ExposureQuantity::WeeklyDose;
    }
    table.put("with_protection", criterion.with_protection);
    table.attempt([&] { criterion.peak = read_peak_limit(table); });
    if (criterion.peak && criterion.peak->weighting == PeakLimit::Weighting::C) {
        criterion.peak->at_ear = criterion.with_protection;
    }
    return criterion;
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

void read_method(TableReader& table, Policy& policy) {
    const auto stated = table.text("method");
    if (!stated) return;
    policy.stated_at = stated->position;
    policy.rules.method = table.choice("method", method_rows);  // none for "best"
}

void read_derating(TableReader& table, Policy& policy) {
    const TomlValue* value = table.any("derating");
    if (!value) return;
    policy.stated_at = value->position;
    if (const auto* own = std::get_if<TomlTable>(&value->content)) {
        TableReader reader(*own, value->position, "derating", derating_keys, table.errors());
        policy.rules.derating = {.kind = Derating::Kind::Own,
                                 .own = LevelDifference(reader.require_number("dB").value)};
    } else if (const auto name = table.text("derating")) {
        if (const auto kind = derating_named(name->value)) policy.rules.derating = {.kind = *kind};
    }
}

void read_peak_bound(TableReader& table, Policy& policy) {
    constexpr std::string_view key = "peak_at_most_above_LAeq";
    const TomlValue* value = table.any(key);
    if (value && std::holds_alternative<std::string>(value->content)) {
        if (table.text(key)) policy.peak_at_most_above_LAeq = std::nullopt;
    } else {
        table.put(key, policy.peak_at_most_above_LAeq);
    }
}

}  // namespace

std::vector<Criterion> read_own_criteria(TableReader& plan) {
    std::vector<Criterion> criteria;
    for (TableReader& table : plan.tables("criterion")) {
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
        policy.criteria = default_criteria(person.role, person.age_group.value_or(AgeGroup::Adult));
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

void read_policy_keys(TableReader& table, const std::vector<Criterion>& own_criteria,
                      Policy& policy) {
    read_method(table, policy);
    table.errors().attempt([&] { read_derating(table, policy); });
    table.put("protection_performance", policy.rules.performance);
    table.put("speech_must_be_heard", policy.speech_must_be_heard);
    table.put("least_useful_dB", policy.least_useful);
    if (const auto percent = table.number("accepted_probability"))
        policy.accepted_probability = percent->value / 100.0;
    read_peak_bound(table, policy);
    table.put("weekly_average", policy.weekly_average);
    read_criteria(table, own_criteria, policy);
}

}  // namespace earbudget::files
