#include "files/policy_reader.hpp"

#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "files/sequence_card.hpp"
#include "files/unknown_id.hpp"

namespace earbudget::files {

namespace {

constexpr NumberRange criterion_level_range{40.0, 140.0, "dB"};
constexpr NumberRange exchange_range{1.0, 10.0, "dB"};
constexpr NumberRange hours_range{0.01, 168.0, "h"};
constexpr NumberRange peak_range{90.0, 190.0, "dB"};
constexpr NumberRange performance_range{ProtectionPerformance::lowest_percent,
                                        ProtectionPerformance::highest_percent, "percent"};
constexpr NumberRange least_useful_range{40.0, 85.0, "dB"};
constexpr NumberRange own_derating_range{0.0, 60.0, "dB"};

const std::vector<std::string> criterion_keys = {
    "id",           "title",    "level_dB",        "exchange_dB", "hours",
    "threshold_dB", "peak_dBC", "with_protection", "for",         "source"};

constexpr std::array<Role, 2> roles = {Role::Participant, Role::Staff};
constexpr std::array<Derating::Kind, 6> named_deratings = {
    Derating::Kind::None, Derating::Kind::Niosh, Derating::Kind::OshaHalf,
    Derating::Kind::Csa,  Derating::Kind::Uk4dB, Derating::Kind::Trlv};

std::vector<Role> read_roles(TableReader& table) {
    const auto names = table.texts("for");
    if (!names) return {roles.begin(), roles.end()};
    if (names->value.empty()) table.refuse("for", "is empty; accepted: \"participant\", \"staff\"");
    std::vector<Role> result;
    for (const auto& name : names->value)
        result.push_back(role_named(name));
    return result;
}

Criterion read_criterion(TableReader& table) {
    const std::string id = require_id(table).value;
    const auto title = table.text("title");
    const auto source = table.text("source");
    Criterion criterion{
        .id = id,
        .title = title ? title->value : id,
        .quantity = ExposureQuantity::Dose,
        .rule = {.level = LevelA(table.require_number("level_dB", criterion_level_range).value),
                 .exchange = LevelDifference(3.0),
                 .hours = Hours(8)},
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
    if (const auto peak = table.number("peak_dBC", peak_range)) {
        criterion.peak = PeakLimit{pressure_of(PeakLevelC(peak->value)), PeakLimit::Weighting::C};
    }
    if (const auto flag = table.boolean("with_protection")) criterion.with_protection = flag->value;
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
                                 const std::vector<Criterion>& own_criteria) {
    if (const Criterion* own = find_criterion(own_criteria, id.value)) return *own;
    if (const Criterion* known = find_criterion(published_criteria(), id.value)) return *known;
    std::vector<std::string> ids = ids_of(published_criteria());
    const auto own_ids = ids_of(own_criteria);
    ids.insert(ids.end(), own_ids.begin(), own_ids.end());
    throw unknown_id("criterion", id, ids, "");
}

std::string accepted_methods() {
    std::string names;
    for (const Method method : methods_best_first)
        names += fmt::format("\"{}\", ", name_of(method));
    return names + "\"best\"";
}

void read_method(TableReader& table, Policy& policy) {
    const auto stated = table.text("method", accepted_methods());
    if (!stated) return;
    policy.stated_at = stated->position;
    policy.rules.method = std::nullopt;
    if (stated->value == "best") return;
    for (const Method method : methods_best_first) {
        if (name_of(method) == stated->value) policy.rules.method = method;
    }
    if (!policy.rules.method) {
        table.refuse("method",
                     fmt::format("is \"{}\"; accepted: {}", stated->value, accepted_methods()));
    }
}

void read_derating(TableReader& table, Policy& policy) {
    const TomlValue* value = table.any("derating");
    if (!value) return;
    policy.stated_at = value->position;
    if (const auto* own = std::get_if<TomlTable>(&value->content)) {
        TableReader reader(*own, value->position, "derating", {"dB"});
        policy.rules.derating = {
            .kind = Derating::Kind::Own,
            .own = LevelDifference(reader.require_number("dB", own_derating_range).value)};
        return;
    }
    std::string accepted;
    const auto* name = std::get_if<std::string>(&value->content);
    for (const Derating::Kind kind : named_deratings) {
        if (name && *name == name_of(kind)) {
            policy.rules.derating = {.kind = kind};
            return;
        }
        accepted += fmt::format("\"{}\", ", name_of(kind));
    }
    table.refuse("derating",
                 fmt::format("is {}; accepted: {}{{ dB = … }}",
                             name ? "\"" + *name + "\"" : std::string(value->kind()), accepted));
}

}  // namespace

Role role_named(const Located<std::string>& name) {
    for (const Role role : roles) {
        if (name_of(role) == name.value) return role;
    }
    throw InputError(name.position, fmt::format("role is \"{}\"; accepted: \"participant\", "
                                                "\"staff\"",
                                                name.value));
}

std::vector<Criterion> read_own_criteria(TableReader& plan) {
    std::vector<Criterion> criteria;
    for (TableReader& table : plan.tables("criterion", "[[criterion]]", criterion_keys)) {
        Criterion criterion = read_criterion(table);
        if (find_criterion(criteria, criterion.id) ||
            find_criterion(published_criteria(), criterion.id)) {
            table.refuse("id",
                         fmt::format("\"{}\" is taken; accepted: an id of its own", criterion.id));
        }
        criteria.push_back(std::move(criterion));
    }
    return criteria;
}

std::vector<Criterion> default_criteria() {
    const auto published = published_criteria();
    std::vector<Criterion> criteria;
    for (const std::string_view id : {"niosh-rel", "eu-limit", "iec-60601-2-33"}) {
        criteria.push_back(*find_criterion(published, id));
    }
    return criteria;
}

void read_policy_keys(TableReader& table, const std::vector<Criterion>& own_criteria,
                      Policy& policy) {
    read_method(table, policy);
    read_derating(table, policy);
    if (const auto percent = table.number("protection_performance", performance_range)) {
        policy.rules.performance = ProtectionPerformance(percent->value);
    }
    if (const auto flag = table.boolean("speech_must_be_heard")) {
        policy.speech_must_be_heard = flag->value;
    }
    if (const auto level = table.number("least_useful_dB", least_useful_range)) {
        policy.least_useful = LevelA(level->value);
    }
    const auto ids = table.texts("criteria");
    if (!ids) return;
    if (ids->value.empty()) table.refuse("criteria", "is empty; accepted: at least one criterion");
    policy.criteria.clear();
    for (const auto& id : ids->value) {
        const Criterion& criterion = criterion_named(id, own_criteria);
        if (find_criterion(policy.criteria, criterion.id)) {
            throw InputError(id.position, fmt::format("criterion \"{}\" stands twice; accepted: "
                                                      "each once",
                                                      id.value));
        }
        policy.criteria.push_back(criterion);
    }
}

}  // namespace earbudget::files
