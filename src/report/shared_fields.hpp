#pragma once

#include <string>
#include <vector>

#include "earbudget/acoustics/sound_levels.hpp"
#include "earbudget/day/methods.hpp"
#include "report/fields.hpp"
#include "report/record.hpp"
#include "report/words/words.hpp"
#include "report/working.hpp"

namespace earbudget::report {

// What several reports share.

/// Which program made a report.
struct Program {};

/// A plan with the file that it was read from.
struct PlanFile {
    std::string title;
    SourceFile file;
};

/// A record without what it says of draws and sources.
struct RecordOfFiles {
    const Record& record;
};

/// The examples that an answer rests on.
struct ExamplesUsed {
    const Record& record;
};

/// What every method says of one day: each, and the lowest, the highest and the policy's.
struct EveryMethod {
    const std::vector<MethodOutcome>& each;
};

template <>
FieldTable<Program> describe();
template <>
FieldTable<PlanFile> describe();
template <>
FieldTable<SourceFile> describe();
template <>
FieldTable<RecordOfFiles> describe();
template <>
FieldTable<ExamplesUsed> describe();
template <>
FieldTable<DrawSettings> describe();
template <>
FieldTable<RulesUsed> describe();
template <>
FieldTable<EveryMethod> describe();
template <>
FieldTable<WorkingStep> describe();

/// As what it says.
template <>
struct InJson<Message> {
    static void write(const Message& message, const Note& /*note*/, JsonText& to) {
        to.text(text_of(message));
    }
    static Shape shape() { return {.kind = Shape::Kind::Text}; }
};

inline constexpr std::string_view means_working =
    "with --working: the steps by which the numbers came about, in the order in which they build "
    "on one another";
inline constexpr std::string_view means_cautions = "to be read with every decision";

template <>
inline constexpr std::string_view shared_as<Verdict> = "common.schema.json#/$defs/verdict";
template <>
inline constexpr std::string_view shared_as<Method> = "common.schema.json#/$defs/method";

/// Numbers rounded to so many decimals.
[[nodiscard]] inline Note rounded_to(int decimals, std::optional<double> min = std::nullopt) {
    return {.min = min, .decimals = decimals};
}
[[nodiscard]] inline Note probability() { return {.min = 0.0, .max = 1.0}; }
[[nodiscard]] inline Note percentage() { return {.min = 0.0, .max = 100.0}; }
[[nodiscard]] inline Note at_least(double min) { return {.min = min}; }

/// The name of the command that made a report.
template <class T>
[[nodiscard]] Field<T> command(std::string_view name) {
    return {"command", [name](const T&) { return name; }, {.one_of = name}};
}

/// Levels by octave band: those that are known.
template <class Levels>
[[nodiscard]] auto known_bands(const Levels& levels) {
    Map<typename Levels::BandLevel> map;
    for (const OctaveBand band : octave_bands) {
        if (const auto level = levels.at(band)) map.emplace_back(name_of(band), *level);
    }
    return map;
}

/// Levels by octave band: all, null where there is none.
template <class Levels>
[[nodiscard]] auto all_bands(const Levels& levels) {
    Map<std::optional<typename Levels::BandLevel>> map;
    for (const OctaveBand band : octave_bands)
        map.emplace_back(name_of(band), levels.at(band));
    return map;
}

/// The source of what is known.
template <class V>
[[nodiscard]] std::optional<std::string_view> source_of_known(const std::optional<V>& value) {
    return value ? std::optional(source_of(*value)) : std::nullopt;
}

/// What a schema says of such a map.
[[nodiscard]] Note by_octave_band(int decimals = -1);

}  // namespace earbudget::report
