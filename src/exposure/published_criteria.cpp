// Values and clauses marked "memory" are recalled, not read in the publication.
#include <algorithm>
#include <array>
#include <cmath>

#include "earbudget/exposure/criterion.hpp"

namespace earbudget {

namespace {

using enum CriterionPhrase;

// Of criteria that print their times by it: 2^(ΔL/3), and of levels, which do not use it.
constexpr LevelDifference exchange_of_3_dB{3.0};
constexpr Pressure peak_140_dB{200.0};

// Of criteria that count sound energy: twice the time is 10 lg 2 = 3.0103 dB.
LevelDifference exchange_of_energy() { return LevelDifference(10.0 * std::log10(2.0)); }

Criterion niosh_rel() {
    return {.id = "niosh-rel",
            .title = "NIOSH recommended exposure limit",
            .quantity = ExposureQuantity::Dose,
            .rule = {.level = LevelA(85.0),
                     .exchange = exchange_of_3_dB,
                     .hours = Hours(8),
                     .threshold = LevelA(80.0),  // memory
                     .ceiling = LevelA(140.0)},  // memory
            .with_protection = true,
            .roles = {Role::Participant, Role::Staff},
            .source = "NIOSH 98-126, 1.1"};
}

Criterion osha_pel() {
    return {.id = "osha-pel",
            .title = "OSHA permissible exposure limit",
            .quantity = ExposureQuantity::Dose,
            .rule = {.level = LevelA(90.0),
                     .exchange = LevelDifference(5.0),
                     .hours = Hours(8),
                     .threshold = LevelA(90.0),                          // memory
                     .ceiling = LevelA(115.0)},                          // memory
            .peak = PeakLimit{peak_140_dB, PeakLimit::Weighting::None},  // memory
            .with_protection = true,                                     // memory, (b)(1)
            .roles = {Role::Staff},
            .source = "29 CFR 1910.95(b), table G-16"};
}

Criterion osha_action() {
    return {.id = "osha-action",
            .title = "OSHA action level",
            .quantity = ExposureQuantity::Dose,
            .rule = {.level = LevelA(90.0),
                     .exchange = LevelDifference(5.0),
                     .hours = Hours(8),
                     .threshold = LevelA(80.0)},  // memory, (d)(2)(i)
            .dose_limit_percent = 50.0,
            .with_protection = false,
            .roles = {Role::Staff},
            .source = "29 CFR 1910.95(c)(1)",
            .remarks = {say<HalfTheDose>()},
            .kind = CriterionKind::ActionValue,
            .when_above = {say<Programme>()}};  // (i)(1) for the protectors: memory
}

// What the three values of the directive have in common.
Criterion eu_value(double LEX_8h, double peak_Pa, bool with_protection) {
    return {.id = {},
            .title = {},
            .quantity = ExposureQuantity::LEX_8h,
            .rule = {.level = LevelA(LEX_8h), .exchange = exchange_of_3_dB, .hours = Hours(8)},
            // Of the limit value protectors are taken into account, article 3 (seen).
            .peak = PeakLimit{Pressure(peak_Pa), PeakLimit::Weighting::C, with_protection},
            .with_protection = with_protection,
            .roles = {Role::Staff},
            .source = {},
            .remarks = {say<NationalLaw>()},
            .allows_weekly_average = true};
}

Criterion eu_limit() {
    Criterion criterion = eu_value(87.0, 200.0, true);
    criterion.id = "eu-limit";
    criterion.title = "EU exposure limit value";
    criterion.source = "Directive 2003/10/EC, article 3(1)(a)";
    return criterion;
}

// In pascals the directive's print of 137 and 135 dB(C) is 136.9 and 135.0 dB(C).
Criterion eu_upper_action() {
    Criterion criterion = eu_value(85.0, 140.0, false);
    criterion.id = "eu-upper-action";
    criterion.title = "EU upper exposure action value";
    criterion.source = "Directive 2003/10/EC, article 3(1)(b)";
    criterion.kind = CriterionKind::ActionValue;
    criterion.remarks.push_back(say<WithoutProtectors>());
    criterion.when_above = {say<ProtectorsUsed>(), say<Measures>()};  // 5(2), 6(1)(b): memory
    return criterion;
}

Criterion eu_lower_action() {
    Criterion criterion = eu_value(80.0, 112.0, false);
    criterion.id = "eu-lower-action";
    criterion.title = "EU lower exposure action value";
    criterion.source = "Directive 2003/10/EC, article 3(1)(c)";
    criterion.kind = CriterionKind::ActionValue;
    criterion.remarks.push_back(say<WithoutProtectors>());
    criterion.when_above = {say<ProtectorsOffered>(), say<WithTraining>()};  // 6(1)(a), 8: memory
    return criterion;
}

// The ordinance and the rule state decibels: 137 dB(C) is 141.6 Pa, not the directive's 140 Pa.
Criterion de_under_protector() {
    return {.id = "de-under-protector",
            .title = "German limit under the protector",
            .quantity = ExposureQuantity::LEX_8h,
            .rule = {.level = LevelA(85.0), .exchange = exchange_of_3_dB, .hours = Hours(8)},
            .peak = PeakLimit{pressure_of(PeakLevelC(137.0)), PeakLimit::Weighting::C, true},
            .with_protection = true,
            .roles = {Role::Staff},
            .source =
                "DGUV Regel 112-194 (edition not confirmed); LärmVibrationsArbSchV § 8(2) (memory)",
            .remarks = {say<UnderProtector>()},
            .only_where_named = true};
}

Criterion iec_60601_2_33() {
    return {
        .id = "iec-60601-2-33",
        .title = "Scanner standard, highest hour",
        .quantity = ExposureQuantity::LAeq_1h,
        .rule = {.level = LevelA(99.0), .exchange = exchange_of_3_dB, .hours = Hours(1)},  // memory
        .peak = PeakLimit{peak_140_dB, PeakLimit::Weighting::None},                        // seen
        .with_protection = true,
        .roles = {Role::Participant, Role::Accompanying},  // others in the room: memory
        .source = "IEC 60601-2-33, 201.9.6.2.1 (a national text, edition not confirmed)",
        .remarks = {say<NotThatOf85dB>()}};
}

Criterion fda_significant_risk() {
    return {.id = "fda-significant-risk",
            .title = "FDA significant risk",
            .quantity = ExposureQuantity::LAeq_loudest,
            // The text gives no averaging time, so the level alone is used.
            .rule = {.level = LevelA(99.0), .exchange = exchange_of_3_dB, .hours = Hours(0)},
            .peak = PeakLimit{peak_140_dB, PeakLimit::Weighting::None},
            .with_protection = true,
            .roles = {Role::Participant},
            .source =
                "FDA, Criteria for significant risk investigations of magnetic resonance "
                "diagnostic devices (2014)",
            .remarks = {say<NoAveragingTime>()},
            .kind = CriterionKind::Classification,
            .when_above = {say<SignificantRisk>(), say<DeviceExemption>()}};
}

// WHO–ITU H.870 is about listening devices; it is taken for a week of all that is heard here. It
// counts energy: 80 dB(A) for 40 h is 1.6 Pa²h, 75 dB(A) 0.51 Pa²h (03/2022, ITU's summary).
Criterion who_public(const char* id, const char* title, double level) {
    return {.id = id,
            .title = title,
            .quantity = ExposureQuantity::WeeklyDose,
            .rule = {.level = LevelA(level), .exchange = exchange_of_energy(), .hours = Hours(40)},
            .with_protection = true,
            .roles = {Role::Participant, Role::Accompanying},
            .source = "WHO and ITU-T H.870 (03/2022)",
            .remarks = {say<PersonalListening>()}};
}

}  // namespace

std::span<const Criterion> published_criteria() {
    static const std::array<Criterion, 11> criteria = {
        niosh_rel(),
        osha_pel(),
        osha_action(),
        eu_limit(),
        eu_upper_action(),
        eu_lower_action(),
        de_under_protector(),
        iec_60601_2_33(),
        fda_significant_risk(),
        who_public("who-public-adult", "WHO safe listening, adults", 80.0),
        who_public("who-public-child", "WHO safe listening, children", 75.0)};
    return criteria;
}

const Criterion* find_published_criterion(std::string_view id) {
    const auto criteria = published_criteria();
    const auto found = std::find_if(criteria.begin(), criteria.end(),
                                    [id](const Criterion& c) { return c.id == id; });
    return found == criteria.end() ? nullptr : &*found;
}

std::vector<Criterion> default_criteria(Role role) {
    std::vector<Criterion> criteria;
    for (const std::string_view id : role_rows[role].default_criteria) {
        if (!id.empty()) criteria.push_back(*find_published_criterion(id));
    }
    return criteria;
}

namespace {

// 2003/10/EC, article 2(c), by ISO 1999: days of eight hours in a week (memory).
constexpr double nominal_working_days = 5.0;

}  // namespace

bool Criterion::is_for(Role role) const {
    return std::find(roles.begin(), roles.end(), role) != roles.end();
}

double Criterion::limit() const { return is_dose(quantity) ? dose_limit_percent : rule.level.dB(); }

double Criterion::days_counted(double days_per_week) const {
    const double days = std::max(days_per_week, 1.0);
    const DaysCounted counted = exposure_quantities[quantity].days;
    if (counted == DaysCounted::All) return days;
    return counted == DaysCounted::AveragedWhereAllowed && weekly_average
               ? days / nominal_working_days
               : 1.0;
}

Criterion averaged_over_week(Criterion criterion) {
    if (!criterion.allows_weekly_average || criterion.weekly_average) return criterion;
    criterion.weekly_average = true;
    criterion.source += ", with 3(3)";
    criterion.remarks.push_back(say<CriterionPhrase::WeeklyAverage>());
    return criterion;
}

}  // namespace earbudget
