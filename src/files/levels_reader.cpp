#include "files/levels_reader.hpp"

#include <charconv>

#include <fmt/format.h>

#include "earbudget/study/sequence.hpp"

namespace earbudget::files {

namespace {

constexpr NumberRange uncertainty_range{0.0, 30.0, "dB"};

std::optional<OctaveBand> band_of_key(std::string_view key) {
    for (const OctaveBand band : octave_bands) {
        if (name_of(band) == key) return band;
    }
    return std::nullopt;
}

std::string all_band_names() {
    std::string names;
    for (const OctaveBand band : octave_bands) {
        names += fmt::format("{}\"{}\"", names.empty() ? "" : ", ", name_of(band));
    }
    return names;
}

template <quantity::MeanSquare Q>
OctaveLevels<Q> read_octaves(TableReader& levels, std::string_view key) {
    OctaveLevels<Q> octaves;
    auto table = levels.table(
        key, fmt::format("[{}.{}]", levels.name().substr(1, levels.name().size() - 2), key));
    if (!table) return octaves;
    for (const auto& band_key : table->keys()) {
        const auto band = band_of_key(band_key.value);
        if (!band) {
            throw InputError(band_key.position,
                             fmt::format("\"{}\" is not an octave band; accepted: {}",
                                         band_key.value, all_band_names()));
        }
        octaves.set(*band, Level<Q>(table->require_number(band_key.value, level_range).value));
    }
    return octaves;
}

template <class L>
std::optional<L> read_level(TableReader& table, std::string_view key) {
    const auto number = table.number(key, level_range);
    return number ? std::optional(L(number->value)) : std::nullopt;
}

}  // namespace

SoundLevels read_levels(TableReader& table) {
    const auto LAeq = read_level<LevelA>(table, "LAeq");
    SoundLevels levels{.LAeq = LAeq.value_or(LevelA(0.0))};
    levels.LCeq = read_level<LevelC>(table, "LCeq");
    levels.LCpeak = read_level<PeakLevelC>(table, "LCpeak");
    levels.LZpeak = read_level<PeakLevelZ>(table, "LZpeak");
    if (const auto uncertainty = table.number("uncertainty", uncertainty_range)) {
        levels.uncertainty = LevelDifference(uncertainty->value);
    }
    levels.octave = read_octaves<quantity::Unweighted>(table, "octave");
    levels.octave_A = read_octaves<quantity::AWeighted>(table, "octave_A");
    table.finish();
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
        const SourcePosition where = LAeq ? table.position_of("LAeq") : table.position();
        throw InputError(where, *contradiction);
    }
    return levels;
}

}  // namespace earbudget::files
