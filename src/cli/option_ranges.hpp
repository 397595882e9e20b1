#pragma once

#include <string>
#include <string_view>

#include <fmt/format.h>

#include "earbudget/acoustics/sound_levels.hpp"
#include "earbudget/exposure/criterion.hpp"
#include "earbudget/protection/ratings.hpp"
#include "files/keys.hpp"

namespace earbudget::cli {

/// What a number of the command line may be, both ends included.
struct OptionRange {
    double least;
    double most;
    std::string_view unit;
};

inline constexpr OptionRange calibrator_levels{lowest_level_dB, highest_level_dB, "dB"};

/// A full scale may lie above every sound that a channel will carry. Own choice.
inline constexpr OptionRange full_scale_levels{lowest_level_dB, 250.0, "dB"};

/// Far beyond every microphone and recorder. Own choices.
inline constexpr OptionRange sensitivities{1e-6, 1e6, "mV/Pa"};
inline constexpr OptionRange full_scale_voltages{1e-6, 1e6, "V"};

inline constexpr OptionRange protection_performances{
    ProtectionPerformance::lowest_percent, ProtectionPerformance::highest_percent, "percent"};
inline constexpr OptionRange accepted_probabilities{lowest_accepted_percent,
                                                    highest_accepted_percent, "percent"};
inline constexpr OptionRange sessions_a_day{files::sessions_per_day_range.lowest,
                                            files::sessions_per_day_range.highest, ""};
inline constexpr OptionRange days_a_week{files::days_per_week_range.lowest,
                                         files::days_per_week_range.highest, ""};

/// "level that the calibrator produced, from -20 to 190 dB".
inline std::string with_range(std::string_view what, const OptionRange& range) {
    return fmt::format("{}, from {:g} to {:g}{}{}", what, range.least, range.most,
                       range.unit.empty() ? "" : " ", range.unit);
}

}  // namespace earbudget::cli
