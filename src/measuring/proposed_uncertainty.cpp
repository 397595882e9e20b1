#include "earbudget/measuring/proposed_uncertainty.hpp"

#include <cmath>
#include <numbers>

#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"
#include "earbudget/measurement/calibration/calibration.hpp"
#include "earbudget/measurement/findings/steadiness.hpp"
#include "earbudget/study/sequence.hpp"

namespace earbudget {

namespace {

constexpr LevelDifference background_change{1.0};   // ours
constexpr LevelDifference unknown_steadiness{1.0};  // ours

UncertaintyPart instrument_part(InstrumentClass instrument) {
    switch (instrument) {
        case InstrumentClass::One:
            return {"instrument, class 1", uncertainty_of_class_1,
                    "ISO 9612:2009, table C.5 (memory)"};
        case InstrumentClass::Two:
            return {"instrument, class 2", uncertainty_of_other_instruments,
                    "ISO 9612:2009, table C.5 (memory)"};
        case InstrumentClass::NotStated:
            break;
    }
    return {"instrument, class not stated: taken as any other than class 1",
            uncertainty_of_other_instruments, "ISO 9612:2009, table C.5 (memory)"};
}

LevelDifference rectangular(LevelDifference half_width) {
    return LevelDifference(std::abs(half_width.dB()) / std::numbers::sqrt3);
}

UncertaintyPart drift_part(const std::optional<LevelDifference>& drift) {
    if (drift) {
        const std::string text = decimal_text(drift->dB(), 2);
        return {
            fmt::format("calibration, drift of {}{} dB", text.starts_with('-') ? "" : "+", text),
            rectangular(*drift), "rectangular, half-width the drift"};
    }
    return {"calibration, drift not checked", rectangular(greatest_drift),
            "rectangular, half-width the 0.5 dB that ISO 9612:2009 lets pass (memory)"};
}

UncertaintyPart calibrator_part() {
    return {"calibrator, ±0.25 dB", rectangular(calibrator_level_tolerance),
            "rectangular, half-width what IEC 60942:2017 allows class 1 (secondary source)"};
}

/// dL/dL1 = 1 / (1 − 10^(−distance/10)) for a level corrected for its background, else 1.
double sensitivity_to_level(const std::optional<LevelDifference>& distance) {
    const bool corrected = distance && *distance < BackgroundLimits::no_correction &&
                           *distance >= BackgroundLimits::not_valid;
    return corrected ? 1.0 / (1.0 - 1.0 / energy_ratio(*distance)) : 1.0;
}

/// dL/dL2 = −1 / (10^(distance/10) − 1), its size, for a level corrected for its background; one
/// that is too close counts as 3 dB below. None where nothing was corrected.
std::optional<double> sensitivity_to_background(const std::optional<LevelDifference>& distance) {
    if (!distance || *distance >= BackgroundLimits::no_correction) return std::nullopt;
    return 1.0 / (energy_ratio(std::max(*distance, BackgroundLimits::not_valid)) - 1.0);
}

UncertaintyPart part_of(std::string name, LevelDifference size, double sensitivity,
                        std::string source) {
    return {.name = std::move(name),
            .standard = LevelDifference(sensitivity * size.dB()),
            .source = std::move(source),
            .sensitivity = sensitivity};
}

UncertaintyPart steadiness_part(const UncertaintyFacts& facts) {
    const double sensitivity = sensitivity_to_level(facts.above_background);
    if (!facts.steadiness) {
        return part_of("steadiness, recording too short to tell", unknown_steadiness, sensitivity,
                       "own assumption");
    }
    return part_of("steadiness", *facts.steadiness, sensitivity,
                   "spread of the level within the recording");
}

std::optional<UncertaintyPart> background_part(const UncertaintyFacts& facts) {
    const auto& distance = facts.above_background;
    const auto sensitivity = sensitivity_to_background(distance);
    if (!sensitivity) return std::nullopt;
    return part_of(
        fmt::format("background {} dB below the measured level", decimal_text(distance->dB(), 1)),
        std::max(background_change, facts.background_steadiness), *sensitivity,
        *distance < BackgroundLimits::not_valid
            ? "LAeq is an upper bound; counted as 3 dB above the background"
            : "1 dB of change of the background, or its own spread: own assumption");
}

/// Each recording's loss acts on the level that was measured from it.
void add_losses(const UncertaintyFacts& facts, std::vector<UncertaintyPart>& parts) {
    const auto add = [&](std::string_view of, const std::optional<LevelDifference>& loss,
                         std::optional<double> sensitivity) {
        if (!loss || !sensitivity) return;
        parts.push_back(
            part_of(fmt::format("lossy compression of the {}, ±{:.1f} dB", of, loss->dB()),
                    rectangular(*loss), *sensitivity, "rectangular, half-width own choice"));
    };
    add("recording", facts.loss, sensitivity_to_level(facts.above_background));
    add("background's recording", facts.background_loss,
        sensitivity_to_background(facts.above_background));
    add("calibrator's recording", facts.calibration_loss, 1.0);
}

}  // namespace

LevelDifference ProposedUncertainty::combined() const { return parts_of_card().combined(); }

UncertaintyParts ProposedUncertainty::parts_of_card() const {
    UncertaintyParts result;
    for (const UncertaintyPart& part : parts) {
        LevelDifference& sum = part.of_position ? result.position : result.instrument;
        sum = LevelDifference(std::hypot(sum.dB(), part.standard.dB()));
    }
    return result;
}

ProposedUncertainty propose_uncertainty(const UncertaintyFacts& facts) {
    ProposedUncertainty result;
    result.parts.push_back(instrument_part(facts.instrument));
    result.parts.push_back(
        {"microphone position", uncertainty_of_position, "ISO 9612:2009, C.6 (memory)", true});
    result.parts.push_back(calibrator_part());
    result.parts.push_back(drift_part(facts.drift));
    result.parts.push_back(steadiness_part(facts));
    add_losses(facts, result.parts);
    if (const auto part = background_part(facts)) result.parts.push_back(*part);
    return result;
}

}  // namespace earbudget
