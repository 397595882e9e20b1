#include "files/protector_catalogue.hpp"

#include <array>

#include <fmt/format.h>

#include "files/canal_size.hpp"
#include "files/file_kind.hpp"
#include "files/sequence_card.hpp"
#include "files/table_reader.hpp"
#include "files/unknown_id.hpp"

namespace earbudget::files {

namespace {

constexpr NumberRange mean_range{-20.0, 80.0, "dB"};
constexpr NumberRange deviation_range{0.0, 30.0, "dB"};
constexpr NumberRange rating_range{-20.0, 80.0, "dB"};
constexpr NumberRange frequency_range{63.0, 8000.0, "Hz"};

// What a protector and a pair can both state.
const std::vector<std::string> attenuation_keys = {
    "frequency", "mean", "sd", "SNR", "H", "M", "L", "NRR", "NRR_SF", "SLC80", "PAR"};

std::vector<std::string> with_attenuation_keys(std::vector<std::string> keys) {
    keys.insert(keys.end(), attenuation_keys.begin(), attenuation_keys.end());
    return keys;
}

constexpr std::array<ProtectorType, 5> types = {
    ProtectorType::FoamPlug, ProtectorType::PremouldedPlug, ProtectorType::CustomPlug,
    ProtectorType::CanalCap, ProtectorType::Earmuff};

std::string accepted_types() {
    std::string names;
    for (const ProtectorType type : types) {
        names += fmt::format("{}\"{}\"", names.empty() ? "" : ", ", name_of(type));
    }
    return names;
}

ProtectorType read_type(TableReader& table) {
    const auto stated = table.require_text("type", accepted_types());
    for (const ProtectorType type : types) {
        if (name_of(type) == stated.value) return type;
    }
    table.refuse("type", fmt::format("is \"{}\"; accepted: {}", stated.value, accepted_types()));
}

OctaveBand band_of(const Located<double>& frequency) {
    const auto band = octave_band_named(Frequency(frequency.value));
    if (band && permitted_attenuation_bands().test(index_of(*band))) return *band;
    throw InputError(frequency.position,
                     fmt::format("{:g} Hz is not an octave band of attenuation data; accepted: 63, "
                                 "125, 250, 500, 1000, 2000, 4000, 8000",
                                 frequency.value));
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
        throw InputError(frequencies->position,
                         fmt::format("\"frequency\" has {} values, \"mean\" {} and \"sd\" {}; "
                                     "accepted: as many of each",
                                     size, means->value.size(), deviations->value.size()));
    }
    OctaveAttenuation attenuation;
    for (std::size_t i = 0; i < size; ++i) {
        const OctaveBand band = band_of(frequencies->value[i]);
        if (attenuation.has(band)) {
            throw InputError(
                frequencies->value[i].position,
                fmt::format("{} Hz stands twice; accepted: each band once", name_of(band)));
        }
        attenuation.set(band, LevelDifference(means->value[i].value),
                        LevelDifference(deviations->value[i].value));
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

std::vector<CanalSize> read_canal_sizes(TableReader& table) {
    std::vector<CanalSize> sizes;
    const auto names = table.texts("canal");
    if (!names) return sizes;
    for (const auto& name : names->value)
        sizes.push_back(canal_size_named(name));
    return sizes;
}

std::optional<bool> read_flag(TableReader& table, std::string_view key) {
    const auto flag = table.boolean(key);
    return flag ? std::optional(flag->value) : std::nullopt;
}

CatalogueEntry read_protector(TableReader& table, const Catalogue& so_far) {
    const auto id = require_id(table);
    if (const CatalogueEntry* other = so_far.find(id.value)) {
        table.refuse("id", fmt::format("\"{}\" stands twice, first at {}; accepted: each id once",
                                       id.value, other->stated_at.text()));
    }
    const auto title = table.text("title");
    CatalogueEntry entry{.protector = {.id = id.value,
                                       .title = title ? title->value : id.value,
                                       .type = read_type(table),
                                       .fits_head_coil = read_flag(table, "fits_head_coil"),
                                       .metal_free = read_flag(table, "metal_free"),
                                       .canal = read_canal_sizes(table),
                                       .octave = read_octave_attenuation(table),
                                       .ratings = read_ratings(table)},
                         .stated_at = table.position()};
    return entry;
}

MeasuredPair read_pair(TableReader& table, const Catalogue& catalogue) {
    const auto ids = table.texts("protectors");
    if (!ids || ids->value.size() != 2) {
        throw InputError(ids ? ids->position : table.position(),
                         "[[pair]] does not name two \"protectors\"; accepted: the ids of a plug "
                         "and an earmuff, [\"…\", \"…\"]");
    }
    std::vector<std::string> worn;
    for (const auto& id : ids->value) {
        if (!catalogue.find(id.value)) {
            throw unknown_id("protector", id, catalogue.ids(), "the catalogue is empty");
        }
        worn.push_back(id.value);
    }
    if (const auto obstacle = cannot_be_worn_together(catalogue, worn)) {
        throw InputError(ids->position, "[[pair]] names " + *obstacle);
    }
    if (catalogue.find(worn[0])->protector.is_earmuff()) std::swap(worn[0], worn[1]);
    for (const MeasuredPair& other : catalogue.pairs) {
        if (other.plug == worn[0] && other.earmuff == worn[1]) {
            throw InputError(ids->position,
                             fmt::format("this pair stands twice, first at {}; accepted: each once",
                                         other.stated_at.text()));
        }
    }
    MeasuredPair pair{.plug = worn[0], .earmuff = worn[1], .stated_at = table.position()};
    pair.attenuation.octave = read_octave_attenuation(table);
    pair.attenuation.ratings = read_ratings(table);
    return pair;
}

}  // namespace

Catalogue read_protector_catalogue(const std::string& path, const SourcePosition* referred_from) {
    const TomlTable document = read_toml(path, referred_from);
    TableReader file = open_document(document, path, "protectors", {"protector", "pair"});
    Catalogue catalogue;
    for (TableReader& table :
         file.tables("protector", "[[protector]]",
                     with_attenuation_keys(
                         {"id", "title", "type", "fits_head_coil", "metal_free", "canal"}))) {
        catalogue.protectors.push_back(read_protector(table, catalogue));
    }
    for (TableReader& table :
         file.tables("pair", "[[pair]]", with_attenuation_keys({"protectors"}))) {
        catalogue.pairs.push_back(read_pair(table, catalogue));
    }
    return catalogue;
}

}  // namespace earbudget::files
