#pragma once

#include <string>

#include "records/register_file.hpp"
#include "report/shape.hpp"

namespace earbudget::records {

/// All that a register holds of one person, to be handed to that person.
struct CopyReport {
    RegisterFile file;
    report::Record record;
    registers::PersonCopy copy;
};

[[nodiscard]] std::string copy_json(const CopyReport& report);
/// What was recorded, entry by entry in words.
[[nodiscard]] report::Document copy_document(const CopyReport& report, bool detail);
[[nodiscard]] const report::ObjectShape& copy_shape();

}  // namespace earbudget::records
