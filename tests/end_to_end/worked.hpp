#pragma once

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "redone.hpp"
#include "support/near.hpp"
#include "support/program.hpp"
#include "support/study_folder.hpp"

namespace earbudget::test {

using nlohmann::json;

inline const std::string demo = EARBUDGET_SOURCE_DIR "/sequences/saltmarsh";
inline const std::string recordings = EARBUDGET_SOURCE_DIR "/recordings";

inline json worked(std::vector<std::string> arguments, const std::string& folder = "/") {
    arguments.insert(arguments.end(), {"--working", "--format", "json", "--date", "2026-02-28"});
    const Outcome outcome = run_program(arguments, folder);
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status <= 1);
    return json::parse(outcome.output);
}

inline json worked_study(const StudyText& text, const std::string& command = "assess") {
    const StudyFolder study(text);
    return worked({command, "plan.toml"}, study.root());
}

/// JSON prints every digit that a number has; sums of many parts round in another order.
inline constexpr double printed = 1e-9;

/// Redoes all steps of a working; returns how many by the beginning of their formulas.
inline std::map<std::string, int> redo_all(const json& working) {
    std::map<std::string, int> redone_steps;
    for (const json& step : working) {
        const auto again = redone(step);
        if (!again) continue;
        CAPTURE(step.dump(1));
        const double result = step["result"];
        // A time is rounded down to a thousandth of a second, at which either side may fall.
        const double tolerance =
            step["unit"] == "s" ? 0.0011 : printed * std::max(1.0, std::abs(result));
        CHECK(near(*again, result, tolerance, Because::Arithmetic));
        ++redone_steps[step["formula"].get<std::string>()];
    }
    return redone_steps;
}

inline int redone_with(const json& working, const std::string& begin) {
    int count = 0;
    for (const auto& [formula, steps] : redo_all(working)) {
        if (formula.starts_with(begin)) count += steps;
    }
    return count;
}

/// The numbers of an object as keys of a working, nulls left out.
inline void collect(const json& value, const std::string& key, std::set<std::string>& keys) {
    if (value.is_object()) {
        for (const auto& [name, member] : value.items())
            collect(member, key.empty() ? name : key + "." + name, keys);
    } else if (value.is_array()) {
        for (std::size_t n = 0; n < value.size(); ++n)
            collect(value[n], key + "[" + std::to_string(n) + "]", keys);
    } else if (value.is_number()) {
        keys.insert(key);
    }
}

inline void check_every_number_is_worked(const json& person) {
    std::set<std::string> keys;
    for (const char* part : {"exposure", "criteria", "segments", "drivers", "methods"})
        collect(person[part], part, keys);
    std::set<std::string> worked_out;
    for (const json& step : person["working"]) {
        CHECK(!step["source"].get<std::string>().empty());
        CHECK(!step["formula"].get<std::string>().empty());
        for (const std::string key : step["of"]) {
            worked_out.insert(key);
            std::string pointer = "/" + key;
            for (std::size_t n = 0; n < pointer.size(); ++n) {
                if (pointer[n] == '.' || pointer[n] == '[') pointer[n] = '/';
            }
            std::erase(pointer, ']');
            CAPTURE(pointer);
            REQUIRE(person.contains(json::json_pointer(pointer)));
            const json& number = person[json::json_pointer(pointer)];
            if (step["result"].is_string()) continue;  // a table whose last column it is
            CAPTURE(step.dump(1));
            CHECK(number == step["result"]);
        }
    }
    for (const std::string& key : keys) {
        // What the plan states: nothing to work out.
        if (key.ends_with(".seconds") && key.starts_with("segments")) continue;
        if (key.ends_with(".task")) continue;
        // On the card, unless a room's difference is between.
        if (key.ends_with("].LAeq_dB")) continue;
        CAPTURE(key);
        CHECK(worked_out.contains(key));
    }
}

}  // namespace earbudget::test
