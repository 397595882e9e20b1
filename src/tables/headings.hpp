#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/computing/source_position.hpp"
#include "earbudget/protection/ratings.hpp"
#include "tables/cells.hpp"

namespace earbudget::tables {

/// What a table of a unit can be of.
enum class TableKind { Sequences, Protectors, People };

/// What a column can hold.
enum class ColumnKey {
    Id,
    Title,
    Duration,
    Repeat,
    RestAfter,
    LAeq,
    LCeq,
    LCpeak,
    LZpeak,
    Uncertainty,
    Band,  ///< unweighted octave-band level
    Type,
    Rating,
    Mean,       ///< attenuation in an octave band
    Deviation,  ///< of it
    FitsHeadCoil,
    MetalFree,
    Role,
    AgeGroup,
    Wears
};

/// A column of a table that was understood.
struct TableColumn {
    ColumnKey key;
    std::string name;       ///< as the table writes it
    std::string unit;       ///< in small letters; empty where the heading states none
    std::size_t index = 0;  ///< from 0
    std::optional<OctaveBand> band = std::nullopt;  ///< of Band, Mean and Deviation
    std::optional<Rating> rating = std::nullopt;
};

struct TableHead {
    TableKind kind = TableKind::Sequences;
    std::size_t row = 0;  ///< of the headings, from 0
    std::vector<TableColumn> columns = {};
    std::vector<std::string> left_out = {};  ///< columns by request: headings that begin with #

    /// None where the table has no such column.
    [[nodiscard]] const TableColumn* find(ColumnKey key) const;
};

/// A heading without its unit, and the unit: of "LAeq [dB(A)]", "Time (min)", "duration_s",
/// "LAeq, dB(A)", "63 Hz". The name is in small letters and digits alone.
struct NameAndUnit {
    std::string name;
    std::string unit;
};
[[nodiscard]] NameAndUnit name_and_unit(std::string_view heading);

/// The headings of the first row that is not empty, by which the kind of the table is known. What
/// is unknown, stands twice or has no heading goes to the list. Throws InputError for a table of no
/// kind.
[[nodiscard]] TableHead head_of(const Cells& cells, const std::string& path,
                                files::ErrorList& errors);

/// "a table of sequences".
[[nodiscard]] std::string_view name_of(TableKind kind);

}  // namespace earbudget::tables
