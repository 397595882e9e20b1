#include "files/levels_reader.hpp"

#include <cmath>

#include <fmt/format.h>

#include "earbudget/acoustics/arithmetic_slack.hpp"
#include "earbudget/study/level_checks.hpp"

namespace earbudget::files {

namespace {

constexpr NumberRange uncertainty_range{0.0, highest_uncertainty.dB(), "dB"};

/// A sub-table of levels: "[levels.octave]".
std::string name_below(const TableReader& levels, std::string_view key) {
    const std::string_view parent = std::string_view(levels.name()).substr(1);
    return fmt::format("[{}.{}]", parent.substr(0, parent.size() - 1), key);
}

template <quantity::MeanSquare Q>
OctaveLevels<Q> read_octaves(TableReader& levels, std::string_view key) {
    OctaveLevels<Q> octaves;
    auto table = levels.table(key, name_below(levels, key), band_names());
    if (!table) return octaves;
    for (const OctaveBand band : octave_bands) {
        if (const auto level = table->number(name_of(band), level_range)) {
            octaves.set(band, Level<Q>(level->value));
        }
    }
    return octaves;
}

template <class L>
std::optional<L> read_level(TableReader& table, std::string_view key) {
    const auto number = table.number(key, level_range);
    return number ? std::optional(L(number->value)) : std::nullopt;
}

// Of what is stated to a tenth of a decibel.
constexpr double agreement_of_parts = 0.1;

void read_uncertainty(TableReader& table, SoundLevels& levels) {
    if (const auto uncertainty = table.number("uncertainty", uncertainty_range)) {
        levels.uncertainty = LevelDifference(uncertainty->value);
    }
    auto stated = table.table("uncertainty_parts", name_below(table, "uncertainty_parts"),
                              {"instrument", "position", "run"});
    if (!stated) return;
    UncertaintyParts parts;
    const auto read = [&](std::string_view key, LevelDifference& part) {
        if (const auto number = stated->number(key, uncertainty_range)) {
            part = LevelDifference(number->value);
        }
    };
    read("instrument", parts.instrument);
    read("position", parts.position);
    read("run", parts.run);
    const double combined = parts.combined().dB();
    const double whole = levels.uncertainty.value_or(parts.combined()).dB();
    if (std::abs(whole - combined) > agreement_of_parts + arithmetic_slack) {
        throw InputError(
            stated->position(),
            fmt::format("the parts of the uncertainty combine to {:.2f} dB, but \"uncertainty\" is "
                        "{:.2f} dB; accepted: parts whose root of the sum of the squares is within "
                        "{:.1f} dB of it, or no \"uncertainty\"",
                        combined, whole, agreement_of_parts));
    }
    levels.uncertainty = LevelDifference(whole);
    levels.uncertainty_parts = parts;
}

/// Throws InputError for levels that are missing or contradict each other.
void read_levels(TableReader& table, std::optional<LevelA> LAeq_of_samples, SoundLevels& levels) {
    const auto LAeq = LAeq_of_samples ? LAeq_of_samples : read_level<LevelA>(table, "LAeq");
    levels.LAeq = LAeq.value_or(LevelA(0.0));
    levels.LCeq = read_level<LevelC>(table, "LCeq");
    levels.LCpeak = read_level<PeakLevelC>(table, "LCpeak");
    levels.LZpeak = read_level<PeakLevelZ>(table, "LZpeak");
    read_uncertainty(table, levels);
    levels.octave = read_octaves<quantity::Unweighted>(table, "octave");
    levels.octave_A = read_octaves<quantity::AWeighted>(table, "octave_A");
    if (const auto low = table.boolean("low_frequency")) levels.low_frequency = low->value;
    if (!LAeq) {
        const auto sum = levels.a_weighted_octaves().sum();
        if (!sum) {
            throw InputError(
                table.position(),
                fmt::format("{} has neither \"LAeq\" nor octave-band levels; accepted: "
                            "at least one of them",
                            table.name()));
        }
        levels.LAeq = *sum;
    }
    if (const auto contradiction = contradiction_in(levels)) {
        throw InputError(table.position_of(contradiction->key), contradiction->text);
    }
}

}  // namespace

std::vector<std::string> band_names() {
    return {octave_band_names.begin(), octave_band_names.end()};
}

SoundLevels read_levels(TableReader& table, std::optional<LevelA> LAeq_of_samples) {
    SoundLevels levels{.LAeq = LevelA(0.0)};
    table.attempt([&] { read_levels(table, LAeq_of_samples, levels); });
    return levels;
}

}  // namespace earbudget::files
