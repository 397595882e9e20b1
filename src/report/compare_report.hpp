#pragma once

#include "earbudget/advice/compare.hpp"
#include "report/document.hpp"

namespace earbudget::report {

/// An earlier version that an assessment is compared with.
struct Earlier {
    Comparison comparison;
    SourceFile file;
};

/// What changed between two versions of a plan, person by person.
[[nodiscard]] Section compare_section(const Earlier& earlier);

}  // namespace earbudget::report
