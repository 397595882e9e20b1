#include "earbudget/choice/homogeneous_groups.hpp"

#include <algorithm>
#include <map>
#include <variant>

#include "earbudget/choice/phrases.hpp"

namespace earbudget {

namespace {

/// In all but where it is stated; a member that is added must be compared here too.
bool are_alike(const Policy& one, const Policy& other) {
    const auto& [rules, criteria, criteria_by_default, weekly_average, speech_must_be_heard,
                 least_useful, accepted_probability, peak_at_most_above_LAeq, stated_at] = one;
    return rules == other.rules && criteria == other.criteria &&
           criteria_by_default == other.criteria_by_default &&
           weekly_average == other.weekly_average &&
           speech_must_be_heard == other.speech_must_be_heard &&
           least_useful == other.least_useful &&
           accepted_probability == other.accepted_probability &&
           peak_at_most_above_LAeq == other.peak_at_most_above_LAeq;
}

template <class Levels>
bool are_equal(const Levels& one, const Levels& other) {
    return std::ranges::all_of(octave_bands,
                               [&](OctaveBand band) { return one.at(band) == other.at(band); });
}

bool are_equal(const std::optional<UncertaintyParts>& one,
               const std::optional<UncertaintyParts>& other) {
    if (!one || !other) return one.has_value() == other.has_value();
    const auto& [instrument, position, run] = *one;
    return instrument == other->instrument && position == other->position && run == other->run;
}

/// Here too.
bool are_alike(const std::optional<SoundLevels>& one, const std::optional<SoundLevels>& other) {
    if (!one || !other) return one.has_value() == other.has_value();
    const auto& [LAeq, LCeq, LCpeak, LZpeak, octave, octave_A, uncertainty, parts, low_frequency,
                 low_frequency_does_not_hold, borrowed] = *one;
    return LAeq == other->LAeq && LCeq == other->LCeq && LCpeak == other->LCpeak &&
           LZpeak == other->LZpeak && are_equal(octave, other->octave) &&
           are_equal(octave_A, other->octave_A) && uncertainty == other->uncertainty &&
           are_equal(parts, other->uncertainty_parts) && low_frequency == other->low_frequency &&
           low_frequency_does_not_hold == other->low_frequency_does_not_hold &&
           borrowed == other->borrowed;
}

/// In all but place; here too.
bool are_alike(const Task& one, const Task& other) {
    const auto& [title, position, door_open, duration, sequence, levels, LAeq_samples,
                 duration_range, once_a_day, wears, wearing, worn_uncertainty, stated_at] = one;
    return title == other.title && position == other.position && door_open == other.door_open &&
           duration == other.duration && sequence == other.sequence &&
           are_alike(levels, other.levels) && LAeq_samples == other.LAeq_samples &&
           duration_range == other.duration_range && once_a_day == other.once_a_day &&
           wears == other.wears && wearing == other.wearing &&
           worn_uncertainty == other.worn_uncertainty;
}

/// In all but id, title, place and tasks; here too.
bool are_alike_but_for_tasks(const Person& one, const Person& other) {
    const auto& [id, role, wears, wearing, PAR, PAR_uncertainty, fit_uncertainty, worn_uncertainty,
                 cannot_wear, only, canal, sessions_per_day, days_per_week, visits, tasks, policy,
                 stated_at, title, note, age_group, pregnant_staff, tinnitus_or_hyperacusis,
                 hearing_device, unfitted_ear, own_protectors, instead] = one;
    return role == other.role && wears == other.wears && wearing == other.wearing &&
           PAR == other.PAR && PAR_uncertainty == other.PAR_uncertainty &&
           fit_uncertainty == other.fit_uncertainty && worn_uncertainty == other.worn_uncertainty &&
           cannot_wear == other.cannot_wear && only == other.only && canal == other.canal &&
           sessions_per_day == other.sessions_per_day && days_per_week == other.days_per_week &&
           visits == other.visits && are_alike(policy, other.policy) && note == other.note &&
           age_group == other.age_group && pregnant_staff == other.pregnant_staff &&
           tinnitus_or_hyperacusis == other.tinnitus_or_hyperacusis &&
           hearing_device == other.hearing_device && unfitted_ear == other.unfitted_ear &&
           own_protectors == other.own_protectors && instead == other.instead;
}

}  // namespace

bool are_alike(const Person& one, const Person& other) {
    return are_alike_but_for_tasks(one, other) &&
           std::ranges::equal(one.tasks, other.tasks,
                              [](const Task& a, const Task& b) { return are_alike(a, b); });
}

std::vector<PeopleAlike> homogeneous_groups(const std::vector<Person>& people) {
    std::vector<PeopleAlike> groups;
    for (std::size_t n = 0; n < people.size(); ++n) {
        const auto known =
            groups.begin() + static_cast<std::ptrdiff_t>(std::min(groups.size(), most_kinds));
        const auto same = std::find_if(groups.begin(), known, [&](const PeopleAlike& group) {
            const Person& first = people[group.front()];
            return first.tasks.empty() && are_alike(first, people[n]);
        });
        if (same == known) {
            groups.push_back({n});
        } else {
            same->push_back(n);
        }
    }
    return groups;
}

PersonResult as_found_for(const Person& person, const Person& first, PersonResult result) {
    result.person = &person;
    for (CriterionResult& criterion : result.criteria) {
        criterion.criterion =
            person.policy.criteria.data() + (criterion.criterion - first.policy.criteria.data());
    }
    for (AllowanceCourse& allowance : result.course.allowances) {
        allowance.criterion =
            person.policy.criteria.data() + (allowance.criterion - first.policy.criteria.data());
    }
    return result;
}

std::vector<Warning> as_found_for(const Person& person, const Person& first,
                                  std::vector<Warning> warnings) {
    for (Warning& warning : warnings) {
        if (warning.people.empty()) continue;
        std::ranges::replace(warning.people, first.id, person.id);
        if (warning.where == first.stated_at) warning.where = person.stated_at;
    }
    return warnings;
}

PersonChoice as_found_for(const Person& person, const Person& first, PersonChoice choice) {
    choice.person = &person;
    const auto name = [&](RankedChoice& ranked) {
        for (Message& note : ranked.notes) {
            if (!note.is(ChoicePhrase::AtPlace)) continue;
            auto& where = std::get<SourcePosition>(note.arguments.front().value);
            if (where == first.policy.stated_at) where = person.policy.stated_at;
        }
    };
    std::ranges::for_each(choice.ranking, name);
    name(choice.unprotected);
    return choice;
}

std::vector<PeopleTogether> people_together(const std::vector<const Person*>& people) {
    std::vector<PeopleTogether> groups;
    for (std::size_t n = 0; n < people.size(); ++n) {
        const auto known =
            groups.begin() + static_cast<std::ptrdiff_t>(std::min(groups.size(), most_kinds));
        const auto same = std::find_if(groups.begin(), known, [&](const PeopleTogether& group) {
            return are_alike(*people[group.front()], *people[n]);
        });
        if (same == known) {
            groups.push_back({n});
        } else {
            same->push_back(n);
        }
    }
    return groups;
}

std::vector<Warning> said_once(const std::vector<Warning>& warnings) {
    std::vector<Warning> once;
    std::map<Message, std::size_t> places;
    for (const Warning& warning : warnings) {
        const auto [known, is_new] = places.try_emplace(warning.says, once.size());
        if (is_new) {
            once.push_back(warning);
            continue;
        }
        auto& people = once[known->second].people;
        people.insert(people.end(), warning.people.begin(), warning.people.end());
    }
    return once;
}

}  // namespace earbudget
