#include <functional>

#include "earbudget/decision/choose.hpp"
#include "earbudget/decision/judge.hpp"

namespace earbudget {

namespace {

constexpr int most_tenths = 600;  // 60 dB: more than bone conduction lets anybody have

/// The least number of tenths of a decibel that keeps every limit; none where not even the most
/// does. `over_with` is true up to some number and false from there on.
std::optional<LevelDifference> least_within(const std::function<bool(int)>& over_with) {
    if (over_with(most_tenths)) return std::nullopt;
    int over = -1;
    int within = most_tenths;
    while (within - over > 1) {
        const int middle = (within + over) / 2;
        (over_with(middle) ? over : within) = middle;
    }
    return LevelDifference(0.1 * within);
}

/// A protector of which only this is known, x dB of it.
using Described = AttenuationData (*)(LevelDifference);

AttenuationData with_par(LevelDifference x) { return {.ratings = {.PAR = x}}; }
AttenuationData with_snr(LevelDifference x) { return {.ratings = {.SNR = x}}; }
AttenuationData with_nrr(LevelDifference x) { return {.ratings = {.NRR = x}}; }

AttenuationData with_every_band(LevelDifference x) {
    OctaveAttenuation octave;
    for (const OctaveBand band : octave_bands) {
        if (permitted_attenuation_bands().test(index_of(band))) {
            octave.set(band, x, LevelDifference(0.0));
        }
    }
    return {.octave = octave};
}

std::optional<LevelDifference> required(const Plan& plan, const Person& person, Method method,
                                        Described described) {
    PredictionRules rules = person.policy.rules;
    rules.method = method;
    rules.performance = ProtectionPerformance(84.0);
    if (!is_defined(rules.derating.kind, method) || rules.derating.kind == Derating::Kind::Niosh ||
        rules.derating.kind == Derating::Kind::Csa || rules.derating.kind == Derating::Kind::Trlv) {
        rules.derating = {};  // depends on a type that is not known yet
    }
    for (const Sequence& sequence : plan.sequences) {
        const bool played =
            std::any_of(plan.timeline.begin(), plan.timeline.end(), [&](const TimelineRow& row) {
                return row.sequence && &plan.sequences[*row.sequence] == &sequence;
            });
        if (played &&
            find_obstacle(method, sequence.levels, described(LevelDifference(0.0)), rules)) {
            return std::nullopt;
        }
    }
    return least_within([&](int tenths) {
        const auto worn = described(LevelDifference(0.1 * tenths));
        return is_over_any(person, hear_through(plan, person, worn, method, rules));
    });
}

}  // namespace

RequiredReduction required_reduction(const Plan& plan, const Person& person) {
    return {.at_ear = required(plan, person, Method::Par, with_par),
            .SNR = required(plan, person, Method::Snr, with_snr),
            .NRR = required(plan, person, Method::Nrr, with_nrr),
            .every_band = required(plan, person, Method::Octave, with_every_band)};
}

}  // namespace earbudget
