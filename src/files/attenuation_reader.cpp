#include "files/attenuation_reader.hpp"

#include <array>
#include <variant>

#include <fmt/format.h>

namespace earbudget::files {

namespace {

constexpr NumberRange mean_range{-20.0, 80.0, "dB"};
constexpr NumberRange deviation_range{0.0, 30.0, "dB"};
constexpr NumberRange rating_range{-20.0, 80.0, "dB"};
constexpr NumberRange frequency_range{63.0, 8000.0, "Hz"};

const std::vector<std::string> attenuation_keys = {
    "frequency", "mean", "sd", "SNR", "H", "M", "L", "NRR", "NRR_SF", "SLC80", "PAR"};

using TestBand = std::variant<OctaveBand, ExtraBand>;

TestBand band_of(const Located<double>& frequency) {
    const double Hz = frequency.value;
    // Laboratories write the nominal third-octave frequency or the older round one.
    if (Hz == 3150.0 || Hz == 3000.0) return ExtraBand::Hz3150;
    if (Hz == 6300.0 || Hz == 6000.0) return ExtraBand::Hz6300;
    const auto band = octave_band_named(Frequency(Hz));
    if (band && permitted_attenuation_bands().test(index_of(*band))) return *band;
    throw InputError(frequency.position,
                     fmt::format("{:g} Hz is not a band of attenuation data; accepted: 63, 125, "
                                 "250, 500, 1000, 2000, 4000, 8000, and for the NRR 3150 (or "
                                 "3000) and 6300 (or 6000)",
                                 Hz));
}

bool has(const OctaveAttenuation& attenuation, TestBand band) {
    if (const auto* extra = std::get_if<ExtraBand>(&band))
        return attenuation.at(*extra).has_value();
    return attenuation.has(std::get<OctaveBand>(band));
}

void set(OctaveAttenuation& attenuation, TestBand band, BandAttenuation value) {
    if (const auto* extra = std::get_if<ExtraBand>(&band)) {
        attenuation.set(*extra, value);
    } else {
        attenuation.set(std::get<OctaveBand>(band), value.mean, value.deviation);
    }
}

}  // namespace

std::vector<std::string> with_attenuation_keys(std::vector<std::string> keys) {
    keys.insert(keys.end(), attenuation_keys.begin(), attenuation_keys.end());
    return keys;
}

std::optional<OctaveAttenuation> read_octave_attenuation(TableReader& table) {
    const auto frequencies = table.numbers("frequency", frequency_range);
    const auto means = table.numbers("mean", mean_range);
    const auto deviations = table.numbers("sd", deviation_range);
    if (!frequencies && !means && !deviations) return std::nullopt;
    if (!frequencies || !means || !deviations) {
        throw InputError(table.position(),
                         fmt::format("{} has only some of \"frequency\", \"mean\" and \"sd\"; "
                                     "accepted: all three or none",
                                     table.name()));
    }
    const std::size_t size = frequencies->value.size();
    if (means->value.size() != size || deviations->value.size() != size) {
        throw InputError(
            frequencies->position,
            fmt::format("\"frequency\" has {} values, \"mean\" {} and \"sd\" {}; "
                        "accepted: as many of each{}",
                        size, means->value.size(), deviations->value.size(),
                        means->value.size() == 2 * size ? ", with decimal points" : ""));
    }
    OctaveAttenuation attenuation;
    for (std::size_t i = 0; i < size; ++i) {
        const auto& frequency = frequencies->value[i];
        table.errors().attempt([&] {
            const TestBand band = band_of(frequency);
            if (has(attenuation, band)) {
                throw InputError(
                    frequency.position,
                    fmt::format("{:g} Hz stands twice; accepted: each band once", frequency.value));
            }
            set(attenuation, band,
                {LevelDifference(means->value[i].value),
                 LevelDifference(deviations->value[i].value)});
        });
    }
    return attenuation;
}

Ratings read_ratings(TableReader& table) {
    const auto rating = [&table](std::string_view key) -> std::optional<LevelDifference> {
        const auto number = table.number(key, rating_range);
        return number ? std::optional(LevelDifference(number->value)) : std::nullopt;
    };
    return {.SNR = rating("SNR"),
            .H = rating("H"),
            .M = rating("M"),
            .L = rating("L"),
            .NRR = rating("NRR"),
            .NRR_SF = rating("NRR_SF"),
            .SLC80 = rating("SLC80"),
            .PAR = rating("PAR")};
}

}  // namespace earbudget::files
