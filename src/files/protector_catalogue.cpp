#include "files/protector_catalogue.hpp"

#include <array>

#include <fmt/format.h>

#include "files/attenuation_reader.hpp"
#include "files/canal_size.hpp"
#include "files/file_kind.hpp"
#include "files/limits.hpp"
#include "files/sequence_card.hpp"
#include "files/table_reader.hpp"
#include "files/unknown_id.hpp"

namespace earbudget::files {

namespace {

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
    return read_protector_catalogue(read_toml(path, referred_from), path);
}

Catalogue read_protector_catalogue(const TomlTable& document, const std::string& path) {
    TableReader file = open_document(document, path, "protectors", {"protector", "pair"});
    Catalogue catalogue;
    for (TableReader& table :
         file.tables("protector", "[[protector]]",
                     with_attenuation_keys(
                         {"id", "title", "type", "fits_head_coil", "metal_free", "canal"}),
                     most_protectors)) {
        catalogue.protectors.push_back(read_protector(table, catalogue));
    }
    for (TableReader& table :
         file.tables("pair", "[[pair]]", with_attenuation_keys({"protectors"}), most_pairs)) {
        catalogue.pairs.push_back(read_pair(table, catalogue));
    }
    return catalogue;
}

}  // namespace earbudget::files
