#include "files/protector_catalogue.hpp"

#include <array>

#include <fmt/format.h>

#include "files/attenuation_reader.hpp"
#include "files/canal_size.hpp"
#include "files/file_kind.hpp"
#include "files/ids.hpp"
#include "files/limits.hpp"
#include "files/sequence_card.hpp"
#include "files/table_reader.hpp"
#include "files/wearing_reader.hpp"

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
    table.report("type", fmt::format("is \"{}\"; accepted: {}", stated.value, accepted_types()));
    throw AlreadyListed();
}

std::vector<CanalSize> read_canal_sizes(TableReader& table) {
    std::vector<CanalSize> sizes;
    const auto names = table.texts("canal");
    if (!names) return sizes;
    for (const auto& name : names->value)
        table.errors().attempt([&] { sizes.push_back(canal_size_named(name)); });
    return sizes;
}

std::optional<bool> read_flag(TableReader& table, std::string_view key) {
    const auto flag = table.boolean(key);
    return flag ? std::optional(flag->value) : std::nullopt;
}

void read_protector_id(TableReader& table, Catalogue& catalogue, CatalogueEntry& entry) {
    entry.protector.id = require_id(table).value;
    if (const CatalogueEntry* other = catalogue.find(entry.protector.id)) {
        table.report("id", fmt::format("\"{}\" stands twice, first at {}; accepted: each id once",
                                       entry.protector.id, other->stated_at.text()));
    }
}

/// Added even with mistakes, so that who wears it is not said to wear what is unknown.
void read_protector(TableReader& table, Catalogue& catalogue) {
    ErrorList& errors = table.errors();
    const std::size_t before = errors.size();
    CatalogueEntry entry{.protector = {}, .stated_at = table.position()};
    Protector& protector = entry.protector;
    const bool has_id = errors.attempt([&] { read_protector_id(table, catalogue, entry); });
    const auto title = table.text("title");
    protector.title = title ? title->value : protector.id;
    errors.attempt([&] { protector.type = read_type(table); });
    protector.fits_head_coil = read_flag(table, "fits_head_coil");
    protector.metal_free = read_flag(table, "metal_free");
    protector.canal = read_canal_sizes(table);
    table.attempt([&] { protector.octave = read_octave_attenuation(table); });
    protector.ratings = read_ratings(table);
    if (!has_id) errors.lose("protector", std::nullopt);
    if (errors.size() > before || table.has_mistakes()) errors.lose("protector", protector.id);
    catalogue.protectors.push_back(std::move(entry));
}

std::vector<std::string> read_pair_ids(TableReader& table, const Catalogue& catalogue) {
    const auto ids = table.texts("protectors");
    if (!ids || ids->value.size() != 2) {
        throw InputError(ids ? ids->position : table.position(),
                         "[[pair]] does not name two \"protectors\"; accepted: the ids of a plug "
                         "and an earmuff, [\"…\", \"…\"]");
    }
    std::vector<std::string> worn;
    for (const auto& id : ids->value) {
        if (!catalogue.find(id.value)) {
            list_unknown_id(table.errors(), "protector", id, catalogue.ids(),
                            "the catalogue is empty");
            continue;
        }
        worn.push_back(id.value);
    }
    if (worn.size() != 2 || lost_any(table.errors(), worn)) throw AlreadyListed();
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
    return worn;
}

void read_pair(TableReader& table, Catalogue& catalogue) {
    MeasuredPair pair{.plug = "", .earmuff = "", .stated_at = table.position()};
    const bool named = table.attempt([&] {
        const std::vector<std::string> worn = read_pair_ids(table, catalogue);
        pair.plug = worn[0];
        pair.earmuff = worn[1];
    });
    table.attempt([&] { pair.attenuation.octave = read_octave_attenuation(table); });
    pair.attenuation.ratings = read_ratings(table);
    if (named) catalogue.pairs.push_back(std::move(pair));
}

}  // namespace

Catalogue read_protector_catalogue(const std::string& path, TextInputs& inputs,
                                   const SourcePosition* referred_from) {
    return read_protector_catalogue(read_toml(path, inputs, referred_from), path);
}

Catalogue read_protector_catalogue(const std::string& path) {
    TextInputs inputs;
    return read_protector_catalogue(path, inputs);
}

Catalogue read_protector_catalogue(const TomlTable& document, const std::string& path) {
    ErrorList errors;
    Catalogue catalogue;
    errors.attempt([&] { catalogue = read_protector_catalogue(document, path, errors); });
    errors.throw_if_any();
    return catalogue;
}

Catalogue read_protector_catalogue(const TomlTable& document, const std::string& path,
                                   ErrorList& errors) {
    TableReader file = open_document(document, path, "protectors", {"protector", "pair"}, errors);
    Catalogue catalogue;
    for (TableReader& table :
         file.tables("protector", "[[protector]]",
                     with_attenuation_keys(
                         {"id", "title", "type", "fits_head_coil", "metal_free", "canal"}),
                     most_protectors)) {
        read_protector(table, catalogue);
    }
    if (file.is_misspelt("protector") || (catalogue.protectors.empty() && file.has_mistakes()))
        errors.lose("protector", std::nullopt);
    for (TableReader& table :
         file.tables("pair", "[[pair]]", with_attenuation_keys({"protectors"}), most_pairs)) {
        read_pair(table, catalogue);
    }
    return catalogue;
}

}  // namespace earbudget::files
