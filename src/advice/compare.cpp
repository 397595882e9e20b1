#include "earbudget/advice/compare.hpp"

#include <algorithm>

#include "earbudget/computing/add_once.hpp"

namespace earbudget {

namespace {

const Sequence* find_sequence(const Plan& plan, const std::string& id) {
    const auto found = std::ranges::find(plan.sequences, id, &Sequence::id);
    return found == plan.sequences.end() ? nullptr : &*found;
}

/// How long a sequence runs in one session; none where it does not.
std::optional<Seconds> time_of(const Plan& plan, const std::string& id) {
    std::optional<Seconds> time;
    for (const TimelineRow& row : plan.timeline) {
        if (!row.sequence || plan.sequences[*row.sequence].id != id) continue;
        time = time.value_or(Seconds(0.0)) + row.time();
    }
    return time;
}

Seconds session_time(const Plan& plan) {
    Seconds time(0.0);
    for (const TimelineRow& row : plan.timeline)
        time += row.time();
    return time;
}

/// The sequences that one of the timelines runs, each once: those of the first, then new ones.
std::vector<std::string> sequences_of(const Plan& before, const Plan& after) {
    std::vector<std::string> ids;
    for (const Plan* plan : {&before, &after}) {
        for (const TimelineRow& row : plan->timeline) {
            if (!row.sequence) continue;
            add_once(plan->sequences[*row.sequence].id, ids);
        }
    }
    return ids;
}

std::optional<LevelA> level_of(const Plan& plan, const std::string& id) {
    const Sequence* sequence = find_sequence(plan, id);
    return sequence ? std::optional(sequence->levels.LAeq) : std::nullopt;
}

const PersonResult* find_person(const Assessment& assessment, const std::string& id) {
    for (const PersonResult& person : assessment.people) {
        if (person.person->id == id) return &person;
    }
    return nullptr;
}

const CriterionResult* find_result(const PersonResult* person, const CriterionResult& like) {
    if (!person) return nullptr;
    for (const CriterionResult& result : person->criteria) {
        const bool same_kind = (result.is_peak) == (like.is_peak);
        if (same_kind && result.criterion->id == like.criterion->id) return &result;
    }
    return nullptr;
}

PersonChange change_of(const std::string& id, const PersonResult* before,
                       const PersonResult* after) {
    PersonChange change{.id = id, .before = before, .after = after};
    if (after) {
        for (const CriterionResult& result : after->criteria)
            change.criteria.push_back({find_result(before, result), &result});
    }
    if (before) {
        for (const CriterionResult& result : before->criteria) {
            if (!find_result(after, result)) change.criteria.push_back({&result, nullptr});
        }
    }
    return change;
}

}  // namespace

bool SequenceChange::is_card_changed() const {
    if (!card_before || !card_after) return false;
    const SoundLevels& was = card_before->levels;
    const SoundLevels& is = card_after->levels;
    const std::string was_like = was.borrowed ? was.borrowed->card : "";
    const std::string is_like = is.borrowed ? is.borrowed->card : "";
    return was.LAeq != is.LAeq || was.LCeq != is.LCeq || was.LCpeak != is.LCpeak ||
           was.LZpeak != is.LZpeak || was.uncertainty != is.uncertainty ||
           was.low_frequency != is.low_frequency || was_like != is_like || are_octaves_changed();
}

bool SequenceChange::are_octaves_changed() const {
    if (!card_before || !card_after) return false;
    return std::ranges::any_of(octave_bands, [&](OctaveBand band) {
        const SoundLevels& was = card_before->levels;
        const SoundLevels& is = card_after->levels;
        return was.octave.at(band) != is.octave.at(band) ||
               was.octave_A.at(band) != is.octave_A.at(band);
    });
}

std::optional<LevelDifference> PersonChange::change() const {
    if (!before || !after) return std::nullopt;
    const auto& was = before->exposure.at_ear_LEX_8h;
    const auto& is = after->exposure.at_ear_LEX_8h;
    return was && is ? std::optional(*is - *was) : std::nullopt;
}

bool PersonChange::wears_otherwise() const {
    return before && after && !are_same_set(before->person->wears, after->person->wears);
}

Comparison compare(const Assessment& before, const Assessment& after) {
    Comparison comparison{.before = &before,
                          .after = &after,
                          .session_before = session_time(*before.plan),
                          .session_after = session_time(*after.plan)};
    for (const std::string& id : sequences_of(*before.plan, *after.plan)) {
        SequenceChange change{.id = id,
                              .before = time_of(*before.plan, id),
                              .after = time_of(*after.plan, id),
                              .LAeq_before = level_of(*before.plan, id),
                              .LAeq_after = level_of(*after.plan, id),
                              .card_before = find_sequence(*before.plan, id),
                              .card_after = find_sequence(*after.plan, id)};
        if (change.is_any()) comparison.sequences.push_back(std::move(change));
    }
    for (const PersonResult& person : after.people) {
        const std::string& id = person.person->id;
        comparison.people.push_back(change_of(id, find_person(before, id), &person));
    }
    for (const PersonResult& person : before.people) {
        const std::string& id = person.person->id;
        if (!find_person(after, id)) {
            comparison.people.push_back(change_of(id, &person, nullptr));
        }
    }
    return comparison;
}

}  // namespace earbudget
