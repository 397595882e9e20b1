#pragma once

#include <cmath>
#include <optional>

#include <nlohmann/json.hpp>

#include "earbudget/acoustics/duration.hpp"
#include "earbudget/acoustics/level_difference.hpp"

namespace earbudget::report {

// Values that may be absent, as JSON: null where there is none.

/// A level or a difference, dB.
template <class L>
[[nodiscard]] nlohmann::ordered_json decibels(const std::optional<L>& level) {
    if (!level) return nullptr;
    return level->dB();
}

template <class T>
[[nodiscard]] nlohmann::ordered_json number(const std::optional<T>& value) {
    if (!value) return nullptr;
    return *value;
}

[[nodiscard]] inline nlohmann::ordered_json seconds(const std::optional<Seconds>& time) {
    if (!time) return nullptr;
    return time->count();
}

/// What was solved in tenths of a decibel, without what binary fractions add.
[[nodiscard]] inline nlohmann::ordered_json tenths(const std::optional<LevelDifference>& level) {
    if (!level) return nullptr;
    return std::round(level->dB() * 10.0) / 10.0;
}

}  // namespace earbudget::report
