#pragma once

#include <algorithm>
#include <string>
#include <vector>

#include "earbudget/advice/assess.hpp"
#include "earbudget/exposure/criterion.hpp"
#include "support/random_plan.hpp"

namespace earbudget::test {

/// Whether the first person of a plan exceeds an exposure limit, assessed anew; peaks aside.
inline bool is_over(const Plan& plan, bool protectors_alone = false) {
    const Assessment assessment = assess(plan);
    return std::ranges::any_of(assessment.people.front().criteria, [&](const auto& result) {
        return result.decides && !result.is_peak && result.verdict == Verdict::Over &&
               (!protectors_alone || result.at_ear);
    });
}

/// Whether the probability of that is above 5 % for any limit.
inline bool is_perhaps_over(const Plan& plan, bool protectors_alone = false) {
    const Assessment assessment = assess(plan);
    return std::ranges::any_of(assessment.people.front().criteria, [&](const auto& result) {
        return result.decides && !result.is_peak && (!protectors_alone || result.at_ear) &&
               (result.verdict == Verdict::Over ||
                is_above(result.probability_over.value_or(0.0),
                         plan.people.front().policy.accepted_probability));
    });
}

/// The plan with all runs of a row lasting so long together: in the timeline, or in the task.
inline Plan with_row_lasting(Plan plan, const ExposureRow& row, Seconds time) {
    if (row.timeline_row) {
        TimelineRow& stated = plan.timeline[*row.timeline_row];
        stated.duration = time / static_cast<double>(stated.repeat);
    } else {
        plan.people.front().tasks[*row.task].duration = time;
    }
    return plan;
}

/// The plan with so many runs of a row; a task counts as one run.
inline Plan with_runs(Plan plan, const ExposureRow& row, unsigned runs) {
    if (!row.timeline_row) return with_row_lasting(std::move(plan), row, runs * row.run());
    plan.timeline[*row.timeline_row].repeat = runs;
    return plan;
}

/// Every sequence that the person hears, in the timeline or in a task, that much shorter.
inline Plan with_sequences_scaled(Plan plan, double factor) {
    for (TimelineRow& row : plan.timeline) {
        if (row.sequence) row.duration *= factor;
    }
    for (Task& task : plan.people.front().tasks) {
        if (task.sequence && task.duration) *task.duration *= factor;
    }
    return plan;
}

inline Plan with_sessions(Plan plan, unsigned sessions) {
    plan.people.front().sessions_per_day = sessions;
    return plan;
}

/// So many days in the place of each: a week has seven at most.
inline Plan on_more_days(Plan plan, unsigned days) {
    auto& a_week = plan.people.front().days_per_week;
    a_week = std::min(7.0, std::max(a_week.value_or(1.0), 1.0) * days);
    return plan;
}

inline Plan wearing(Plan plan, std::vector<std::string> wears, Wearing how) {
    Person& person = plan.people.front();
    if (!are_same_set(wears, person.wears)) person.PAR = std::nullopt;
    person.wears = std::move(wears);
    person.wearing = how;
    return plan;
}

/// Everything worn takes off that much more, and who wears nothing gets a protector that takes off
/// as much; a task that says that nothing is worn during it stays.
inline Plan with_more_reduction(Plan plan, double dB) {
    const LevelDifference more(dB);
    for (CatalogueEntry& entry : plan.catalogue.protectors) {
        OctaveAttenuation& octave = *entry.protector.octave;
        OctaveAttenuation raised;
        for (const OctaveBand band : octave_bands) {
            if (octave.has(band)) {
                raised.set(band, octave.mean(band) + more, octave.deviation(band));
            }
        }
        octave = raised;
    }
    Protector protector{.id = "more", .title = "invented", .type = ProtectorType::Earmuff};
    protector.octave = flat_attenuation(dB);
    plan.catalogue.protectors.push_back({protector});
    Person& person = plan.people.front();
    if (person.PAR) *person.PAR += more;
    if (person.wears.empty()) {
        person.wears = {"more"};
        person.wearing = {};
    }
    return plan;
}

}  // namespace earbudget::test
