#pragma once

#include <string>

#include "earbudget/choice/check_ratings.hpp"
#include "report/record.hpp"
#include "report/text_style.hpp"

namespace earbudget::report {

/// A checked catalogue as JSON, one object, with a line break at its end. Ratings that there are
/// not are null.
[[nodiscard]] std::string ratings_json(const RatingsCheck& check, const Record& record);

/// The same for a terminal: the outcome, one table, what to do.
[[nodiscard]] std::string ratings_text(const RatingsCheck& check, const Record& record,
                                       const TextStyle& style);

}  // namespace earbudget::report
