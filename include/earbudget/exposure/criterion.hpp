#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/acoustics/pressure.hpp"
#include "earbudget/exposure/dose.hpp"

namespace earbudget {

/// Whom a plan looks after. Criteria say for whom they were made.
enum class Role { Participant, Staff };

/// As written in files: "participant", "staff".
[[nodiscard]] std::string_view name_of(Role role);

/// What a criterion limits about the exposure of a day.
enum class ExposureQuantity {
    Dose,    ///< percent of a DoseRule
    LEX_8h,  ///< daily noise exposure level, dB
    LAeq_1h  ///< highest hour, dB
};

/// As written in JSON: "dose", "LEX_8h", "LAeq_1h".
[[nodiscard]] std::string_view name_of(ExposureQuantity quantity);

/// A limit on the peak sound pressure.
struct PeakLimit {
    enum class Weighting { C, None };

    Pressure pressure;  ///< highest permitted
    Weighting weighting = Weighting::C;
};

/// A published or own limit on noise exposure, with where it comes from.
struct Criterion {
    std::string id;
    std::string title;
    ExposureQuantity quantity = ExposureQuantity::Dose;
    /// Level, exchange rate, hours, threshold and ceiling; LEX_8h and LAeq_1h use its level alone.
    DoseRule rule;
    std::optional<PeakLimit> peak = std::nullopt;
    bool with_protection = true;  ///< whether hearing protectors are taken into account
    std::vector<Role> roles;      ///< whom it is for
    std::string source;           ///< document and clause
    std::string remark = {};      ///< what must be known to read its verdict, possibly empty

    [[nodiscard]] bool is_for(Role role) const;

    /// The limit in the unit of its quantity: 100 percent of the dose, or its level.
    [[nodiscard]] double limit() const;
};

/// The published criteria that the program knows.
[[nodiscard]] std::span<const Criterion> published_criteria();

/// The value that a criterion limits, in its unit; none for a level without sound.
[[nodiscard]] std::optional<double> value_of(const Criterion& criterion, ExposureParts parts);

/// By how much all levels may rise together before the criterion is exceeded, or must fall when it
/// is negative; none without sound.
[[nodiscard]] std::optional<LevelDifference> margin_of(const Criterion& criterion,
                                                       ExposureParts parts);

/// True when the exposure is above the limit or a level above the ceiling. A value equal to the
/// limit but for arithmetic is within.
[[nodiscard]] bool is_over(const Criterion& criterion, ExposureParts parts);

}  // namespace earbudget
