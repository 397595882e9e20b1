#pragma once

#include "report/compare_report.hpp"
#include "report/fields.hpp"

namespace earbudget::report {

template <>
FieldTable<Earlier> describe();

}  // namespace earbudget::report
