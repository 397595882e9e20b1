#include <array>

#include "earbudget/exposure/criterion.hpp"

namespace earbudget {

namespace {

constexpr LevelDifference equal_energy{3.0};  // exchange rate of the equal-energy criteria

Criterion niosh_rel() {
    return {.id = "niosh-rel",
            .title = "NIOSH recommended exposure limit",
            .quantity = ExposureQuantity::Dose,
            .rule = {.level = LevelA(85.0),
                     .exchange = LevelDifference(3.0),
                     .hours = Hours(8),
                     .threshold = LevelA(80.0),  // memory
                     .ceiling = LevelA(140.0)},  // memory
            .with_protection = true,
            .roles = {Role::Participant, Role::Staff},
            .source = "NIOSH 98-126, 1.1"};
}

Criterion eu_limit() {
    return {.id = "eu-limit",
            .title = "EU exposure limit value",
            .quantity = ExposureQuantity::LEX_8h,
            .rule = {.level = LevelA(87.0), .exchange = equal_energy, .hours = Hours(8)},
            .peak = PeakLimit{Pressure(200.0), PeakLimit::Weighting::C},
            .with_protection = true,
            .roles = {Role::Staff},
            .source = "Directive 2003/10/EC, article 3(1)(a)",
            .remark = "national law may be stricter"};
}

Criterion iec_60601_2_33() {
    return {.id = "iec-60601-2-33",
            .title = "Scanner standard, highest hour",
            .quantity = ExposureQuantity::LAeq_1h,
            .rule = {.level = LevelA(99.0), .exchange = equal_energy, .hours = Hours(1)},  // memory
            .peak = PeakLimit{Pressure(200.0), PeakLimit::Weighting::None},  // 140 dB, seen
            .with_protection = true,
            .roles = {Role::Participant},
            .source = "IEC 60601-2-33, 201.9.6.2.1",
            .remark =
                "99 dB(A) for one hour is LEX,8h 90 dB(A): this is not an 85 dB(A) criterion, "
                "NIOSH allows 18.9 minutes at that level"};
}

}  // namespace

std::span<const Criterion> published_criteria() {
    static const std::array<Criterion, 3> criteria = {niosh_rel(), eu_limit(), iec_60601_2_33()};
    return criteria;
}

}  // namespace earbudget
