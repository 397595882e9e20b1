#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "records/register_file.hpp"
#include "report/shape.hpp"

namespace earbudget::records {

/// Two codes that are one person's from now on.
struct Linked {
    std::int64_t entry;
    std::vector<std::string> codes;  ///< all of that person
};

/// Entries that were brought in from elsewhere, of one person.
struct Imported {
    std::string as;
    std::string from;    ///< the table or folder
    std::string sha256;  ///< of the table; of scans over the hashes of all that was read
    bool lower_bound = false;
    std::vector<std::int64_t> sessions = {};
    std::size_t runs = 0;
    std::int64_t first = 0, last = 0;  ///< entries
    std::vector<std::string> notes = {};
};

/// What was done with a register, or found; exactly one of these.
struct RegisterDone {
    std::string action;  ///< "create"
    RegisterFile file;
    report::Record record;
    std::optional<registers::Verification> verified = std::nullopt;
    std::optional<registers::BackupRecord> backup = std::nullopt;
    std::optional<Linked> linked = std::nullopt;
    std::optional<registers::Erased> erased = std::nullopt;
    std::optional<std::vector<registers::Due>> due = std::nullopt;
    std::optional<std::vector<Imported>> imported = std::nullopt;
    bool time_zone_of_machine = false;  ///< of a new one: none was stated
};

/// What without the head of an earlier time is not proven, and beyond which entry it is not with
/// one; a sentence each.
[[nodiscard]] std::vector<std::string> not_proven(const registers::Verification& verified);

[[nodiscard]] std::string done_json(const RegisterDone& done);
[[nodiscard]] report::Document done_document(const RegisterDone& done, bool detail);
[[nodiscard]] const report::ObjectShape& register_shape();

}  // namespace earbudget::records
