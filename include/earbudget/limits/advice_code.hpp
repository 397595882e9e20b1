#pragma once

#include <string_view>

#include "earbudget/computing/rows.hpp"

namespace earbudget {

/// What an advice tells people to do.
enum class AdviceCode {
    MetalOutside,
    MeasureAgain,
    FitCheck,
    WearThroughout,
    CompleteData,
    AddProtection,
    ChangeProtection,
    Shorten,
    DropRepeats,
    FewerSessions,
    SpreadDays,
    MoveAway,
    RequiredProtection,
    TooMuchProtection,
    RaiseIntercom
};

inline constexpr auto advice_codes = rows_of<NameRow<AdviceCode>>({
    {AdviceCode::MetalOutside, "metal-outside"},
    {AdviceCode::MeasureAgain, "measure-again"},
    {AdviceCode::FitCheck, "fit-check"},
    {AdviceCode::WearThroughout, "wear-throughout"},
    {AdviceCode::CompleteData, "complete-data"},
    {AdviceCode::AddProtection, "add-protection"},
    {AdviceCode::ChangeProtection, "change-protection"},
    {AdviceCode::Shorten, "shorten"},
    {AdviceCode::DropRepeats, "drop-repeats"},
    {AdviceCode::FewerSessions, "fewer-sessions"},
    {AdviceCode::SpreadDays, "spread-days"},
    {AdviceCode::MoveAway, "move-away"},
    {AdviceCode::RequiredProtection, "required-protection"},
    {AdviceCode::TooMuchProtection, "too-much-protection"},
    {AdviceCode::RaiseIntercom, "raise-intercom"},
});

/// As written in JSON: "metal-outside", "measure-again", …
[[nodiscard]] constexpr std::string_view name_of(AdviceCode code) {
    return advice_codes[code].name;
}

}  // namespace earbudget
