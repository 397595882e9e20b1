#pragma once

#include <optional>
#include <string>
#include <vector>

#include "earbudget/excitation/waveform_figures.hpp"
#include "earbudget/study/input_error.hpp"
#include "report/document.hpp"
#include "report/record.hpp"
#include "report/shape.hpp"
#include "waveforms/open_waveform.hpp"

namespace earbudget::predicting {

/// A waveform that was played through, as answers show it.
struct PlayedWaveform {
    report::SourceFile file;
    std::optional<std::string> format_version;  ///< of the open sequence format; none: a table
    std::string title;                          ///< as the file names itself; may be empty
    unsigned repeat = 1;
    std::optional<std::string> rotated_by;  ///< as it was typed; none: as the file has it
    WaveformFigures figures;
};

/// What is known of a sequence that has never run: of its waveform alone.
struct Prediction {
    PlayedWaveform waveform;
    std::vector<ReadingNote> notes;  ///< what could be otherwise than it looks
};

/// Plays a waveform through. Throws InputError for what is wrong in it, and where its file is
/// written to meanwhile.
[[nodiscard]] Prediction predict(waveforms::WaveformFile& file,
                                 const std::optional<std::string>& rotated_by);

/// The prediction as JSON, with a line break at its end.
[[nodiscard]] std::string prediction_json(const Prediction& prediction,
                                          const report::Record& record);
[[nodiscard]] const report::ObjectShape& prediction_shape();

/// The same to be read.
[[nodiscard]] report::Document prediction_document(const Prediction& prediction,
                                                   const report::Record& record);

}  // namespace earbudget::predicting
