#include <array>
#include <variant>

#include <fmt/format.h>

#include "files/ids.hpp"
#include "files/study_files.hpp"
#include "files/table_reader.hpp"
#include "files/text_inputs.hpp"
#include "report/words/words.hpp"

namespace earbudget::files {

namespace {

using TestBand = std::variant<OctaveBand, ExtraBand>;

TestBand band_of(const Located<double>& frequency) {
    const double Hz = frequency.value;
    // Laboratories write the nominal third-octave frequency or the older round one.
    if (Hz == 3150.0 || Hz == 3000.0) return ExtraBand::Hz3150;
    if (Hz == 6300.0 || Hz == 6000.0) return ExtraBand::Hz6300;
    const auto band = octave_band_named(Frequency(Hz));
    if (band && permitted_attenuation_bands().test(index_of(*band))) return *band;
    throw InputError(
        frequency.position,
        fmt::format("{:g} Hz is not a band of attenuation data; accepted: 63, 125, 250, 500, 1000, "
                    "2000, 4000, 8000, and for the NRR 3150 (or 3000) and 6300 (or 6000)",
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

/// "frequency", "mean" and "sd": all three or none. Throws InputError.
std::optional<OctaveAttenuation> read_octave_attenuation(TableReader& table) {
    const auto frequencies = table.numbers("frequency");
    const auto means = table.numbers("mean");
    const auto deviations = table.numbers("sd");
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
            fmt::format("\"frequency\" has {} values, \"mean\" {} and \"sd\" {}; accepted: as many "
                        "of each{}",
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
    Ratings ratings;
    for (const RatingRow& row : rating_rows)
        table.put(row.name, ratings.*row.value);
    return ratings;
}

/// Nothing published is found of pads, so that a label would be nobody's.
void check_pad(TableReader& table, const Protector& protector) {
    if (protector.type != ProtectorType::Pad) return;
    for (const RatingRow& row : rating_rows) {
        const auto& stated = protector.ratings.*row.value;
        if (!stated || row.value == &Ratings::PAR || stated->dB() == 0.0) continue;
        table.report(row.name,
                     "is a label's rating of a pad, of which no published reduction is known; "
                     "accepted: frequency, mean and sd as measured, or the PAR of a fit test");
    }
}

void read_protector_id(TableReader& table, Catalogue& catalogue, CatalogueEntry& entry) {
    entry.protector.id = require_id(table).value;
    if (const CatalogueEntry* other = catalogue.find(entry.protector.id))
        table.report_twice(entry.protector.id, other->stated_at);
}

/// Added even with mistakes, so that who wears it is not said to wear what is unknown.
void read_protector(TableReader& table, Catalogue& catalogue, const std::string& owner = {}) {
    ErrorList& errors = table.errors();
    const std::size_t before = errors.size();
    CatalogueEntry entry{.protector = {}, .stated_at = table.position(), .owner = owner};
    Protector& protector = entry.protector;
    const bool has_id = errors.attempt([&] { read_protector_id(table, catalogue, entry); });
    protector.title = protector.id;
    table.put("title", protector.title);
    errors.attempt([&] {
        static_cast<void>(table.require_text("type"));
        protector.type = table.choice("type", protector_types).value_or(protector.type);
    });
    table.put("fits_head_coil", protector.fits_head_coil);
    table.put("metal_free", protector.metal_free);
    protector.canal = table.choices("canal", canal_sizes).value_or(std::vector<CanalSize>());
    table.attempt([&] { protector.octave = read_octave_attenuation(table); });
    protector.ratings = read_ratings(table);
    check_pad(table, protector);
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
    const Message obstacle = cannot_be_worn_together(catalogue, worn);
    if (!obstacle.empty()) throw InputError(ids->position, "[[pair]] names " + text_of(obstacle));
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

Catalogue read_protector_catalogue(const std::string& path, TextInputs& inputs) {
    return read_protector_catalogue(read_toml(path, inputs), path);
}

Catalogue read_protector_catalogue(const std::string& path) {
    TextInputs inputs;
    return read_protector_catalogue(path, inputs);
}

Catalogue read_protector_catalogue(const TomlTable& document, const std::string& path) {
    return without_mistakes(
        [&](ErrorList& errors) { return read_protector_catalogue(document, path, errors); });
}

Catalogue read_protector_catalogue(const TomlTable& document, const std::string& path,
                                   ErrorList& errors) {
    TableReader file = open_document(document, path, catalogue_file, errors);
    Catalogue catalogue;
    for (TableReader& table : file.tables("protector"))
        read_protector(table, catalogue);
    if (file.is_misspelt("protector") || (catalogue.protectors.empty() && file.has_mistakes()))
        errors.lose("protector", std::nullopt);
    for (TableReader& table : file.tables("pair"))
        read_pair(table, catalogue);
    return catalogue;
}

std::vector<std::string> read_own_protectors(TableReader& person, const std::string& id,
                                             Catalogue& catalogue) {
    std::vector<std::string> ids;
    for (TableReader& table : person.tables("protector")) {
        read_protector(table, catalogue, id);
        ids.push_back(catalogue.protectors.back().protector.id);
    }
    return ids;
}

}  // namespace earbudget::files
