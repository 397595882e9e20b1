#pragma once

#include <nlohmann/json_fwd.hpp>

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

/// The same as the value of "against".
[[nodiscard]] nlohmann::ordered_json compare_json(const Comparison& comparison,
                                                  const SourceFile& earlier);

}  // namespace earbudget::report
