#include <cmath>

#include <fmt/format.h>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/study/level_checks.hpp"
#include "files/readers.hpp"

namespace earbudget::files {

namespace {

template <quantity::MeanSquare Q>
OctaveLevels<Q> read_octaves(TableReader& levels, std::string_view key) {
    OctaveLevels<Q> octaves;
    auto table = levels.table(key);
    if (!table) return octaves;
    for (const OctaveBand band : octave_bands)
        if (const auto level = table->number(name_of(band)))
            octaves.set(band, Level<Q>(level->value));
    return octaves;
}

// Of what is stated to a tenth of a decibel.
constexpr double agreement_of_parts = 0.1;

void read_uncertainty(TableReader& table, SoundLevels& levels) {
    auto stated = table.table("uncertainty_parts");
    if (!stated) return;
    UncertaintyParts parts;
    stated->put("instrument", parts.instrument);
    stated->put("position", parts.position);
    stated->put("run", parts.run);
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
    std::optional<LevelA> LAeq = LAeq_of_samples;
    if (!LAeq) table.put("LAeq", LAeq);
    levels.LAeq = LAeq.value_or(LevelA(0.0));
    for_each_level_key(levels, [&](std::string_view key, auto& value) { table.put(key, value); });
    read_uncertainty(table, levels);
    levels.octave = read_octaves<quantity::Unweighted>(table, "octave");
    levels.octave_A = read_octaves<quantity::AWeighted>(table, "octave_A");
    if (!LAeq) {
        const auto sum = levels.a_weighted_octaves().sum();
        if (!sum) {
            throw InputError(table.position(),
                             fmt::format("{} has neither \"LAeq\" nor octave-band levels; "
                                         "accepted: at least one of them",
                                         table.name()));
        }
        levels.LAeq = *sum;
    }
    if (const auto contradiction = contradiction_in(levels)) {
        throw InputError(table.position_of(contradiction->key), contradiction->text);
    }
}

}  // namespace

SoundLevels read_levels(TableReader& table, std::optional<LevelA> LAeq_of_samples) {
    SoundLevels levels{.LAeq = LevelA(0.0)};
    table.attempt([&] { read_levels(table, LAeq_of_samples, levels); });
    return levels;
}

}  // namespace earbudget::files
