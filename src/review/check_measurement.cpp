#include <fmt/format.h>

#include "earbudget/acoustics/duration_text.hpp"
#include "earbudget/study/stated_uncertainty.hpp"
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
        return {"calibration", CheckState::Missing, "how the decibels came about is not stated",
                "state the calibrator, its level, and the check before and after (ISO 9612:2009; "
                "memory)"};
    }
    if (may_negate(origin.calibration)) {
        return {"calibration", CheckState::Doubtful,
                fmt::format("\"{}\" may say that it is not so", origin.calibration),
                "state how the decibels came about"};
    }
    return {"calibration", CheckState::Ok, origin.calibration, ""};
}

ReviewCheck check_duration(const Origin& origin) {
    const auto time = time_in(origin.recording);
    if (!time) {
        return {"duration", CheckState::Missing, "how long was measured is not stated",
                "state it in recording: \"…, 30 s\"; record 10 s or more", false};
    }
    const std::string text = fmt::format("{} measured", text_of(*time));
    if (*time >= long_enough) return {"duration", CheckState::Ok, text, "", false};
    return {"duration", CheckState::Doubtful, text + ", less than 10 s",
            "record a whole run, at least 10 s", false};
}

ReviewCheck check_background(const Origin& origin) {
    if (origin.background.empty()) {
        return {"background", CheckState::Missing, "the room without the sequence is not stated",
                "record it at the same place and gain, over whole strokes of the pump", false};
    }
    if (origin.background.find("upper bound") != std::string::npos) {
        return {"background", CheckState::Doubtful, origin.background,
                "measure nearer to the sequence or where it is quieter", false};
    }
    return {"background", CheckState::Ok, origin.background, "", false};
}

ReviewCheck check_recording(const Origin& origin) {
    if (origin.recording.empty()) {
        return {"recording", CheckState::Missing, "no recording is named",
                "keep the recording and name it, so that it can be measured again", false};
    }
    if (origin.recording_sha256.size() != digits_of_sha256) {
        return {"recording", CheckState::Doubtful,
                fmt::format("\"{}\", without its SHA-256", origin.recording),
                "state recording_sha256, so that the file can be recognised", false};
    }
    return {"recording", CheckState::Ok,
            fmt::format("{}, SHA-256 {}…", origin.recording, origin.recording_sha256.substr(0, 16)),
            "", false};
}

ReviewCheck check_uncertainty(const Sequence& sequence) {
    const SoundLevels& levels = sequence.levels;
    if (!levels.uncertainty) {
        return {"uncertainty", CheckState::Missing,
                fmt::format("no uncertainty is stated; {}",
                            stated_or_default_uncertainty(sequence).source),
                "state the standard uncertainty of the levels"};
    }
    const double stated = levels.uncertainty->dB();
    const std::string text = fmt::format("standard uncertainty {:g} dB (k = 1)", stated);
    if (*levels.uncertainty < least_uncertainty) {
        return {"uncertainty", CheckState::Doubtful,
                text +
                    ", less than 0.7 dB of a class 1 instrument alone (ISO 9612:2009, annex C; "
                    "memory)",
                "count instrument, position, calibration and change between runs"};
    }
    if (*levels.uncertainty > large_uncertainty) {
        return {"uncertainty", CheckState::Doubtful, text + ", which is large",
                "measure again with a better instrument or over more runs"};
    }
    return {"uncertainty", CheckState::Ok, text, ""};
}

ReviewCheck check_parts(const Sequence& sequence) {
    const std::string& words = sequence.origin.uncertainty;
    const auto& parts = sequence.levels.uncertainty_parts;
    if (words.empty() && !parts) {
        return {"uncertainty-parts", CheckState::Missing,
                "what the uncertainty is made of is not stated",
                "state the parts: instrument, position, drift, background, steadiness", false};
    }
    return {"uncertainty-parts", CheckState::Ok,
            !words.empty()
                ? words
                : fmt::format("instrument {:g} dB, position {:g} dB, run to run {:g} dB",
                              parts->instrument.dB(), parts->position.dB(), parts->run.dB()),
            "", false};
}

ReviewCheck check_timing(const Origin& origin) {
    if (origin.timing.empty()) {
        return {"timing", CheckState::Missing,
                "the timing of the protocol is not named, and a level belongs to it",
                "state timing, for example echo spacing, repetition time, matrix and orientation",
                false};
    }
    return {"timing", CheckState::Ok, origin.timing, "", false};
}

}  // namespace

void check_measurement(const Sequence& sequence, std::vector<ReviewCheck>& checks) {
    const Origin& origin = sequence.origin;
    checks.push_back(check_timing(origin));
    checks.push_back(check_calibration(origin));
    checks.push_back(check_duration(origin));
    checks.push_back(check_background(origin));
    checks.push_back(check_recording(origin));
    checks.push_back(check_uncertainty(sequence));
    checks.push_back(check_parts(sequence));
}

}  // namespace earbudget
