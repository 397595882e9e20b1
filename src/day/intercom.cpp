#include "earbudget/day/exposure_day.hpp"

namespace earbudget {

namespace {

/// By how much the protector reduces the sequences while it is worn.
LevelDifference reduction_of(const ExposureDay& day) {
    std::vector<ExposurePart> outside;
    std::vector<ExposurePart> worn;
    for (const ExposureRow& row : day.rows) {
        if (!row.sequence) continue;
        outside.push_back({row.outside(), row.time});
        worn.push_back({row.while_worn, row.time});
    }
    const auto before = time_average(outside);
    const auto after = time_average(worn);
    return before && after ? *before - *after : LevelDifference(0.0);
}

/// Of a method with one form from C and one from A both sounds must go through the same.
bool must_drop_C(std::optional<Method> method, const SoundLevels& a, const SoundLevels& b) {
    const bool two_forms = method && !method_rows[*method].formula_from_A.empty();
    return two_forms && a.c_weighted_level().has_value() != b.c_weighted_level().has_value();
}

SoundLevels without_C(SoundLevels sound) {
    sound.LCeq = std::nullopt;
    sound.octave = {};
    return sound;
}

}  // namespace

std::optional<IntercomAtEar> intercom_at_ear(const Plan& plan, const Person& person,
                                             const std::vector<std::string>& wears,
                                             const Wearing& wearing, const ExposureDay& day) {
    if (!plan.intercom || person.role != Role::Participant) return std::nullopt;
    SoundLevels speech = *plan.intercom;
    std::optional<SoundLevels> residual = plan.background;
    if (residual && must_drop_C(day.method, speech, *residual)) {
        speech = without_C(speech);
        residual = without_C(*residual);
    }
    const auto through = [&](const SoundLevels& sound) {
        return level_through(plan, person, wears, wearing, day, sound);
    };
    const auto speech_level = through(speech);
    const auto residual_level = residual ? through(*residual) : std::nullopt;
    if (speech_level && (!residual || residual_level)) {
        return IntercomAtEar{*speech_level, residual_level};
    }
    const LevelDifference reduction = reduction_of(day);
    IntercomAtEar result{speech.LAeq - reduction, std::nullopt, /*by_average=*/true};
    if (residual) result.residual = residual->LAeq - reduction;
    return result;
}

}  // namespace earbudget
