#pragma once

#include <optional>
#include <string>
#include <vector>

#include "earbudget/measuring/measure.hpp"
#include "report/record.hpp"

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

/// The same for a terminal.
[[nodiscard]] std::string measure_text(const std::vector<RecordingReport>& recordings,
                                       const Record& record);

}  // namespace earbudget::report
