#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "earbudget/measuring/measure.hpp"
#include "report/cautions.hpp"
#include "report/document.hpp"

namespace earbudget::report {

/// A recording that was measured, with the file it came from.
struct RecordingReport {
    SourceFile file;
    MeasuredRecording measured;
    std::optional<Seconds> from = std::nullopt;  ///< where the part measured begins
    bool runs_asked_for = false;
    std::size_t channels_in_file = 1;  ///< also where only one was asked for
};

/// The levels of some recordings as JSON, to a thousandth of a decibel, with a line break at the
/// end. Levels that there are not are null, and a quality entry says why.
[[nodiscard]] std::string measure_json(const std::vector<RecordingReport>& recordings,
                                       const Record& record);

/// The same to be read: the levels first, what is wrong with a recording beside them, then the
/// level history, bands, tones, working. Points into the recordings.
[[nodiscard]] Document measure_document(const std::vector<RecordingReport>& recordings,
                                        const Record& record);

/// LAeq of each second as comma-separated values (RFC 4180), one line a second of each channel:
/// file, channel, start in the recording and duration in seconds, LAeq in dB. The last line of a
/// channel may be shorter than a second; a level that there is not stays empty.
[[nodiscard]] std::string measure_history(const std::vector<RecordingReport>& recordings);

/// What must be read with levels of a recording, beside what must be read with every decision.
inline constexpr std::string_view measure_caution =
    "Levels are as good as microphone, calibration and position: state them.";

inline constexpr std::array<std::string_view, 5> measure_cautions = {
    measure_caution, cautions[0], cautions[1], cautions[2], cautions[3]};

}  // namespace earbudget::report
