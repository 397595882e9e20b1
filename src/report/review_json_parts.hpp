#pragma once

#include <optional>

#include <nlohmann/json.hpp>

#include "report/review_report.hpp"

namespace earbudget::report {

/// Seconds a day: null where they are not known, 0 where no time is permitted, 86400 where not
/// limited.
[[nodiscard]] nlohmann::ordered_json seconds_json(const std::optional<PermittedTime>& time);

/// The name of its kind; null where it is not known.
[[nodiscard]] nlohmann::ordered_json state_json(const std::optional<PermittedTime>& time);

[[nodiscard]] nlohmann::ordered_json levels_json(const SoundLevels& levels);
[[nodiscard]] nlohmann::ordered_json origin_json(const Origin& origin);

/// By what was reviewed: method, derating, criteria with their sources.
[[nodiscard]] nlohmann::ordered_json review_terms_json(const ReviewTerms& terms);

/// What changed from the card that is replaced.
[[nodiscard]] nlohmann::ordered_json against_json(const ReviewedCard& now,
                                                  const ReviewedCard& before);

}  // namespace earbudget::report
