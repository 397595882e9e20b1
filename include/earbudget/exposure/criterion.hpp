#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/acoustics/message.hpp"
#include "earbudget/acoustics/trace.hpp"
#include "earbudget/acoustics/units.hpp"
#include "earbudget/computing/rows.hpp"
#include "earbudget/exposure/dose.hpp"

namespace earbudget {

/// Whom a plan looks after. Criteria say for whom they were made.
enum class Role {
    Participant,
    Staff,
    Accompanying  ///< in the room beside a participant, a parent for example
};

struct RoleRow {
    Role key;
    std::string_view name;  ///< as written in files
    /// Ids of the criteria where a plan names none, the only place that says which; the rest empty.
    std::array<std::string_view, 4> default_criteria;
};

inline constexpr auto role_rows = rows_of<RoleRow>({
    {Role::Participant, "participant", {"niosh-rel", "iec-60601-2-33"}},
    {Role::Staff, "staff", {"niosh-rel", "eu-limit", "eu-upper-action", "eu-lower-action"}},
    {Role::Accompanying, "accompanying", {"iec-60601-2-33", "who-public-adult"}},
});

/// As written in files: "participant", "staff", "accompanying".
[[nodiscard]] constexpr std::string_view name_of(Role role) { return role_rows[role].name; }

/// What a criterion limits.
enum class ExposureQuantity {
    Dose,         ///< percent of a DoseRule in a day
    WeeklyDose,   ///< percent of a DoseRule in a week
    LEX_8h,       ///< daily noise exposure level, or its weekly average LEX,w, dB
    LAeq_1h,      ///< highest hour of a day, dB
    LAeq_loudest  ///< the loudest part of a day, however short, dB
};

/// How the sounds of a day make up what a criterion limits.
enum class Accumulation {
    Sum,          ///< every second adds to it, whatever stands beside it
    HighestHour,  ///< the hour with the highest average counts
    Loudest       ///< the loudest part counts, however short
};

/// How the days of a week count for it.
enum class DaysCounted { One, All, AveragedWhereAllowed };

/// The value of a quantity on so many days (Criterion::days_counted); none for a level without
/// sound.
namespace quantity_value {
using Value = std::optional<double>;
[[nodiscard]] Value dose(const DoseRule& rule, ExposureParts parts, double days);
[[nodiscard]] Value daily_level(const DoseRule& rule, ExposureParts parts, double days);
[[nodiscard]] Value highest_hour(const DoseRule& rule, ExposureParts parts, double days);
[[nodiscard]] Value loudest_part(const DoseRule& rule, ExposureParts parts, double days);
}  // namespace quantity_value

struct ExposureQuantityRow {
    ExposureQuantity key;
    std::string_view name;  ///< as written in JSON
    std::string_view unit;  ///< of its value and limit
    Accumulation accumulation;
    DaysCounted days;
    Formula formula;
    quantity_value::Value (*value)(const DoseRule& rule, ExposureParts parts, double days);
};

inline constexpr auto exposure_quantities = rows_of<ExposureQuantityRow>({
    {ExposureQuantity::Dose, "dose", "percent", Accumulation::Sum, DaysCounted::One,
     formula_of_dose, quantity_value::dose},
    {ExposureQuantity::WeeklyDose, "weekly_dose", "percent", Accumulation::Sum, DaysCounted::All,
     formula_of_dose, quantity_value::dose},
    {ExposureQuantity::LEX_8h, "LEX_8h", "dB", Accumulation::Sum, DaysCounted::AveragedWhereAllowed,
     formula_of_daily_exposure, quantity_value::daily_level},
    {ExposureQuantity::LAeq_1h, "LAeq_1h", "dB", Accumulation::HighestHour, DaysCounted::One,
     formula_of_highest_average, quantity_value::highest_hour},
    {ExposureQuantity::LAeq_loudest, "LAeq_loudest", "dB", Accumulation::Loudest, DaysCounted::One,
     formula_of_loudest, quantity_value::loudest_part},
});

/// As written in JSON: "dose", "weekly_dose", "LEX_8h", "LAeq_1h", "LAeq_loudest".
[[nodiscard]] constexpr std::string_view name_of(ExposureQuantity quantity) {
    return exposure_quantities[quantity].name;
}

[[nodiscard]] constexpr Accumulation accumulation_of(ExposureQuantity quantity) {
    return exposure_quantities[quantity].accumulation;
}

/// Whether a quantity is a dose in percent and no level.
[[nodiscard]] constexpr bool is_dose(ExposureQuantity quantity) {
    return exposure_quantities[quantity].unit == "percent";
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

inline constexpr auto criterion_kinds = rows_of<NameRow<CriterionKind>>({
    {CriterionKind::Limit, "limit"},
    {CriterionKind::ActionValue, "action-value"},
    {CriterionKind::Classification, "classification"},
});

/// As written in JSON: "limit", "action-value", "classification".
[[nodiscard]] constexpr std::string_view name_of(CriterionKind kind) {
    return criterion_kinds[kind].name;
}

// What is said of published criteria.
// clang-format off
#define EARBUDGET_CRITERION_PHRASES(row) \
    row(HalfTheDose, "") row(NationalLaw, "") row(WithoutProtectors, "") row(UnderProtector, "") \
    row(NotThatOf85dB, "") row(NoAveragingTime, "") row(PersonalListening, "") \
    row(WeeklyAverage, "") row(Programme, "") row(ProtectorsUsed, "") row(Measures, "") \
    row(ProtectorsOffered, "") row(WithTraining, "") row(SignificantRisk, "") \
    row(DeviceExemption, "")
// clang-format on
EARBUDGET_PHRASES(CriterionPhrase, EARBUDGET_CRITERION_PHRASES)

/// A published or own limit on noise exposure, with where it comes from.
struct Criterion {
    std::string id;
    std::string title;
    ExposureQuantity quantity = ExposureQuantity::Dose;
    /// Level, exchange rate, hours, threshold and ceiling; levels use its level and ceiling alone.
    DoseRule rule;
    double dose_limit_percent = 100.0;  ///< for doses
    std::optional<PeakLimit> peak = std::nullopt;
    bool with_protection = true;        ///< whether hearing protectors are taken into account
    std::vector<Role> roles;            ///< whom it is for
    std::string source;                 ///< document and clause
    std::vector<Message> remarks = {};  ///< what must be known to read its verdict
    /// Whether its text lets a weekly average stand for the daily level.
    bool allows_weekly_average = false;
    bool weekly_average = false;  ///< LEX_8h is then LEX,w, see averaged_over_week
    CriterionKind kind = CriterionKind::Limit;
    /// What follows from being above it, the first in short; empty for a limit.
    std::vector<Message> when_above = {};
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

/// The criteria of a person for whom a plan names none (RoleRow::default_criteria).
[[nodiscard]] std::vector<Criterion> default_criteria(Role role);

/// The criterion with LEX,w = 10 lg(days/5 · 10^(LEX,8h/10)) in the place of LEX,8h (Directive
/// 2003/10/EC, article 3(3); 2(c) by ISO 1999: a week of five nominal days of eight hours), and
/// with a remark that says so; unchanged where its text does not allow it.
[[nodiscard]] Criterion averaged_over_week(Criterion criterion);

inline constexpr Formula formula_of_weekly_average{
    "LEX,w = 10 lg(days/5 · Σ (Ti / 8 h)·10^(Li/10)); times below already multiplied by days/5",
    "Directive 2003/10/EC, article 3(3) and 2(c), by ISO 1999 (memory, edition not confirmed)"};
inline constexpr Formula formula_of_level_margin{"margin = limit − value", "difference"};

/// The probability of being over that may not be exceeded for a verdict of "within", unless a plan
/// says otherwise: 5 % (own choice, as in the one-sided 95 % of ISO 9612, annex C; memory).
inline constexpr double accepted_probability_by_default = 0.05;

/// What a plan may accept, percent.
inline constexpr double lowest_accepted_percent = 0.1;
inline constexpr double highest_accepted_percent = 50.0;

/// Whether a probability is above an accepted one, not merely by its arithmetic.
[[nodiscard]] constexpr bool is_above(double probability, double accepted) {
    return probability > accepted + arithmetic_slack;
}

}  // namespace earbudget
