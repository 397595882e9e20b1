#pragma once

#include <string>

#include "earbudget/choice/check_ratings.hpp"
#include "report/document.hpp"

namespace earbudget::report {

/// A checked catalogue as JSON, one object, with a line break at its end. Ratings that there are
/// not are null.
[[nodiscard]] std::string ratings_json(const RatingsCheck& check, const Record& record);

/// The same to be read: the outcome, one table, what to look at. Points into the check.
[[nodiscard]] Document ratings_document(const RatingsCheck& check, const Record& record);

}  // namespace earbudget::report
