#include <algorithm>
#include <array>
#include <string>
#include <string_view>
#include <vector>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "starting/drafted_study.hpp"

namespace earbudget::starting {

namespace {

// Everything here is invented: plausible, and meant to be replaced. Own choices.

constexpr std::array<double, 8> bands_Hz = {63, 125, 250, 500, 1000, 2000, 4000, 8000};
using Eight = std::array<double, bands_Hz.size()>;

struct ExampleSequence {
    std::string_view id, title;
    double LAeq, LCeq, LCpeak;  ///< dB; the bands sum to LAeq and LCeq
    Eight octave;               ///< dB
    double seconds;
    unsigned repeat;
};

constexpr std::array<ExampleSequence, 4> sequences = {{
    {"localiser", "Localiser", 94.7, 95.5, 108.0, {62, 70, 82, 91, 92, 87, 78, 66}, 20.0, 1},
    {"t1-3d", "Anatomy, 3D, T1", 97.4, 97.5, 111.0, {60, 68, 80, 90, 95, 91, 82, 70}, 300.0, 1},
    {"epi",
     "Echo planar, a task",
     104.6,
     104.8,
     117.0,
     {62, 72, 84, 98, 103, 96, 84, 68},
     480.0,
     2},
    {"diffusion", "Diffusion", 101.3, 102.6, 115.0, {63, 74, 86, 100, 98, 92, 82, 66}, 360.0, 1},
}};

struct ExampleProtector {
    std::string_view id, title;
    ProtectorType type;
    Eight mean, sd;            ///< dB
    double SNR, H, M, L, NRR;  ///< dB
};

constexpr std::array<ExampleProtector, 2> protectors = {{
    {"example-plug",
     "Formable plug (example)",
     ProtectorType::FoamPlug,
     {20.0, 21.5, 23.5, 26.0, 28.0, 32.5, 38.0, 39.0},
     {5.5, 5.5, 5.5, 5.2, 4.6, 4.2, 4.6, 5.2},
     27,
     29,
     24,
     21,
     18},
    {"example-muff",
     "Earmuff (example)",
     ProtectorType::Earmuff,
     {12.5, 13.5, 18.5, 26.5, 33.0, 33.5, 35.5, 34.5},
     {3.2, 3.0, 2.9, 3.0, 3.1, 3.1, 3.4, 3.8},
     28,
     31,
     26,
     18,
     22},
}};

SoundLevels levels_of(const ExampleSequence& sequence) {
    SoundLevels levels{.LAeq = LevelA(sequence.LAeq)};
    levels.LCeq = LevelC(sequence.LCeq);
    levels.LCpeak = PeakLevelC(sequence.LCpeak);
    for (std::size_t n = 0; n < bands_Hz.size(); ++n)
        levels.octave.set(*octave_band_named(Frequency(bands_Hz[n])), LevelZ(sequence.octave[n]));
    return levels;
}

Origin guessed() { return {.how = "guessed", .who = "nobody: an example that the program wrote"}; }

}  // namespace

SoundLevels example_levels() { return levels_of(sequences[2]); }

std::vector<DraftedSequence> example_sequences() {
    std::vector<DraftedSequence> drafted;
    for (const ExampleSequence& one : sequences)
        drafted.push_back({.id = std::string(one.id),
                           .title = std::string(one.title),
                           .levels = levels_of(one),
                           .origin = guessed(),
                           .invented = true});
    return drafted;
}

std::vector<DraftedRun> example_timeline() {
    std::vector<DraftedRun> drafted;
    for (const ExampleSequence& one : sequences) {
        if (!drafted.empty()) drafted.push_back({.duration = Seconds(60.0), .invented = true});
        drafted.push_back({.sequence = std::string(one.id),
                           .duration = Seconds(one.seconds),
                           .repeat = one.repeat,
                           .invented = true});
    }
    return drafted;
}

std::vector<DraftedProtector> example_protectors() {
    std::vector<DraftedProtector> drafted;
    for (const ExampleProtector& one : protectors) {
        Protector protector{.id = std::string(one.id),
                            .title = std::string(one.title),
                            .type = one.type,
                            .fits_head_coil = one.type != ProtectorType::Earmuff,
                            .metal_free = one.type != ProtectorType::Earmuff};
        protector.octave.emplace();
        for (std::size_t n = 0; n < bands_Hz.size(); ++n)
            protector.octave->set(*octave_band_named(Frequency(bands_Hz[n])),
                                  LevelDifference(one.mean[n]), LevelDifference(one.sd[n]));
        protector.ratings = {.SNR = LevelDifference(one.SNR),
                             .H = LevelDifference(one.H),
                             .M = LevelDifference(one.M),
                             .L = LevelDifference(one.L),
                             .NRR = LevelDifference(one.NRR)};
        drafted.push_back({std::move(protector), "Invented: replace it by what your unit has."});
    }
    return drafted;
}

std::vector<DraftedPerson> example_people(const std::vector<DraftedProtector>& all) {
    std::vector<std::string> first;
    if (!all.empty()) first = {all.front().protector.id};
    return {{.id = "participant", .role = Role::Participant, .wears = first, .invented = true},
            {.id = "operator", .role = Role::Staff, .invented = true}};
}

void add_examples(DraftedStudy& study) {
    if (study.sequences.empty()) {
        study.sequences = example_sequences();
        study.plans.front().timeline = example_timeline();
    }
    if (auto& timeline = study.plans.front().timeline; timeline.empty()) {
        for (const DraftedSequence& sequence : study.sequences)
            timeline.push_back({.sequence = sequence.id});
    }
    constexpr Seconds example_duration{300.0};
    std::vector<std::string> durations, levels;
    for (DraftedPlan& plan : study.plans) {
        for (DraftedRun& run : plan.timeline) {
            if (run.duration) continue;
            run.duration = example_duration;
            run.invented = true;
            durations.push_back(run.sequence);
        }
    }
    for (DraftedSequence& sequence : study.sequences) {
        if (sequence.levels) continue;
        sequence.levels = example_levels();
        sequence.origin = guessed();
        sequence.invented = true;
        levels.push_back(sequence.id);
    }
    const auto note = [&study](std::string_view what, std::vector<std::string>& ids) {
        std::ranges::sort(ids);
        ids.erase(std::unique(ids.begin(), ids.end()), ids.end());
        if (ids.empty()) return;
        study.notes.push_back(fmt::format("nothing states {} of {}: invented, to be replaced", what,
                                          fmt::join(ids, ", ")));
    };
    note("the duration", durations);
    note("the levels", levels);
    if (study.protectors.empty()) {
        study.protectors = example_protectors();
        study.invented_catalogue = true;
    }
    if (study.people.empty()) study.people = example_people(study.protectors);
}

}  // namespace earbudget::starting
