#pragma once

#include <optional>
#include <string>
#include <vector>

#include "earbudget/excitation/prediction.hpp"
#include "earbudget/excitation/waveform_figures.hpp"
#include "earbudget/study/input_error.hpp"
#include "earbudget/study/sequence.hpp"
#include "predicting/varied.hpp"
#include "report/document.hpp"
#include "report/record.hpp"
#include "report/shape.hpp"
#include "responses/stored_response.hpp"
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

/// The sound that is expected of it, by a response.
struct PredictedSound {
    report::SourceFile file;  ///< of the response
    responses::StoredResponse response;
    ExpectedSound levels;
};

/// What is known of a sequence that has never run: of its waveform, and with a response of its
/// sound.
struct Prediction {
    PlayedWaveform waveform;
    std::optional<PredictedSound> sound;
    std::optional<Varied> varied;    ///< where asked for
    std::vector<ReadingNote> notes;  ///< what could be otherwise than it looks
};

/// A response and the file that it was read from.
struct ReadResponse {
    report::SourceFile file;
    responses::StoredResponse stored;
};

/// Plays a waveform through, once. Throws InputError for what is wrong in it, and where its file is
/// written to meanwhile.
[[nodiscard]] Prediction predict(waveforms::WaveformFile& file,
                                 const std::optional<std::string>& rotated_by,
                                 std::optional<ReadResponse> response = std::nullopt);

/// The card of a predicted sequence, which says that it is predicted. Throws InputError at the
/// waveform where there is no level that a card could state.
[[nodiscard]] Sequence predicted_card(const Prediction& prediction, const std::string& id,
                                      const std::string& title, const std::string& date);

/// What its card would leave out: octave bands, where what the response does not tell of could be
/// loud. None where it states them all.
[[nodiscard]] std::optional<ReadingNote> note_of_card(const Prediction& prediction);

/// Which scales are quieter, in one sentence.
[[nodiscard]] std::string quieter_words(const Varied& varied);

/// What a change of timing would do.
void add_varied(const Varied& varied, report::Document& document);

/// It recommends none of them.
inline constexpr std::string_view caution_on_varying =
    "None of these is recommended: the scanner's own restricted echo spacings and the limits of "
    "nerve stimulation come first, and what an image needs.";

/// The sections that tell of the sound.
void add_sound(const PredictedSound& sound, const Prediction& prediction,
               report::Document& document);

/// The prediction as JSON, with a line break at its end.
[[nodiscard]] std::string prediction_json(const Prediction& prediction,
                                          const report::Record& record);
[[nodiscard]] const report::ObjectShape& prediction_shape();

/// The same to be read.
[[nodiscard]] report::Document prediction_document(const Prediction& prediction,
                                                   const report::Record& record);

}  // namespace earbudget::predicting
