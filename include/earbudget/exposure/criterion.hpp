#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/acoustics/formula.hpp"
#include "earbudget/acoustics/pressure.hpp"
#include "earbudget/exposure/dose.hpp"

namespace earbudget {

/// Whom a plan looks after. Criteria say for whom they were made.
enum class Role {
    Participant,
    Staff,
    Accompanying  ///< in the room beside a participant, a parent for example
};

/// Every role that there is.
inline constexpr std::array<Role, 3> all_roles = {Role::Participant, Role::Staff,
                                                  Role::Accompanying};

/// As written in files: "participant", "staff", "accompanying".
[[nodiscard]] std::string_view name_of(Role role);

/// What a criterion limits.
enum class ExposureQuantity {
    Dose,         ///< percent of a DoseRule in a day
    WeeklyDose,   ///< percent of a DoseRule in a week
    LEX_8h,       ///< daily noise exposure level, or its weekly average LEX,w, dB
    LAeq_1h,      ///< highest hour of a day, dB
    LAeq_loudest  ///< the loudest part of a day, however short, dB
};

/// As written in JSON: "dose", "weekly_dose", "LEX_8h", "LAeq_1h", "LAeq_loudest".
[[nodiscard]] std::string_view name_of(ExposureQuantity quantity);

/// Whether a quantity is a dose in percent and no level.
[[nodiscard]] constexpr bool is_dose(ExposureQuantity quantity) {
    return quantity == ExposureQuantity::Dose || quantity == ExposureQuantity::WeeklyDose;
}

/// A limit on the peak sound pressure.
struct PeakLimit {
    enum class Weighting { C, None };

    Pressure pressure;  ///< highest permitted
    Weighting weighting = Weighting::C;
    /// Whether it is on the peak at the ear, under what is worn: only where its text counts
    /// protectors and the peak is C-weighted, for which alone there is a method
    /// (protection/peak.hpp). Else it is on the peak outside.
    bool at_ear = false;

    bool operator==(const PeakLimit&) const = default;
};

/// What being above a criterion means.
enum class CriterionKind {
    Limit,           ///< it may not be exceeded
    ActionValue,     ///< from here on something must be done; no protector counts
    Classification,  ///< another kind of study, which needs another approval; nothing is forbidden
};

/// As written in JSON: "limit", "action-value", "classification".
[[nodiscard]] std::string_view name_of(CriterionKind kind);

/// A published or own limit on noise exposure, with where it comes from.
struct Criterion {
    std::string id;
    std::string title;
    ExposureQuantity quantity = ExposureQuantity::Dose;
    /// Level, exchange rate, hours, threshold and ceiling; levels use its level and ceiling alone.
    DoseRule rule;
    double dose_limit_percent = 100.0;  ///< for doses
    std::optional<PeakLimit> peak = std::nullopt;
    bool with_protection = true;  ///< whether hearing protectors are taken into account
    std::vector<Role> roles;      ///< whom it is for
    std::string source;           ///< document and clause
    std::string remark = {};      ///< what must be known to read its verdict, possibly empty
    /// Whether its text lets a weekly average stand for the daily level.
    bool allows_weekly_average = false;
    bool weekly_average = false;  ///< LEX_8h is then LEX,w, see averaged_over_week
    CriterionKind kind = CriterionKind::Limit;
    std::string when_above = {};  ///< what follows from being above it; empty for a limit
    /// One country's: counts only where it is named, also in a review, which takes all others.
    bool only_where_named = false;

    [[nodiscard]] bool is_for(Role role) const;

    /// The limit in the unit of its quantity: percent of the dose, or its level.
    [[nodiscard]] double limit() const;

    /// By what the times of one day are multiplied to make what it limits, for a person with so
    /// many days like it in a week: a weekly dose adds them up, a weekly average spreads them over
    /// five days, all else looks at one day. Less than one day counts as one, since the week that
    /// has the day has it whole.
    [[nodiscard]] double days_counted(double days_per_week) const;

    bool operator==(const Criterion&) const = default;
};

/// The published criteria that the program knows.
[[nodiscard]] std::span<const Criterion> published_criteria();

/// One of them by its id; null where there is none.
[[nodiscard]] const Criterion* find_published_criterion(std::string_view id);

/// The criteria of a person for whom a plan names none: the only place that says which.
[[nodiscard]] std::vector<Criterion> default_criteria(Role role);

/// The criterion with LEX,w = 10 lg(days/5 · 10^(LEX,8h/10)) in the place of LEX,8h (Directive
/// 2003/10/EC, article 3(3); 2(c) by ISO 1999: a week of five nominal days of eight hours), and
/// with a remark that says so; unchanged where its text does not allow it.
[[nodiscard]] Criterion averaged_over_week(Criterion criterion);

inline constexpr Formula formula_of_weekly_average{
    "LEX,w = 10 lg(days/5 · Σ (Ti / 8 h)·10^(Li/10)); times below already multiplied by days/5",
    "Directive 2003/10/EC, article 3(3) and 2(c), by ISO 1999 (memory, edition not confirmed)"};
inline constexpr Formula formula_of_level_margin{"margin = limit − value", "difference"};

}  // namespace earbudget
