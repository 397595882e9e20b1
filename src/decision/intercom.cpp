#include "earbudget/decision/intercom.hpp"

namespace earbudget {

namespace {

/// By how much the protector reduces the sequences while it is worn.
LevelDifference reduction_of(const HearingDay& day) {
    std::vector<ExposurePart> outside;
    std::vector<ExposurePart> worn;
    for (const HeardRow& row : day.rows) {
        if (!row.sequence) continue;
        outside.push_back({row.outside(), row.time});
        worn.push_back({row.while_worn, row.time});
    }
    const auto before = time_average(outside);
    const auto after = time_average(worn);
    return before && after ? *before - *after : LevelDifference(0.0);
}

}  // namespace

std::optional<IntercomAtEar> intercom_at_ear(const Plan& plan, const Person& person,
                                             const HearingDay& day) {
    if (!plan.intercom || person.role != Role::Participant) return std::nullopt;
    Person listening = person;
    listening.policy.rules.method = day.method;
    Plan room = plan;
    // Each heard for a minute between runs, through the same protector.
    room.timeline = {TimelineRow{.sequence = {}, .duration = Seconds(60.0)}};
    room.background = plan.intercom;
    const HeardRow speech = hear(room, listening).rows.front();
    std::optional<HeardRow> residual;
    if (plan.background) {
        room.background = plan.background;
        residual = hear(room, listening).rows.front();
    }
    const bool predicted = speech.prediction && (!residual || residual->prediction);
    if (predicted || !day.method) {
        return IntercomAtEar{*speech.while_worn, residual ? residual->while_worn : std::nullopt};
    }
    const LevelDifference reduction = reduction_of(day);
    IntercomAtEar result{plan.intercom->LAeq - reduction, std::nullopt};
    if (plan.background) result.residual = plan.background->LAeq - reduction;
    return result;
}

}  // namespace earbudget
