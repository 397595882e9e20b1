#pragma once

#include <optional>
#include <string>
#include <vector>

#include "earbudget/study/plan.hpp"
#include "earbudget/computing/source_position.hpp"
#include "earbudget/exposure/criterion.hpp"
#include "earbudget/protection/protector.hpp"
#include "earbudget/study/sequence.hpp"
#include "files/error_list.hpp"
#include "files/text_inputs.hpp"
#include "tables/cell_values.hpp"

namespace earbudget::tables {

/// A row of a table of sequences: one that is run, and what is known of it.
struct SequenceRow {
    std::string id;
    std::string title;
    std::optional<SoundLevels> levels = std::nullopt;  ///< none: no level is stated
    std::optional<Seconds> duration = std::nullopt;    ///< of one run
    unsigned repeat = 1;
    std::optional<Seconds> rest_after = std::nullopt;  ///< once all runs are done
    SourcePosition at = {};
};

struct ProtectorRow {
    Protector protector;
    SourcePosition at = {};
};

struct PersonRow {
    std::string id;
    Role role = Role::Participant;
    std::optional<AgeGroup> age_group = std::nullopt;  ///< none: not stated
    std::vector<std::string> wears = {};  ///< as written: ids or titles of protectors
    SourcePosition wears_at = {};
};

/// What all tables of a unit say, in their order.
struct UnitTables {
    std::vector<SequenceRow> sequences = {};
    std::vector<ProtectorRow> protectors = {};
    std::vector<PersonRow> people = {};
    std::vector<std::string> notes = {};  ///< how what is not certain was taken
};

/// Reads a table of sequences, protectors or people, whose headings say which, and adds it. All
/// that is not understood goes to the list, by row and column as a spreadsheet counts them. Throws
/// InputError for a file that cannot be read as a table.
void read_table(const std::string& path, files::TextInputs& inputs, UnitTables& tables,
                files::ErrorList& errors);

// Each reads the rows of one kind of table.
void read_sequences(const TableReading& table, UnitTables& tables);
void read_protectors(const TableReading& table, UnitTables& tables);
void read_people(const TableReading& table, UnitTables& tables);

/// The id and the title of a row: the id as stated, else made of the title, which a note says.
/// None where both are missing or the id cannot be one, which is listed.
struct IdAndTitle {
    std::string id;
    std::string title;
};
[[nodiscard]] std::optional<IdAndTitle> id_and_title(const TableReading& table, std::size_t row,
                                                     UnitTables& tables);

/// Lists columns whose unit is none that they can have.
void check_units(const TableReading& table);

}  // namespace earbudget::tables
