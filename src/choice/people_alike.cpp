#include "choice/people_alike.hpp"

#include <algorithm>

namespace earbudget {

namespace {

// No id and no files that there may be, and in no text but where an id or a place stands.
constexpr const char* id_of_stand_in = "\x01";
constexpr const char* place_of_stand_in = "\x02";
constexpr const char* place_of_its_policy = "\x03";

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
                 borrowed] = *one;
    return LAeq == other->LAeq && LCeq == other->LCeq && LCpeak == other->LCpeak &&
           LZpeak == other->LZpeak && are_equal(octave, other->octave) &&
           are_equal(octave_A, other->octave_A) && uncertainty == other->uncertainty &&
           are_equal(parts, other->uncertainty_parts) && low_frequency == other->low_frequency &&
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

/// In all but id, place and tasks; here too.
bool are_alike_but_for_tasks(const Person& one, const Person& other) {
    const auto& [id, role, wears, wearing, PAR, PAR_uncertainty, fit_uncertainty, worn_uncertainty,
                 cannot_wear, only, canal, sessions_per_day, days_per_week, visits, tasks, policy,
                 stated_at] = one;
    return role == other.role && wears == other.wears && wearing == other.wearing &&
           PAR == other.PAR && PAR_uncertainty == other.PAR_uncertainty &&
           fit_uncertainty == other.fit_uncertainty && worn_uncertainty == other.worn_uncertainty &&
           cannot_wear == other.cannot_wear && only == other.only && canal == other.canal &&
           sessions_per_day == other.sessions_per_day && days_per_week == other.days_per_week &&
           visits == other.visits && are_alike(policy, other.policy);
}

/// Puts a person in the place of the stand-in.
class Naming {
  public:
    Naming(const Person& person, const Person& stand_in) : person_(person), stand_in_(stand_in) {}

    void name(std::string& text) const {
        replace(text, stand_in_.id, person_.id);
        replace(text, stand_in_.stated_at.text(), person_.stated_at.text());
        replace(text, stand_in_.policy.stated_at.text(), person_.policy.stated_at.text());
    }

    void name(std::optional<SourcePosition>& place) const {
        if (place == stand_in_.stated_at) {
            place = person_.stated_at;
        } else if (place == stand_in_.policy.stated_at) {
            place = person_.policy.stated_at;
        }
    }

    void name(std::vector<std::string>& texts) const {
        for (std::string& text : texts)
            name(text);
    }

    void name(RankedChoice& choice) const {
        name(choice.reason);
        name(choice.notes);
    }

    [[nodiscard]] const Criterion* own(const Criterion* criterion) const {
        return person_.policy.criteria.data() + (criterion - stand_in_.policy.criteria.data());
    }

  private:
    static void replace(std::string& text, const std::string& of_stand_in, const std::string& own) {
        std::size_t from = 0;
        while ((from = text.find(of_stand_in, from)) != std::string::npos) {
            text.replace(from, of_stand_in.size(), own);
            from += own.size();
        }
    }

    const Person& person_;
    const Person& stand_in_;
};

}  // namespace

bool are_alike(const Person& one, const Person& other) {
    return are_alike_but_for_tasks(one, other) &&
           std::ranges::equal(one.tasks, other.tasks,
                              [](const Task& a, const Task& b) { return are_alike(a, b); });
}

std::vector<PeopleAlike> people_alike(const std::vector<Person>& people) {
    std::vector<PeopleAlike> groups;
    for (std::size_t n = 0; n < people.size(); ++n) {
        const auto known =
            groups.begin() + static_cast<std::ptrdiff_t>(std::min(groups.size(), most_kinds));
        const auto same = std::find_if(groups.begin(), known, [&](const PeopleAlike& group) {
            return group.stand_in.tasks.empty() && are_alike(group.stand_in, people[n]);
        });
        if (same == known) {
            groups.push_back({people[n], {n}});
        } else {
            same->people.push_back(n);
            same->stand_in.id = id_of_stand_in;
            same->stand_in.stated_at = {place_of_stand_in};
            same->stand_in.policy.stated_at = {place_of_its_policy};
        }
    }
    return groups;
}

PersonResult as_found_for(const Person& person, const Person& stand_in, PersonResult result) {
    const Naming naming(person, stand_in);
    result.person = &person;
    for (CriterionResult& criterion : result.criteria) {
        criterion.criterion = naming.own(criterion.criterion);
        naming.name(criterion.remark);
    }
    for (Advice& advice : result.advice)
        naming.name(advice.text);
    for (AllowanceCourse& allowance : result.course.allowances)
        allowance.criterion = naming.own(allowance.criterion);
    if (result.largest_change) naming.name(result.largest_change->text);
    return result;
}

std::vector<Warning> as_found_for(const Person& person, const Person& stand_in,
                                  std::vector<Warning> warnings) {
    const Naming naming(person, stand_in);
    for (Warning& warning : warnings) {
        naming.name(warning.text);
        naming.name(warning.where);
        naming.name(warning.people);
    }
    return warnings;
}

PersonChoice as_found_for(const Person& person, const Person& stand_in, PersonChoice choice) {
    const Naming naming(person, stand_in);
    choice.person = &person;
    for (RankedChoice& ranked : choice.ranking)
        naming.name(ranked);
    naming.name(choice.unprotected);
    for (NotPermitted& one : choice.not_permitted)
        naming.name(one.why);
    naming.name(choice.notes);
    return choice;
}

}  // namespace earbudget
