#pragma once

#include <string>
#include <vector>

#include "earbudget/uncertainty/monte_carlo_day.hpp"
#include "support/published.hpp"
#include "support/random_protector.hpp"

namespace earbudget::test {

/// One person who hears rows of stated level and standard uncertainty without a protector, all
/// measured at once, judged by one criterion.
inline Plan open_ears(const std::vector<SoundLevels>& sounds, const std::vector<double>& hours,
                      std::string_view criterion) {
    Plan plan{.title = "invented"};
    for (std::size_t i = 0; i < sounds.size(); ++i) {
        plan.sequences.push_back(
            {.id = std::to_string(i), .title = "invented", .levels = sounds[i]});
        plan.timeline.push_back({.sequence = i, .duration = Hours(hours[i])});
    }
    Person person{.id = "person", .role = Role::Participant};
    person.policy.criteria = {published(criterion)};
    person.policy.criteria.front().roles = {Role::Participant};
    plan.people.push_back(person);
    return plan;
}

inline SoundLevels sound_of(double LAeq, double uncertainty) {
    return {.LAeq = LevelA(LAeq), .uncertainty = LevelDifference(uncertainty)};
}

/// A sound of 93 dB in every band from 63 Hz to 8 kHz.
inline SoundLevels sound_in_bands(double uncertainty) {
    SoundLevels sound = sound_of(0.0, uncertainty);
    for (std::size_t i = index_of(OctaveBand::Hz63); i <= index_of(OctaveBand::Hz8000); ++i)
        sound.octave.set(octave_bands[i], LevelZ(93.0));
    sound.LAeq = *a_weighted(sound.octave).sum();
    return sound;
}

/// A sound of which no error is shared from row to row.
inline SoundLevels unshared(double LAeq, double uncertainty) {
    SoundLevels sound = sound_of(LAeq, uncertainty);
    sound.uncertainty_parts = UncertaintyParts{.run = LevelDifference(uncertainty)};
    return sound;
}

/// The plan's person with a plug of this attenuation, by the octave-band method.
inline void wear_plug(Plan& plan, const OctaveAttenuation& attenuation) {
    Protector plug{.id = "plug", .title = "invented", .type = ProtectorType::PremouldedPlug};
    plug.octave = attenuation;
    plan.catalogue.protectors = {{plug}};
    plan.people.front().wears = {"plug"};
    plan.people.front().policy.rules.method = Method::Octave;
}

/// The same attenuation and deviation between people in every band from 63 Hz.
inline OctaveAttenuation flat(double mean, double deviation) {
    OctaveAttenuation attenuation;
    for (std::size_t i = index_of(OctaveBand::Hz63); i <= index_of(OctaveBand::Hz8000); ++i)
        attenuation.set(octave_bands[i], LevelDifference(mean), LevelDifference(deviation));
    return attenuation;
}

/// The first person's day with what belongs to it.
struct DrawnDay {
    explicit DrawnDay(const Plan& plan, const DrawSettings& settings = {})
        : person(plan.people.front()),
          exposed(day_exposure(plan, person)),
          day(plan, person, exposed, settings) {}
    DrawnDay(const DrawnDay&) = delete;

    const Person& person;
    ExposureDay exposed;
    MonteCarloDay day;
};

}  // namespace earbudget::test
