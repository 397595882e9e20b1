#include "files/policy_reader.hpp"

#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "files/criterion_reader.hpp"

namespace earbudget::files {

namespace {

constexpr NumberRange performance_range{ProtectionPerformance::lowest_percent,
                                        ProtectionPerformance::highest_percent, "percent"};
constexpr NumberRange least_useful_range{40.0, 85.0, "dB"};
constexpr NumberRange accepted_probability_range{lowest_accepted_percent, highest_accepted_percent,
                                                 "percent"};
constexpr NumberRange own_derating_range{0.0, 60.0, "dB"};
// Of a sine the peak lies 3 dB above the average.
constexpr NumberRange peak_bound_range{3.0, 60.0, "dB"};

constexpr std::array<Derating::Kind, 6> named_deratings = {
    Derating::Kind::None, Derating::Kind::Niosh, Derating::Kind::OshaHalf,
    Derating::Kind::Csa,  Derating::Kind::Uk4dB, Derating::Kind::Trlv};

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
        table.report("method",
                     fmt::format("is \"{}\"; accepted: {}", stated->value, accepted_methods()));
    }
}

void read_derating(TableReader& table, Policy& policy) {
    const TomlValue* value = table.any("derating");
    if (!value) return;
    policy.stated_at = value->position;
    if (const auto* own = std::get_if<TomlTable>(&value->content)) {
        TableReader reader(*own, value->position, "derating", {"dB"}, table.errors());
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
    table.report("derating",
                 fmt::format("is {}; accepted: {}{{ dB = … }}",
                             name ? "\"" + *name + "\"" : std::string(value->kind()), accepted));
}

void read_peak_bound(TableReader& table, Policy& policy) {
    constexpr std::string_view key = "peak_at_most_above_LAeq";
    const TomlValue* value = table.any(key);
    if (!value) return;
    if (const auto* word = std::get_if<std::string>(&value->content)) {
        if (*word != "none") {
            table.report(key,
                         fmt::format("is \"{}\"; accepted: {:g} to {:g} dB, or \"none\"", *word,
                                     peak_bound_range.lowest, peak_bound_range.highest));
        }
        policy.peak_at_most_above_LAeq = std::nullopt;
        return;
    }
    if (const auto above = table.number(key, peak_bound_range))
        policy.peak_at_most_above_LAeq = LevelDifference(above->value);
}

}  // namespace

void read_policy_keys(TableReader& table, const std::vector<Criterion>& own_criteria,
                      Policy& policy) {
    read_method(table, policy);
    table.errors().attempt([&] { read_derating(table, policy); });
    if (const auto percent = table.number("protection_performance", performance_range)) {
        policy.rules.performance = ProtectionPerformance(percent->value);
    }
    if (const auto flag = table.boolean("speech_must_be_heard")) {
        policy.speech_must_be_heard = flag->value;
    }
    if (const auto level = table.number("least_useful_dB", least_useful_range)) {
        policy.least_useful = LevelA(level->value);
    }
    if (const auto percent = table.number("accepted_probability", accepted_probability_range)) {
        policy.accepted_probability = percent->value / 100.0;
    }
    read_peak_bound(table, policy);
    if (const auto flag = table.boolean("weekly_average")) policy.weekly_average = flag->value;
    read_criteria(table, own_criteria, policy);
}

}  // namespace earbudget::files
