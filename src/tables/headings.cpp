#include "tables/headings.hpp"

#include <algorithm>
#include <array>
#include <charconv>

#include <fmt/format.h>

#include "files/ids.hpp"
#include "files/written_values.hpp"

namespace earbudget::tables {

namespace {

using files::in_small_letters;
using files::is_digit;
using files::trimmed;
using Names = std::vector<std::string_view>;

/// A heading by its usual names, without blanks and signs; the first is that of messages.
struct KnownHeading {
    ColumnKey key;
    std::string_view shown;
    Names names;
    std::optional<Rating> rating = std::nullopt;
};

const std::vector<KnownHeading>& headings_of(TableKind kind) {
    using enum ColumnKey;
    static const std::vector<KnownHeading> sequences = {
        {Id, "id", {"id", "sequenceid", "cardid", "card", "key"}},
        {Title,
         "title",
         {"title", "name", "sequence", "sequencename", "series", "seriesdescription", "protocol",
          "protocolname", "description", "scan", "scanname"}},
        {Duration,
         "duration",
         {"duration", "time", "scantime", "scanduration", "acquisitiontime", "acquisitionduration",
          "ta", "length", "runtime", "timeperrun", "durationperrun"}},
        {Repeat,
         "repeat",
         {"repeat", "repeats", "runs", "repetitions", "numberofruns", "n", "times", "count"}},
        {RestAfter,
         "rest_after",
         {"restafter", "rest", "pause", "pauseafter", "break", "breakafter", "gap", "gapafter"}},
        {LAeq, "LAeq", {"laeq", "laeqt", "leqa", "laeqdba", "leqdba", "dba", "la"}},
        {LCeq, "LCeq", {"lceq", "lceqt", "leqc", "lceqdbc", "leqdbc", "dbc", "lc"}},
        {LCpeak, "LCpeak", {"lcpeak", "lcpk", "lpeakc", "lpkc", "lcpeakmax", "peakc", "cpeak"}},
        {LZpeak, "LZpeak", {"lzpeak", "lzpk", "lpeakz", "lpkz", "peakz", "zpeak"}},
        {Uncertainty,
         "uncertainty",
         {"uncertainty", "standarduncertainty", "uncertaintyk1", "standarduncertaintyk1"}}};
    static const std::vector<KnownHeading> protectors = [] {
        std::vector<KnownHeading> all = {
            {Id, "id", {"id", "protectorid", "key"}},
            {Title,
             "title",
             {"title", "name", "protector", "protectorname", "description", "product"}},
            {Type, "type", {"type", "kind", "protectortype"}},
            {FitsHeadCoil,
             "fits_head_coil",
             {"fitsheadcoil", "fitsthecoil", "fitscoil", "headcoil"}},
            {MetalFree, "metal_free", {"metalfree", "withoutmetal", "nometal"}}};
        static const Names rating_names[] = {{"snr"}, {"h"},     {"m"},     {"l"},
                                             {"nrr"}, {"nrrsf"}, {"slc80"}, {"par"}};
        for (std::size_t n = 0; n < rating_rows.size(); ++n)
            all.push_back(
                {ColumnKey::Rating, (rating_rows.begin() + static_cast<std::ptrdiff_t>(n))->name,
                 rating_names[n], (rating_rows.begin() + static_cast<std::ptrdiff_t>(n))->key});
        return all;
    }();
    static const std::vector<KnownHeading> people = {
        {Id, "id", {"id", "name", "person", "personid", "code", "who", "participantid"}},
        {Role, "role", {"role", "function", "kind"}},
        {AgeGroup, "age_group", {"agegroup"}},
        {Wears,
         "wears",
         {"wears", "wearing", "protection", "hearingprotection", "earprotection", "protector",
          "protectors", "worn"}}};
    return kind == TableKind::Sequences    ? sequences
           : kind == TableKind::Protectors ? protectors
                                           : people;
}

// Words before, or behind, the frequency of a band.
const Names level_words = {"", "octave", "band", "leq", "lzeq", "lz", "leqz", "l", "level"};
const Names mean_words = {"mean", "m", "mf", "meanattenuation", "attenuation", "att", "meanatt"};
const Names deviation_words = {"sd", "s", "sf", "std", "stdev", "standarddeviation", "deviation"};

bool is_among(std::string_view word, const Names& words) {
    return std::ranges::find(words, word) != words.end();
}

struct BandName {
    std::string words;  ///< around the frequency
    OctaveBand band;
};

/// "mean63", "63hzmean", "1khz", "1k".
std::optional<BandName> band_in(std::string_view name) {
    const std::size_t begin = name.find_first_of("0123456789");
    if (begin == name.npos) return std::nullopt;
    double frequency = 0.0;
    const char* end_of_name = name.data() + name.size();
    const auto [end, error] =
        std::from_chars(name.data() + begin, end_of_name, frequency, std::chars_format::fixed);
    if (error != std::errc()) return std::nullopt;
    std::string_view rest(end, static_cast<std::size_t>(end_of_name - end));
    for (const std::string_view unit : {"khz", "k", "hz"}) {
        if (!rest.starts_with(unit)) continue;
        if (unit.front() == 'k') frequency *= 1000.0;
        rest.remove_prefix(unit.size());
        break;
    }
    const auto band = octave_band_named(Frequency(frequency));
    if (!band) return std::nullopt;
    return BandName{std::string(name.substr(0, begin)) + std::string(rest), *band};
}

std::optional<TableColumn> band_column(TableKind kind, std::string_view name) {
    if (kind == TableKind::People) return std::nullopt;
    const auto found = band_in(name);
    if (!found) return std::nullopt;
    TableColumn column{.key = ColumnKey::Band, .name = {}, .unit = {}, .band = found->band};
    if (kind == TableKind::Sequences)
        return is_among(found->words, level_words) ? std::optional(column) : std::nullopt;
    if (!permitted_attenuation_bands().test(index_of(found->band))) return std::nullopt;
    column.key = is_among(found->words, mean_words) ? ColumnKey::Mean : ColumnKey::Deviation;
    return column.key == ColumnKey::Mean || is_among(found->words, deviation_words)
               ? std::optional(column)
               : std::nullopt;
}

/// "Level [dB(A)]" is LAeq by its unit; without one it could be anything.
std::optional<ColumnKey> level_by_unit(const NameAndUnit& heading) {
    const Names words = {"level", "spl", "leq", "l", "soundlevel", "soundpressurelevel", "noise"};
    const Names peaks = {"peak", "lpeak", "peaklevel", "lpk"};
    if (is_among(heading.name, words) && heading.unit == "dba") return ColumnKey::LAeq;
    if (is_among(heading.name, words) && heading.unit == "dbc") return ColumnKey::LCeq;
    if (is_among(heading.name, peaks) && heading.unit == "dbc") return ColumnKey::LCpeak;
    return std::nullopt;
}

/// None for a heading that is unknown in tables of this kind.
std::optional<TableColumn> column_of(TableKind kind, const NameAndUnit& heading) {
    for (const KnownHeading& known : headings_of(kind)) {
        if (!is_among(heading.name, known.names)) continue;
        return TableColumn{
            .key = known.key, .name = {}, .unit = heading.unit, .rating = known.rating};
    }
    if (auto band = band_column(kind, heading.name)) {
        band->unit = heading.unit;
        return band;
    }
    if (kind != TableKind::Sequences) return std::nullopt;
    const auto level = level_by_unit(heading);
    return level ? std::optional(TableColumn{.key = *level, .name = {}, .unit = heading.unit})
                 : std::nullopt;
}

std::vector<std::string> shown_headings(TableKind kind) {
    std::vector<std::string> names;
    for (const KnownHeading& heading : headings_of(kind))
        names.emplace_back(heading.shown);
    for (const OctaveBand band : octave_bands) {
        const std::string hertz(name_of(band));
        if (kind == TableKind::Sequences) names.push_back(hertz);
        if (kind != TableKind::Protectors || !permitted_attenuation_bands().test(index_of(band)))
            continue;
        names.push_back("mean_" + hertz);
        names.push_back("sd_" + hertz);
    }
    return names;
}

/// The bands put together: "63 … 8000".
std::string accepted_headings(TableKind kind) {
    std::vector<std::string> names;
    for (const KnownHeading& heading : headings_of(kind))
        names.emplace_back(heading.shown);
    if (kind == TableKind::Sequences) names.emplace_back("31.5, 63 … 16000 (octave bands, Hz)");
    if (kind == TableKind::Protectors) names.emplace_back("mean_63 … mean_8000, sd_63 … sd_8000");
    return fmt::format("{}", fmt::join(names, ", "));
}

constexpr std::array kinds = {TableKind::Sequences, TableKind::Protectors, TableKind::People};

bool is_remark(std::string_view heading) { return heading.starts_with('#'); }

/// Of the headings those known in tables of this kind; titles alone make none.
std::size_t known_in(TableKind kind, const std::vector<std::string>& headings) {
    std::size_t known = 0;
    bool its_own = false;
    for (const std::string& heading : headings) {
        const auto column = column_of(kind, name_and_unit(heading));
        if (!column) continue;
        ++known;
        its_own = its_own || (column->key != ColumnKey::Id && column->key != ColumnKey::Title);
    }
    return its_own ? known : 0;
}

TableKind kind_of(const std::vector<std::string>& headings, const SourcePosition& at) {
    std::array<std::size_t, kinds.size()> known{};
    for (std::size_t n = 0; n < kinds.size(); ++n)
        known.at(n) = known_in(kinds.at(n), headings);
    const auto* most = std::ranges::max_element(known);
    if (*most > 0 && std::ranges::count(known, *most) == 1)
        return kinds.at(static_cast<std::size_t>(most - known.begin()));
    std::string accepted;
    for (const TableKind kind : kinds)
        accepted += fmt::format("{}{} with {}", accepted.empty() ? "" : "; ", name_of(kind),
                                accepted_headings(kind));
    throw InputError(at,
                     fmt::format("the first row does not tell what the table is of; accepted: a "
                                 "first row of headings: {}",
                                 accepted));
}

bool has_values(const Cells& cells, std::size_t head, std::size_t column) {
    for (std::size_t row = head + 1; row < cells.rows.size(); ++row)
        if (!cells.at(row, column).empty()) return true;
    return false;
}

}  // namespace

std::string_view name_of(TableKind kind) {
    return kind == TableKind::Sequences    ? "a table of sequences"
           : kind == TableKind::Protectors ? "a table of protectors"
                                           : "a table of people";
}

const TableColumn* TableHead::find(ColumnKey key) const {
    const auto found = std::ranges::find(columns, key, &TableColumn::key);
    return found == columns.end() ? nullptr : &*found;
}

TableHead head_of(const Cells& cells, const std::string& path, files::ErrorList& errors) {
    const auto is_empty = [](const std::vector<std::string>& row) {
        return std::ranges::all_of(row, &std::string::empty);
    };
    const auto first = std::ranges::find_if_not(cells.rows, is_empty);
    if (first == cells.rows.end())
        throw InputError({path},
                         "the table is empty; accepted: a row of headings and rows below it");
    TableHead head{.row = static_cast<std::size_t>(first - cells.rows.begin())};
    const auto at = [&](std::size_t column) {
        return SourcePosition{path, static_cast<unsigned>(head.row + 1),
                              static_cast<unsigned>(column + 1)};
    };
    head.kind = kind_of(*first, at(0));
    std::size_t width = 0;
    for (const auto& row : cells.rows)
        width = std::max(width, row.size());
    for (std::size_t n = 0; n < width; ++n) {
        const std::string heading(cells.at(head.row, n));
        if (is_remark(heading)) {
            head.left_out.push_back(heading);
        } else if (auto column = column_of(head.kind, name_and_unit(heading))) {
            column->name = heading;
            column->index = n;
            const auto twice = std::ranges::find_if(head.columns, [&](const TableColumn& other) {
                return other.key == column->key && other.band == column->band &&
                       other.rating == column->rating;
            });
            if (twice != head.columns.end()) {
                errors.add({at(n), fmt::format("the heading \"{}\" means the same as \"{}\" of "
                                               "column {}; accepted: each once",
                                               heading, twice->name, twice->index + 1)});
            } else {
                head.columns.push_back(*std::move(column));
            }
        } else if (!heading.empty()) {
            errors.add(
                {at(n), fmt::format("unknown heading \"{}\" in {}{}; accepted: {}; or \"# {}\" for "
                                    "a column to be left out",
                                    heading, name_of(head.kind),
                                    files::nearest_words(heading, shown_headings(head.kind)),
                                    accepted_headings(head.kind), heading)});
        } else if (has_values(cells, head.row, n)) {
            errors.add(
                {at(n), fmt::format("column {} has values and no heading; accepted: a heading "
                                    "in the first row: {}; or \"#\" for a column to be left out",
                                    n + 1, accepted_headings(head.kind))});
        }
    }
    return head;
}

}  // namespace earbudget::tables
