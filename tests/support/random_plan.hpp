#pragma once

#include <random>
#include <string>
#include <utility>

#include "earbudget/study/plan.hpp"
#include "support/random_protector.hpp"

namespace earbudget::test {

inline Protector random_protector(std::mt19937& random, std::string id, ProtectorType type) {
    Protector protector{.id = std::move(id), .title = "invented", .type = type};
    protector.fits_head_coil = true;
    protector.metal_free = true;
    protector.octave = random_attenuation(random);
    return protector;
}

inline Sequence random_sequence(std::mt19937& random, std::string id) {
    std::uniform_real_distribution<double> uncertainty(0.5, 2.5);
    Sequence sequence{.id = std::move(id), .title = "invented", .levels = {LevelA(0.0)}};
    sequence.levels.octave = random_octaves(random).shifted(LevelDifference(8.0));
    sequence.levels.LAeq = *a_weighted(sequence.levels.octave).sum();
    sequence.levels.LCeq = *c_weighted(sequence.levels.octave).sum();
    sequence.levels.LCpeak = PeakLevelC(sequence.levels.LCeq->dB() + 12.0);
    sequence.levels.uncertainty = LevelDifference(uncertainty(random));
    return sequence;
}

inline Person participant(std::vector<std::string> wears) {
    Person person{.id = "person", .role = Role::Participant, .wears = std::move(wears)};
    for (const char* id : {"niosh-rel", "eu-limit", "iec-60601-2-33"})
        person.policy.criteria.push_back(*find_published_criterion(id));
    return person;
}

/// A plan with a plug, a muff, some sequences, rests and one participant who wears the plug.
inline Plan random_plan(std::mt19937& random) {
    Plan plan{.title = "invented"};
    // What is exact is so with few, and many plans are drawn.
    plan.draws.draws = plan.draws.draws_of_times = 512;
    plan.catalogue.protectors.push_back(
        {random_protector(random, "plug", ProtectorType::PremouldedPlug)});
    plan.catalogue.protectors.push_back({random_protector(random, "muff", ProtectorType::Earmuff)});
    for (const char* id : {"a", "b", "c"})
        plan.sequences.push_back(random_sequence(random, id));
    SoundLevels background{.LAeq = LevelA(0.0)};
    background.octave = random_octaves(random).shifted(LevelDifference(-30.0));
    background.LAeq = *a_weighted(background.octave).sum();
    background.uncertainty = LevelDifference(1.0);
    plan.background = background;
    std::uniform_int_distribution<int> minutes(1, 90);
    std::uniform_int_distribution<unsigned> repeat(1, 3);
    for (std::size_t i = 0; i < 5; ++i) {
        TimelineRow row{.sequence = {}, .duration = std::chrono::minutes(minutes(random))};
        if (i != 2) row.sequence = i % plan.sequences.size();
        row.repeat = repeat(random);
        plan.timeline.push_back(row);
    }
    plan.people.push_back(participant({"plug"}));
    std::uniform_int_distribution<unsigned> sessions(1, 2);
    plan.people.front().sessions_per_day = sessions(random);
    return plan;
}

}  // namespace earbudget::test
