#include "earbudget/study/sequence.hpp"
#include "review/reviewing.hpp"

namespace earbudget {

namespace {

// From here on a run can stand for its sequence (docs/methods.md, "Runs in a long recording").
constexpr Seconds long_enough{10.0};

// Of a class 1 instrument alone (ISO 9612:2009, annex C; memory): nobody measures better.
constexpr LevelDifference least_uncertainty{0.7};

// Above this a level says little (ours).
constexpr LevelDifference large_uncertainty{3.0};

constexpr std::size_t digits_of_sha256 = 64;

ReviewCheck check_calibration(const Origin& origin) {
    if (origin.calibration.empty()) {
        return {CheckCode::Calibration, CheckState::Missing,
                say<CheckPhrase::CalibrationNotStated>(), say<CheckPhrase::StateCalibrator>()};
    }
    if (may_negate(origin.calibration)) {
        return {CheckCode::Calibration, CheckState::Doubtful,
                say<CheckPhrase::MayNegate>(origin.calibration),
                say<CheckPhrase::StateHowDecibels>()};
    }
    return {CheckCode::Calibration, CheckState::Ok, as_it_stands(origin.calibration)};
}

ReviewCheck check_duration(const Origin& origin) {
    const auto& time = origin.duration;
    if (!time) {
        return {CheckCode::Duration, CheckState::Missing, say<CheckPhrase::DurationNotStated>(),
                say<CheckPhrase::StateDuration>()};
    }
    const bool enough = *time >= long_enough;
    return {CheckCode::Duration, enough ? CheckState::Ok : CheckState::Doubtful,
            say<CheckPhrase::DurationMeasured>(*time, enough),
            enough ? Message() : say<CheckPhrase::RecordWholeRun>()};
}

ReviewCheck check_background(const Sequence& sequence) {
    const Origin& origin = sequence.origin;
    if (origin.background.empty()) {
        return {CheckCode::Background, CheckState::Missing, say<CheckPhrase::RoomNotStated>(),
                say<CheckPhrase::RecordBackground>()};
    }
    if (sequence.LAeq_is_upper_bound) {
        return {CheckCode::Background, CheckState::Doubtful, as_it_stands(origin.background),
                say<CheckPhrase::MeasureNearer>()};
    }
    return {CheckCode::Background, CheckState::Ok, as_it_stands(origin.background)};
}

ReviewCheck check_recording(const Origin& origin) {
    if (origin.recording.empty()) {
        return {CheckCode::Recording, CheckState::Missing, say<CheckPhrase::NoRecording>(),
                say<CheckPhrase::KeepRecording>()};
    }
    if (origin.recording_sha256.size() != digits_of_sha256) {
        return {CheckCode::Recording, CheckState::Doubtful,
                say<CheckPhrase::RecordingWithoutHash>(origin.recording),
                say<CheckPhrase::StateHash>()};
    }
    return {CheckCode::Recording, CheckState::Ok,
            say<CheckPhrase::RecordingWithHash>(origin.recording,
                                                origin.recording_sha256.substr(0, 16))};
}

ReviewCheck check_uncertainty(const Sequence& sequence) {
    const SoundLevels& levels = sequence.levels;
    if (!levels.uncertainty) {
        return {CheckCode::Uncertainty, CheckState::Missing,
                say<CheckPhrase::NoUncertainty>(stated_or_default_uncertainty(sequence).source),
                say<CheckPhrase::StateUncertainty>()};
    }
    enum class Size { Small, Large, Usual };
    const Size size = *levels.uncertainty < least_uncertainty   ? Size::Small
                      : *levels.uncertainty > large_uncertainty ? Size::Large
                                                                : Size::Usual;
    return {CheckCode::Uncertainty, size == Size::Usual ? CheckState::Ok : CheckState::Doubtful,
            say<CheckPhrase::StandardUncertainty>(*levels.uncertainty, size),
            size == Size::Small   ? say<CheckPhrase::CountAllParts>()
            : size == Size::Large ? say<CheckPhrase::MeasureBetter>()
                                  : Message()};
}

ReviewCheck check_parts(const Sequence& sequence) {
    const std::string& words = sequence.origin.uncertainty;
    const auto& parts = sequence.levels.uncertainty_parts;
    if (words.empty() && !parts) {
        return {CheckCode::UncertaintyParts, CheckState::Missing,
                say<CheckPhrase::PartsNotStated>(), say<CheckPhrase::StateParts>()};
    }
    return {CheckCode::UncertaintyParts, CheckState::Ok,
            !words.empty()
                ? as_it_stands(words)
                : say<CheckPhrase::Parts>(parts->instrument, parts->position, parts->run)};
}

ReviewCheck check_timing(const Origin& origin) {
    if (origin.timing.empty()) {
        return {CheckCode::Timing, CheckState::Missing, say<CheckPhrase::TimingNotNamed>(),
                say<CheckPhrase::StateTiming>()};
    }
    return {CheckCode::Timing, CheckState::Ok, as_it_stands(origin.timing)};
}

}  // namespace

void check_measurement(const Sequence& sequence, std::vector<ReviewCheck>& checks) {
    const Origin& origin = sequence.origin;
    checks.push_back(check_timing(origin));
    checks.push_back(check_calibration(origin));
    checks.push_back(check_duration(origin));
    checks.push_back(check_background(sequence));
    checks.push_back(check_recording(origin));
    checks.push_back(check_uncertainty(sequence));
    checks.push_back(check_parts(sequence));
}

}  // namespace earbudget
