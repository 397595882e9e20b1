#include <fmt/format.h>

#include "earbudget/acoustics/duration_text.hpp"
#include "earbudget/study/sequence.hpp"
#include "review/card_checks.hpp"
#include "review/card_words.hpp"

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
                "how the decibels came about is not stated",
                "state the calibrator, its level, and the check before and after (ISO 9612:2009; "
                "memory)"};
    }
    if (may_negate(origin.calibration)) {
        return {CheckCode::Calibration, CheckState::Doubtful,
                fmt::format("\"{}\" may say that it is not so", origin.calibration),
                "state how the decibels came about"};
    }
    return {CheckCode::Calibration, CheckState::Ok, origin.calibration, ""};
}

ReviewCheck check_duration(const Origin& origin) {
    const auto& time = origin.duration;
    if (!time) {
        return {CheckCode::Duration, CheckState::Missing, "how long was measured is not stated",
                "state it: duration_s = 30.0; record 10 s or more"};
    }
    const std::string text = fmt::format("{} measured", text_of(*time));
    if (*time >= long_enough) return {CheckCode::Duration, CheckState::Ok, text, ""};
    return {CheckCode::Duration, CheckState::Doubtful, text + ", less than 10 s",
            "record a whole run, at least 10 s"};
}

ReviewCheck check_background(const Sequence& sequence) {
    const Origin& origin = sequence.origin;
    if (origin.background.empty()) {
        return {CheckCode::Background, CheckState::Missing,
                "the room without the sequence is not stated",
                "record it at the same place and gain, over whole strokes of the pump"};
    }
    if (sequence.LAeq_is_upper_bound) {
        return {CheckCode::Background, CheckState::Doubtful, origin.background,
                "measure nearer to the sequence or where it is quieter"};
    }
    return {CheckCode::Background, CheckState::Ok, origin.background, ""};
}

ReviewCheck check_recording(const Origin& origin) {
    if (origin.recording.empty()) {
        return {CheckCode::Recording, CheckState::Missing, "no recording is named",
                "keep the recording and name it, so that it can be measured again"};
    }
    if (origin.recording_sha256.size() != digits_of_sha256) {
        return {CheckCode::Recording, CheckState::Doubtful,
                fmt::format("\"{}\", without its SHA-256", origin.recording),
                "state recording_sha256, so that the file can be recognised"};
    }
    return {CheckCode::Recording, CheckState::Ok,
            fmt::format("{}, SHA-256 {}…", origin.recording, origin.recording_sha256.substr(0, 16)),
            ""};
}

ReviewCheck check_uncertainty(const Sequence& sequence) {
    const SoundLevels& levels = sequence.levels;
    if (!levels.uncertainty) {
        return {CheckCode::Uncertainty, CheckState::Missing,
                fmt::format("no uncertainty is stated; {}",
                            stated_or_default_uncertainty(sequence).source),
                "state the standard uncertainty of the levels"};
    }
    const double stated = levels.uncertainty->dB();
    const std::string text = fmt::format("standard uncertainty {:g} dB (k = 1)", stated);
    if (*levels.uncertainty < least_uncertainty) {
        return {CheckCode::Uncertainty, CheckState::Doubtful,
                text +
                    ", less than 0.7 dB of a class 1 instrument alone (ISO 9612:2009, annex C; "
                    "memory)",
                "count instrument, position, calibration and change between runs"};
    }
    if (*levels.uncertainty > large_uncertainty) {
        return {CheckCode::Uncertainty, CheckState::Doubtful, text + ", which is large",
                "measure again with a better instrument or over more runs"};
    }
    return {CheckCode::Uncertainty, CheckState::Ok, text, ""};
}

ReviewCheck check_parts(const Sequence& sequence) {
    const std::string& words = sequence.origin.uncertainty;
    const auto& parts = sequence.levels.uncertainty_parts;
    if (words.empty() && !parts) {
        return {CheckCode::UncertaintyParts, CheckState::Missing,
                "what the uncertainty is made of is not stated",
                "state the parts: instrument, position, drift, background, steadiness"};
    }
    return {CheckCode::UncertaintyParts, CheckState::Ok,
            !words.empty()
                ? words
                : fmt::format("instrument {:g} dB, position {:g} dB, run to run {:g} dB",
                              parts->instrument.dB(), parts->position.dB(), parts->run.dB()),
            ""};
}

ReviewCheck check_timing(const Origin& origin) {
    if (origin.timing.empty()) {
        return {CheckCode::Timing, CheckState::Missing,
                "the timing of the protocol is not named, and a level belongs to it",
                "state timing, for example echo spacing, repetition time, matrix and orientation"};
    }
    return {CheckCode::Timing, CheckState::Ok, origin.timing, ""};
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
