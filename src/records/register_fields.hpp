#pragma once

#include "records/register_totals.hpp"
#include "report/assess_fields.hpp"
#include "report/fields.hpp"
#include "report/shared_fields.hpp"

namespace earbudget::report {

// The parts of totals that other reports have in their JSON too.

template <>
FieldTable<sessions::Missing> describe();
template <>
FieldTable<sessions::DaysBy> describe();
template <>
FieldTable<sessions::MonthTotal> describe();
template <>
FieldTable<sessions::RoleTotals> describe();
template <>
FieldTable<records::EventAnswer> describe();
template <>
FieldTable<records::FileUsed> describe();
template <>
FieldTable<records::DayAnswer> describe();
template <>
FieldTable<records::WeekAnswer> describe();
template <>
FieldTable<records::PersonAnswer> describe();
template <>
FieldTable<NamedSource> describe();

}  // namespace earbudget::report
